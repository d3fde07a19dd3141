"""The plain objects that the questions of seating take, and one line of their answers."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from fitfinder.holding.pieces import Piece
from fitfinder.questions import length_of, unit_named
from inventory.measures.lengths import Length, Unit

LARGEST_BARE = Length.inches("6")
"""A bare number above this is asked back: as inches it is no bore and no shank of a small shop."""
MORSE = ("MT0", "MT1", "MT2", "MT3", "MT4", "MT5", "MT6", "MT7")


class ToolOnHand(Struct, frozen=True, kw_only=True):
    """One piece with what only seating asks; None and empty are not known."""

    piece: Piece
    cuts: Length | None = None
    """The hole that a drill, reamer or counterbore makes."""
    shank: Length | None = None
    shank_shape: str = ""
    has_tang: bool | None = None
    """Of a tool whether it has a tang; of a sleeve whether it has a slot for one."""
    is_by_hand: bool = False
    operations: tuple[str, ...] = ()
    set_for: frozenset[int] = frozenset()
    """The lathes that its center height is set for."""
    tip: str = ""
    extension: Length | None = None
    point_angle: int | None = None
    capacity: tuple[Length | None, Length | None] = (None, None)
    """What a holder or a drill chuck takes, smallest and largest."""

    @property
    def shank_code(self) -> str | None:
        return self.piece.mounts_in.code if self.piece.mounts_in else None


SERVES, OPEN, MISSING, NO = "serves", "look first", "something missing", "does not serve"
_ORDER = (SERVES, OPEN, MISSING, NO)


class Match(Struct, frozen=True, kw_only=True):
    """One piece as an answer: how it stands, what it needs before it, and the sentences that say why.

    `missing` is known not to be here; `open` is not known; `against` rules it out; `notes` are good to know.
    """

    tool: ToolOnHand
    what: str
    needs: tuple[Piece, ...] = ()
    """The sleeves between, from the lathe to the tool."""
    missing: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    against: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    preference: int = 0
    """Among those that stand alike, the lower first."""

    @property
    def piece(self) -> Piece:
        return self.tool.piece

    @property
    def state(self) -> str:
        if self.against:
            return NO
        if self.missing or self.piece.why_not:
            return MISSING
        return OPEN if self.open else SERVES

    @property
    def said(self) -> tuple[str, ...]:
        """Why, what decides first; who has it or what became of it is said of the piece."""
        if self.against:
            return self.against
        gone = (f"it is {self.piece.why_not}",) if self.piece.why_not else ()
        return (*gone, *self.missing, *self.open, *self.notes)


def best_first(matches: list[Match], *, lathe_id: int | None = None) -> list[Match]:
    """By state; then by preference, what is mounted here, fewest sleeves, good before worn, the truest."""
    return sorted(
        matches,
        key=lambda match: (
            _ORDER.index(match.state),
            match.preference,
            lathe_id is None or match.piece.mounted_on != lathe_id,
            len(match.needs),
            match.piece.condition != "good",
            match.piece.tir is None,
            match.piece.tir.nm if match.piece.tir is not None else 0,
            match.piece.tag,
        ),
    )


def length_asked(texts: Mapping[str, str], field: str) -> Length | None:
    """A length of a question of seating; None where nothing is written. Raises QuestionError."""
    text = texts.get(field, "")
    if not text:
        return None
    unit = unit_named(texts.get("unit") or Unit.INCH)
    return length_of(text, field=field, unit=unit, bare_limit=LARGEST_BARE).length
