"""Where along the axis each thing of a holding is drawn, and the one scale for all of it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from fitfinder.arithmetic.sketches import WIDTH
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import CHUCK_KINDS, COLLET_KINDS
from fitfinder.plan.holdings import MM, POINTED, HeldPiece, Holding
from inventory.reference.kinds import Kind

TOP, MIDDLE, BOTTOM = 44, 102, 160
"""Between top and bottom the pieces are drawn; what is larger is cut off there. Tags stand above, figures below."""
NOSE = 22
"""So far from the left the headstock ends."""
ROOM_FOR_FIGURES = 108
"""Pixels right of the grip, for what the stick-out is called."""
TALLEST_WORK = 84
POINT_IN_WORK = 3 * MM
SOFT_POINT, _END_OF_MANDREL = 20 * MM, 15 * MM
_USUAL_DIAMETER = 20 * MM


class Layout:
    """Places are nanometers from the nose of the spindle."""

    def __init__(self, holding: Holding) -> None:
        self.of = holding
        self.head, self.tail = holding.ends
        self.holder = self.head[-1]
        self.diameter = holding.largest.nm if holding.largest is not None else _USUAL_DIAMETER
        self.is_open_ended = (holding.length if holding.grip is None else holding.stands_out) is None
        self.places = list(_places(self.head))
        self.jaws = self._jaws()
        self.face = self.places[-1][1] + self.jaws
        self.start, self.end = self._work()
        self.tail_from = self.end + (_END_OF_MANDREL if self.holder.kind == Kind.MANDREL else -POINT_IN_WORK)
        beyond = self.tail_from - self.end + sum(piece.along for piece in self.tail)
        self.scale = min(
            Fraction(WIDTH - NOSE - 2, self.end + max(0, beyond)),
            Fraction(WIDTH - NOSE - ROOM_FOR_FIGURES, self.face),
            Fraction(TALLEST_WORK, self.diameter),
        )
        self.half = max(2, round(self.diameter * self.scale / 2))

    def _jaws(self) -> int:
        """How far jaws stand before the face of what holds."""
        if self.holder.kind not in CHUCK_KINDS:
            return 0
        if self.holder.jaw_length is not None:
            return self.holder.jaw_length.nm
        return self.of.grip.nm if self.of.grip is not None else self.holder.across // 6

    def _work(self) -> tuple[int, int]:
        grip, length = self.of.grip, self.of.length if self.of.grip is None else self.of.stands_out
        out = length.nm if length is not None else self.diameter * (1 if self.of.is_irregular else 3)
        if grip is not None:
            return self.face - grip.nm, self.face + out
        if self.of.method == Method.SOFT_CENTER:
            return self.face + SOFT_POINT, self.face + SOFT_POINT + out
        gripped = 0 if self._is_carried else min(self.diameter, self.face)
        return self.face - gripped, self.face + out - gripped

    @property
    def _is_carried(self) -> bool:
        """Whether nothing grips it along a length: it stands between centers, on an arbor, or on a face."""
        on_arbor = {Kind.MANDREL, Kind.EXPANDING_ARBOR, Kind.FACEPLATE}
        return self.of.method == Method.BETWEEN_CENTERS or self.holder.kind in on_arbor

    def x(self, along: int) -> int:
        return NOSE + round(along * self.scale)

    def high(self, across: int) -> int:
        """Half of the height of what is so thick, cut off where the picture ends."""
        return min(MIDDLE - TOP, max(3, round(across * self.scale / 2)))

    def rest_at(self, rest: HeldPiece) -> int:
        out = self.end - self.face
        return self.x(self.face + (out * 2 // 3 if rest.kind == Kind.STEADY_REST else out // 3))


def _places(head: tuple[HeldPiece, ...]) -> Iterator[tuple[int, int]]:
    """Where each piece begins and ends; a collet and a center sit inside what they go into."""
    at, before = 0, None
    for piece in head:
        inside = before is not None and (piece.kind in COLLET_KINDS or piece.kind in POINTED)
        start = (
            max(0, at - piece.along + (4 * MM if piece.kind in COLLET_KINDS else piece.along // 2)) if inside else at
        )
        at = start + piece.along
        yield start, at
        before = piece
