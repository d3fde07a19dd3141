"""The tools that the questions of seating are about, and how each of them serves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum

from msgspec import Struct

from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.questions import length_of, unit_named
from inventory.measures.display import now
from inventory.measures.lengths import Length

LARGEST_BARE = Length.inches("6")
"""A bare number above this is asked back: as inches it is no bore and no shank of a small shop."""


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


class Serving(StrEnum):
    """How a tool serves what is asked; the order is from best to worst."""

    SERVES = "serves"
    LOOK_FIRST = "look first"
    """Something is not known."""
    INCOMPLETE = "something missing"
    """What it needs is known not to be here."""
    DOES_NOT = "does not serve"


_ORDER = tuple(Serving)


class Remark(Struct, frozen=True):
    """One thing to say of a tool, and what follows from it: SERVES where it is only good to know.

    Of tools that stand alike those with more `worse` come later. A remark that `is_caution` is said below the tool
    that leads, and not beside it.
    """

    serving: Serving
    sentence: str
    worse: int = 0
    is_caution: bool = False


class ToolFit(Struct, frozen=True, kw_only=True):
    """One tool as an answer: what it is, the sleeves that it needs, and what there is to say of it."""

    tool: ToolOnHand
    what: str
    sleeves: tuple[Piece, ...] = ()
    """From the lathe to the tool."""
    remarks: tuple[Remark, ...] = ()

    @property
    def piece(self) -> Piece:
        return self.tool.piece

    @property
    def serving(self) -> Serving:
        gone = [Serving.INCOMPLETE] if self.piece.why_not else []
        return max((*gone, *(remark.serving for remark in self.remarks)), key=_ORDER.index, default=Serving.SERVES)

    @property
    def is_sure(self) -> bool:
        return self.serving is Serving.SERVES

    @property
    def wants_a_look(self) -> bool:
        return self.serving is Serving.LOOK_FIRST

    @property
    def does_serve(self) -> bool:
        return self.serving is not Serving.DOES_NOT

    @property
    def sentences(self) -> tuple[str, ...]:
        """Why it serves or not, what decides first; of one that does not, only that."""
        if not self.does_serve:
            return tuple(remark.sentence for remark in self.remarks if remark.serving is Serving.DOES_NOT)
        gone = (f"it is {self.piece.why_not}",) if self.piece.why_not else ()
        waited_for = wanted_pieces((self.piece, *self.sleeves))
        return (*gone, *waited_for, *(remark.sentence for remark in self._gravest_first))

    @property
    def sentences_beside_cautions(self) -> tuple[str, ...]:
        cautions = {remark.sentence for remark in self.remarks if remark.is_caution}
        return tuple(sentence for sentence in self.sentences if sentence not in cautions)

    @property
    def _gravest_first(self) -> list[Remark]:
        return sorted(self.remarks, key=lambda remark: -_ORDER.index(remark.serving))


def best_first(fits: Iterable[ToolFit], lathe: LatheOnHand) -> list[ToolFit]:
    """By how they serve; then what no other job wants soon, what speaks against them, what is mounted here, fewest
    sleeves, good before worn, the truest."""
    return sorted(
        fits,
        key=lambda fit: (
            _ORDER.index(fit.serving),
            any(piece.is_wanted for piece in (fit.piece, *fit.sleeves)),
            sum(remark.worse for remark in fit.remarks),
            fit.piece.mounted_on != lathe.id,
            len(fit.sleeves),
            not fit.piece.is_good,
            fit.piece.tir is None,
            fit.piece.tir.nm if fit.piece.tir is not None else 0,
            fit.piece.tag,
        ),
    )


def length_asked(texts: Mapping[str, str], field: str) -> Length | None:
    """A length of a question of seating; None where nothing is written. Raises QuestionError."""
    text = texts.get(field, "")
    if not text:
        return None
    if unit := texts.get("unit", ""):
        return length_of(text, field=field, unit=unit_named(unit)).length
    return length_of(text, field=field, unit=now().shop_unit, bare_limit=LARGEST_BARE).length
