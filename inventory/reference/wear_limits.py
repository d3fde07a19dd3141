"""What a piece may run out before it is worn, and how often to look at it, where the shop says nothing else.

For round ER collets the limit is the run-out of class 2 of ISO 15488 at their size, which is stated farther out than
the nose: what is over it at the nose is most likely over it there too, and the reverse is not promised. All else is
common practice.
"""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables
from inventory.reference.er_runout import class_2_runout, is_of_the_standard


class WearFigures(Struct, frozen=True, kw_only=True):
    """Full indicator swing, days, and issues since the last look. None: no limit, or not looked at for that reason.

    `read_at` is how far from the face the limit is stated for; None at the nose.
    """

    limit: Length | None = None
    every_days: int | None = None
    every_uses: int | None = None
    source: str = ""
    basis: str = ""
    read_at: Length | None = None


def wear_figures(kind: str, *, series: str = "", shape: str = "", nominal: Length | None = None) -> WearFigures:
    """The built-in figures of a kind of piece; of a collet by its series, shape and nominal size."""
    if kind == "collet" and is_of_the_standard(series.upper()) and shape == "round":
        return _of_er(nominal)
    return _by_subject().get((kind, shape), WearFigures())


def _of_er(nominal: Length | None) -> WearFigures:
    common = _by_subject()["ER", "round"]
    band = class_2_runout(nominal) if nominal is not None else None
    return WearFigures(
        limit=band.class_2 if band else None,
        every_days=common.every_days,
        every_uses=common.every_uses,
        source=band.source if band else common.source,
        basis=band.basis if band else common.basis,
        read_at=band.test_length if band else None,
    )


@cache
def _by_subject() -> dict[tuple[str, str], WearFigures]:
    return {(row.text("subject"), row.text("shape")): _figures(row) for row in tables.rows("wear_limits")}


def _figures(row: tables.TableRow) -> WearFigures:
    days, uses = row.maybe_number("every_days"), row.maybe_number("every_uses")
    return WearFigures(
        limit=row.maybe_length("limit"),
        every_days=None if days is None else int(days),
        every_uses=None if uses is None else int(uses),
        source=row.source,
        basis=row.basis,
    )
