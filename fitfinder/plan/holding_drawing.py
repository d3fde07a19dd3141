"""The drawing of a holding: the pieces and the work in them, and the figures that count, all to one scale."""

from __future__ import annotations

from collections.abc import Iterator

from fitfinder.arithmetic.sketches import WIDTH, Mark, Point, Sketch, line, outline
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import CHUCK_KINDS, COLLET_KINDS
from fitfinder.plan.holding_figures import HEIGHT, figures, tags
from fitfinder.plan.holding_layout import MIDDLE, NOSE, POINT_IN_WORK, SOFT_POINT, TOP, Layout
from fitfinder.plan.holdings import POINTED, HeldPiece, Holding, in_words
from inventory.reference.kinds import Kind


def drawing_of(holding: Holding | None) -> Sketch | None:
    """None where no piece of it stands in line with the work."""
    if holding is None or not holding.ends[0]:
        return None
    drawing = _Drawing(holding)
    return Sketch(marks=tuple(drawing.marks()), height=HEIGHT, words=in_words(holding))


class _Drawing(Layout):
    """Its strokes, from the spindle to the tailstock."""

    def marks(self) -> Iterator[Mark]:
        yield outline([(0, MIDDLE - 40), (NOSE, MIDDLE - 40), (NOSE, MIDDLE + 40), (0, MIDDLE + 40)], is_closed=False)
        for piece, (start, end) in zip(self.head, self.places, strict=True):
            if piece.kind != Kind.MANDREL:
                yield from self._piece(piece, start, end, tip=end)
        yield from self._jaws_drawn()
        yield from self._work_drawn()
        yield from self._tailstock()
        yield from self._beside()
        yield line(NOSE, MIDDLE, WIDTH, MIDDLE, "axis")
        yield from tags(self)
        yield from figures(self)

    def _piece(self, piece: HeldPiece, start: int, end: int, *, tip: int) -> Iterator[Mark]:
        half, left, right = self.high(piece.across), self.x(start), self.x(end)
        if piece.kind in POINTED:
            point, back = (right, left) if tip == end else (left, right)
            shoulder = point + (half * 7 // 4 if tip == start else -(half * 7 // 4))
            yield outline(
                [(back, MIDDLE - half), (shoulder, MIDDLE - half), (point, MIDDLE), (shoulder, MIDDLE + half),
                 (back, MIDDLE + half)]
            )  # fmt: skip
        elif piece.kind in COLLET_KINDS:
            slim = half * 3 // 4
            yield outline(
                [(left, MIDDLE - slim), (right, MIDDLE - half), (right, MIDDLE + half), (left, MIDDLE + slim)]
            )
        else:
            # What is larger than the picture is open where it is cut off.
            is_cut = piece.across * self.scale / 2 > half
            for side in (-1, 1):
                edge = MIDDLE + side * half
                corners: list[Point] = [(left, MIDDLE), (left, edge), (right, edge), (right, MIDDLE)]
                if is_cut:
                    yield line(left, MIDDLE, left, edge, "win")
                    yield line(right, MIDDLE, right, edge, "win")
                    yield line(left, edge, right, edge, "axis")
                else:
                    yield outline(corners, is_closed=False)

    def _jaws_drawn(self) -> Iterator[Mark]:
        """The jaws of a chuck on the outside of the work, or in its bore, and the ring of a split bushing."""
        if self.holder.kind not in CHUCK_KINDS:
            return
        left, right, inner = self.x(self.face - self.jaws), self.x(self.face), self.half
        if self.of.method == Method.SOFT_CENTER:
            inner = self.high(SOFT_POINT)
            yield outline([(left, MIDDLE - inner), (right, MIDDLE - inner),
                           (self.x(self.start + POINT_IN_WORK), MIDDLE),
                           (right, MIDDLE + inner), (left, MIDDLE + inner)])  # fmt: skip
        if self.of.method == Method.SPLIT_BUSHING:
            ring = inner * 4 // 3 + 4
            for side in (-1, 1):
                yield self._block(left, MIDDLE + side * inner, right, MIDDLE + side * ring, "zone")
            inner = ring
        outer = max(inner + 10, self.high(self.holder.across * 3 // 5))
        if self.of.is_inside and self.of.bore is not None:
            outer = max(4, round(self.of.bore.nm * self.scale / 2))
            inner = outer // 2
        for side in (-1, 1):
            yield self._block(left, MIDDLE + side * inner, right, MIDDLE + side * min(outer, MIDDLE - TOP), "win")

    @staticmethod
    def _block(left: int, top: int, right: int, bottom: int, css_class: str) -> Mark:
        return outline([(left, top), (right, top), (right, bottom), (left, bottom)], css_class)

    def _work_drawn(self) -> Iterator[Mark]:
        left, right, half = self.x(self.start), self.x(self.end), self.half
        top, bottom = MIDDLE - half, MIDDLE + half
        corners: list[Point] = [(left, top), (right, top), (right, bottom), (left, bottom)]
        if self.of.is_irregular:
            # Uneven on purpose: a block with a lump and a step.
            third, step = (right - left) // 3, half // 3
            corners = [
                (left, top + step), (left + third, top + step), (left + third, top), (right, top + step // 2),
                (right, bottom - step), (right - third, bottom - step), (right - third, bottom), (left, bottom - step),
            ]  # fmt: skip
        elif self.is_open_ended and not self.tail:
            # How long it is was not said: its end is broken off.
            corners[1:3] = [
                (right, top),
                (right - 8, MIDDLE - half // 3),
                (right, MIDDLE + half // 3),
                (right - 8, bottom),
            ]
        yield outline(corners, "work")
        if self.of.bore is not None:
            hole = round(self.of.bore.nm * self.scale / 2)
            yield from (
                line(left, MIDDLE + side * hole, right, MIDDLE + side * hole, "hidden-line") for side in (-1, 1)
            )
        if self.holder.kind in (Kind.MANDREL, Kind.EXPANDING_ARBOR):
            arbor = max(2, self.half // 2) if self.of.bore is None else round(self.of.bore.nm * self.scale / 2)
            tip = self.x(self.tail_from + POINT_IN_WORK) if self.tail else right + 6
            yield self._block(self.x(self.places[-1][0]), MIDDLE - arbor, tip, MIDDLE + arbor, "win")

    def _tailstock(self) -> Iterator[Mark]:
        at = self.tail_from
        for piece in self.tail:
            yield from self._piece(piece, at, at + piece.along, tip=at)
            at += piece.along

    def _beside(self) -> Iterator[Mark]:
        """Rests in dashes where they stand along the work, and the dog on its driven end."""
        for rest in self.of.of_kind(Kind.STEADY_REST, Kind.FOLLOW_REST):
            x = self.rest_at(rest)
            for side in (-1, 1):
                yield line(x, MIDDLE + side * self.half, x, MIDDLE + side * 50, "hidden-line")
            yield line(x - 9, MIDDLE + 50, x + 9, MIDDLE + 50, "hidden-line")
        if any(self.of.of_kind(Kind.LATHE_DOG)) and len(self.head) > 1:
            left, reach = self.x(self.start) + 5, self.half + 12
            back = self.x(self.places[0][1])
            yield self._block(left, MIDDLE - reach, left + 10, MIDDLE + reach, "win")
            yield outline([(left, MIDDLE - reach + 4), (back, MIDDLE - reach + 4)], is_closed=False)
