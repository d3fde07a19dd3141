"""The tags and the figures of a holding that is drawn, none on another."""

from __future__ import annotations

from collections.abc import Iterator

from fitfinder.arithmetic.sketches import WIDTH, Mark, line, words
from fitfinder.holding.pieces import CHUCK_KINDS, REST_KINDS
from fitfinder.plan.holding_layout import BOTTOM, MIDDLE, TOP, Layout
from fitfinder.plan.holdings import across
from inventory.labels.plate_widths import width_of
from inventory.measures.length_words import in_unit
from inventory.reference.kinds import Kind

FIGURES, HEIGHT = 188, 212
LETTER = 16


def tags(drawn: Layout) -> Iterator[Mark]:
    """Each tag above its piece, with a line down to it, in two rows so that none lies on another."""
    ends = {12: -4, 30: -4}
    for at, top, tag in sorted(_tagged(drawn)):
        wide = _wide(tag)
        row = 12 if ends[12] <= ends[30] else 30
        left = max(ends[row] + 6, min(WIDTH - wide, at - wide // 2))
        if left + wide > WIDTH:
            row = 42 - row
            left = max(ends[row] + 6, WIDTH - wide)
        ends[row] = left + wide
        yield line(at, row + 4, at, top, "lead-line")
        yield words(left, row, tag, "held", anchor="start")


def _tagged(drawn: Layout) -> Iterator[tuple[int, int, str]]:
    """Where along the picture a tag points, how far down, and what it says."""
    for piece, (start, end) in zip(drawn.head, drawn.places, strict=True):
        at = drawn.x(start) + 4 if piece.kind in CHUCK_KINDS else drawn.x((start + end) // 2)
        yield at, MIDDLE - drawn.high(piece.across), piece.tag
    at = drawn.tail_from
    for piece in drawn.tail:
        yield min(WIDTH - 8, drawn.x(at + piece.along * 3 // 4)), MIDDLE - drawn.high(piece.across), piece.tag
        at += piece.along
    for rest in drawn.of.of_kind(Kind.STEADY_REST, Kind.FOLLOW_REST):
        yield drawn.rest_at(rest), MIDDLE - 50, rest.tag
    if len(drawn.head) > 1:
        for dog in drawn.of.of_kind(Kind.LATHE_DOG):
            yield drawn.x(drawn.start) + 10, MIDDLE - drawn.half - 12, dog.tag


def figures(drawn: Layout) -> Iterator[Mark]:
    """The grip and the stick-out below what they measure, on either side of where the one ends; the speed; and the
    size of the work."""
    of, face, taken = drawn.of, drawn.x(drawn.face), 0
    if of.grip is not None:
        text = f"grip {in_unit(of.grip)}"
        yield from _measured(drawn.x(drawn.start), face)
        begins = max(0, face - 4 - _wide(text))
        yield words(begins, FIGURES, text, "held", anchor="start")
        taken = begins + _wide(text) + 10
    out = of.stands_out if of.grip is not None else of.length
    if out is not None and out.nm:
        text = f"{in_unit(out)} {'out' if of.grip is not None else 'long'}"
        left = face if of.grip is not None else drawn.x(drawn.start)
        yield from _measured(left, drawn.x(drawn.end))
        yield words(max(taken, min(left + 4, WIDTH - _wide(text))), FIGURES, text, "held", anchor="start")
    if of.rpm is not None:
        yield words(0, HEIGHT - 4, f"at most {of.rpm} rpm", "held", anchor="start")
    yield from _size(drawn)


def _measured(left: int, right: int) -> Iterator[Mark]:
    yield line(left, BOTTOM + 8, right, BOTTOM + 8, "figure-line")
    yield from (line(x, BOTTOM + 3, x, BOTTOM + 13, "figure-line") for x in (left, right))


def _size(drawn: Layout) -> Iterator[Mark]:
    """Beside the end of the work where there is room, else above it, else in the corner."""
    text = across(drawn.of)
    if not text:
        return
    end, top = drawn.x(drawn.end), MIDDLE - drawn.half
    begins = drawn.x(max(drawn.face, drawn.start)) + (24 if any(drawn.of.of_kind(Kind.LATHE_DOG)) else 8)
    rests = [drawn.rest_at(rest) for rest in drawn.of.of_kind(*REST_KINDS)]
    if not drawn.tail and not drawn.is_open_ended and end + 16 + _wide(text) <= WIDTH:
        yield line(end + 8, top, end + 8, MIDDLE + drawn.half, "figure-line")
        yield from (line(end + 3, y, end + 13, y, "figure-line") for y in (top, MIDDLE + drawn.half))
        yield words(end + 16, MIDDLE + 6, text, "held", anchor="start")
    elif top - 22 > TOP and begins + _wide(text) + 4 <= min([end, *rests]):
        yield words(begins, top - 8, text, "held", anchor="start")
    else:
        yield words(WIDTH, HEIGHT - 4, f"{text} across", "held", anchor="end")


def _wide(text: str) -> int:
    return width_of(text) * LETTER // 1000 + 1
