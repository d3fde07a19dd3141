"""Center drills (ASME B94.11M plain type, ISO 866 type A) and which one suits the work.

The guides are advice for light and medium work; heavy or stepped shafts want the next one.
"""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables

INCH, METRIC = "plain inch", "ISO type A"


class CenterDrill(Struct, frozen=True, kw_only=True):
    """A center drill: `size` is `3` of the plain inch form, or `2.5` of ISO type A, its pilot in millimetres.

    `hole` is the countersunk diameter that the standard pairs with it, `drill_length` that of the pilot; None is
    unknown.
    """

    form: str
    size: str
    body: Length
    drill: Length
    drill_length: Length | None
    hole: Length | None
    source: str
    basis: str

    @property
    def name(self) -> str:
        return _name(self.form, self.size)


class CenterHole(Struct, frozen=True, kw_only=True):
    """Work from `work_from` to `work_upto` and the countersunk hole that suits it; None is an open end.

    The inch guide leaves gaps between its rows: the smaller drill there is for light work. The metric guide counts
    `work_from` to the row before.
    """

    form: str
    size: str
    work_from: Length | None
    work_upto: Length | None
    hole: Length
    source: str
    basis: str

    @property
    def name(self) -> str:
        return _name(self.form, self.size)

    def begins_below(self, work: Length) -> bool:
        if self.work_from is None:
            return True
        return self.work_from <= work if self.form == INCH else self.work_from < work


@cache
def center_drills() -> tuple[CenterDrill, ...]:
    """All center drills, the inch form first, each from small to large."""
    return tables.read("center_drills", CenterDrill)


@cache
def center_holes() -> tuple[CenterHole, ...]:
    """Both guides from work to center hole, the inch one first."""
    return tables.read("center_holes", CenterHole)


def center_hole_for(work: Length) -> CenterHole | None:
    """The hole for light and medium work of this diameter, in the form of its unit; None below the guide."""
    form = METRIC if work.is_metric else INCH
    fitting = [hole for hole in center_holes() if hole.form == form and hole.begins_below(work)]
    return fitting[-1] if fitting else None


def _name(form: str, size: str) -> str:
    return f"No. {size}" if form == INCH else f"A {size} mm"
