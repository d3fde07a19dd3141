"""The pictures of a plan, in whole pixels: the pieces of a way in a row, and the minutes of a lot against its parts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fitfinder.arithmetic.sketches import WIDTH, Mark, Sketch, line, outline, share, words
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, COLLET_KINDS, REST_KINDS, LatheOnHand, Piece, SeatOnHand
from fitfinder.holding.way import Way
from fitfinder.plan.plan import Plan
from inventory.reference.kinds import Kind

MIDDLE, HEIGHT = 62, 132
_CENTERS = CENTER_KINDS | {Kind.BULL_NOSE_CENTER}
_HALF: dict[str, int] = {
    **dict.fromkeys(CHUCK_KINDS | {Kind.FACEPLATE}, 44),
    **dict.fromkeys((Kind.CLOSER, Kind.COLLET_CHUCK), 32),
}
"""Half of the height that a piece is drawn with; all else is as high as a shank."""
_SHANK, _WORK, _HEADSTOCK = 18, 12, 36
_SLIMMEST, _STOUTEST = 6, 30
"""Half of the height that work is drawn with: its own proportion between these, `_WORK` where no length is told."""
_JAW, _DOG = 14, 20
_NOT_DRAWN = REST_KINDS | {Kind.KEY, Kind.COLLET_NUT, Kind.STOP, Kind.LATHE_DOG, Kind.DRAWBAR, Kind.DRILL_CHUCK}
"""What is laid beside, sits on the work or is out of sight; the list has it. A dog is drawn on the work."""


def chain_picture(way: Way) -> Sketch | None:
    """None where nothing is known to be drawn, or the way cannot hold the job."""
    if not way.can or way.lathe is None:
        return None
    head, tail = _both_ends(way, way.lathe)
    if not head:
        return None
    boxes = 1 + len(head)
    wide = WIDTH // (boxes + 2 + len(tail))
    start, end = boxes * wide, (boxes + 2) * wide
    half = _half_of_work(way, end - start)
    marks = _headstock(way.lathe, wide)
    for place, piece in enumerate(head, start=1):
        marks += _drawn(piece, place * wide, wide, points_right=True) + _seat(piece, place * wide)
    marks += _work(way, start, end, half) + _jaws(head[-1], start, half) + _dog(way, boxes, wide, half)
    for place, piece in enumerate(tail):
        marks += _drawn(piece, end + place * wide, wide, points_right=False)
        marks += _seat(piece, min(end + (place + 1) * wide, WIDTH - 14))
    return Sketch(marks=tuple(marks), height=HEIGHT, words=_words(way, way.lathe, head, tail))


def _both_ends(way: Way, lathe: LatheOnHand) -> tuple[list[Piece], list[Piece]]:
    """The pieces at the headstock outward from the spindle, and those at the tailstock outward from the work."""
    drawn = [piece for piece in way.pieces if piece.kind not in _NOT_DRAWN]
    last = max((place for place, piece in enumerate(drawn) if piece.kind in _CENTERS), default=0)
    if last == 0:
        return drawn, []
    # The tailstock's own run begins with what goes into its taper, sleeves before the center.
    first = last
    while first > 1 and not _goes_in(drawn[first], lathe.tailstock_taper):
        if drawn[first - 1].kind != Kind.SLEEVE:
            return drawn, []
        first -= 1
    return [*drawn[:first], *drawn[last + 1 :]], drawn[first : last + 1][::-1]


def _goes_in(piece: Piece, seat: SeatOnHand | None) -> bool:
    """Whether it goes into this seat; where its own is not known it may."""
    return piece.mounts_in is None or (seat is not None and piece.mounts_in.code == seat.code)


def _headstock(lathe: LatheOnHand, wide: int) -> list[Mark]:
    box = [(1, MIDDLE - _HEADSTOCK), (wide, MIDDLE - _HEADSTOCK), (wide, MIDDLE + _HEADSTOCK), (1, MIDDLE + _HEADSTOCK)]
    return [outline(box, "stock"), words(1, 10, lathe.name, anchor="start")]


def _seat(piece: Piece, x: int) -> list[Mark]:
    """The name of the seat between two pieces."""
    return [] if piece.mounts_in is None else [words(x, HEIGHT - 4, piece.mounts_in.code)]


def _drawn(piece: Piece, left: int, wide: int, *, points_right: bool) -> list[Mark]:
    half, right = _HALF.get(piece.kind, _SHANK), left + wide
    if piece.kind in _CENTERS:
        tip, back = (right, left) if points_right else (left, right)
        shoulder = (tip + back) // 2
        shape = [
            (back, MIDDLE - half), (shoulder, MIDDLE - half), (tip, MIDDLE), (shoulder, MIDDLE + half),
            (back, MIDDLE + half),
        ]  # fmt: skip
    elif piece.kind in COLLET_KINDS:
        shape = [(left, MIDDLE - half), (right, MIDDLE - half - 8), (right, MIDDLE + half + 8), (left, MIDDLE + half)]
    else:
        shape = [(left, MIDDLE - half), (right, MIDDLE - half), (right, MIDDLE + half), (left, MIDDLE + half)]
    return [outline(shape, "win"), words(left + wide // 2, MIDDLE + 4, piece.tag)]


def _half_of_work(way: Way, wide: int) -> int:
    job = way.job
    if job.is_irregular:
        return _STOUTEST
    if job.length is None:
        return _WORK
    return min(_STOUTEST, share(Fraction(job.thickness.nm, 2), Fraction(job.length.nm), wide, least=_SLIMMEST))


def _work(way: Way, start: int, end: int, half: int) -> list[Mark]:
    top, bottom = MIDDLE - half, MIDDLE + half
    box = [(start, top), (end, top), (end, bottom), (start, bottom)]
    if way.job.is_irregular:
        # Uneven on purpose: a block with a lump and a step.
        third = (end - start) // 3
        box = [
            (start, top + 8), (start + third, top + 8), (start + third, top), (end, top + 4), (end, bottom - 14),
            (end - third, bottom - 14), (end - third, bottom), (start, bottom - 4),
        ]  # fmt: skip
    found = [outline(box, "zone"), line(start, MIDDLE, end, MIDDLE, "limit")]
    if way.job.bore is not None and way.job.length is not None:
        hole = max(2, half * way.job.bore.nm // way.job.stock.band.largest.nm)
        found += [line(start, MIDDLE + side * hole, end, MIDDLE + side * hole, "limit") for side in (-1, 1)]
    return [*found, words((start + end) // 2, 12, "work", "zone")]


def _jaws(holder: Piece, start: int, half: int) -> list[Mark]:
    """The jaws of a chuck on the outside of the work; none where it is held otherwise."""
    if holder.kind not in CHUCK_KINDS:
        return []
    return [
        outline([(start, inner), (start + _JAW, inner), (start + _JAW, outer), (start, outer)], "win")
        for inner, outer in ((MIDDLE - half, MIDDLE - half - _JAW), (MIDDLE + half, MIDDLE + half + _JAW))
    ]


def _dog(way: Way, boxes: int, wide: int, half: int) -> list[Mark]:
    """The dog on the driven end of the work, its tail back to what drives it."""
    dog = _dog_of(way)
    if dog is None or boxes < 3:
        return []
    start, back = boxes * wide, (boxes - 1) * wide
    left, right, top = start + 8, start + 18, MIDDLE - half - _DOG
    shape = [
        (back, top), (right, top), (right, MIDDLE + half + 8), (left, MIDDLE + half + 8), (left, top + 8),
        (back, top + 8),
    ]  # fmt: skip
    return [outline(shape, "win"), words(right + 4, MIDDLE + half + 18, dog.tag, anchor="start")]


def _dog_of(way: Way) -> Piece | None:
    return next((piece for piece in way.pieces if piece.kind == Kind.LATHE_DOG), None)


def _words(way: Way, lathe: LatheOnHand, head: list[Piece], tail: list[Piece]) -> str:
    dog = _dog_of(way)
    work = f"the work with {dog.tag}, {dog.kind}" if dog else "the work"
    in_line = [lathe.name, *map(_called, head), work, *map(_called, tail)]
    return f"From the spindle to the tailstock: {'; '.join(in_line)}. Not to scale."


def _called(piece: Piece) -> str:
    return f"{piece.tag}, {piece.kind}"


# Minutes against parts.

LEFT, RIGHT, TOP, BOTTOM = 40, 330, 12, 168
"""The lines are drawn in a picture 358 wide and 200 high."""
MOST_LINES = 4
DASHES = (("", "whole line"), ("8 4", "dashed"), ("2 4", "dotted"), ("12 3 2 3", "long and short"))
"""Each line has its own and the word for it, so that none is told by color alone."""


@dataclass(frozen=True)
class MinutesLine:
    """One way from no part to the most parts of the picture, with the minutes at either end."""

    way: Way
    number: int
    dash: str
    dash_word: str
    y_from: int
    y_to: int
    label_y: int


@dataclass(frozen=True)
class MinutesPicture:
    """The picture, and the words that say the same."""

    lines: tuple[MinutesLine, ...]
    most_parts: int
    most_minutes: int
    asked_x: int
    words: str


def minutes_against_parts(plan: Plan) -> MinutesPicture | None:
    """The ways whose minutes are worth comparing, the quickest for this lot first; None with fewer than two."""
    job = plan.job
    able = [(way, way.effort) for way in plan.compared if way.effort is not None]
    able.sort(key=lambda pair: pair[1].total(parts=job.parts, setups=job.setups))
    if len(able) < 2:
        return None
    most = max(10, 2 * job.parts, *(min(2 * one.parts, 20 * job.parts + 20) for one in plan.crossings))
    drawn = [
        (way, effort.total(parts=0, setups=job.setups), effort.total(parts=most, setups=job.setups))
        for way, effort in able[:MOST_LINES]
    ]
    top = max(max(first, last) for _, first, last in drawn) or Fraction(1)
    labels = _apart([_y(last, top) for _, _, last in drawn])
    return MinutesPicture(
        lines=tuple(
            MinutesLine(way, number + 1, *DASHES[number], _y(first, top), _y(last, top), labels[number])
            for number, (way, first, last) in enumerate(drawn)
        ),
        most_parts=most,
        most_minutes=int(top),
        asked_x=LEFT + (RIGHT - LEFT) * job.parts // most,
        words="; ".join(
            f"{number} {way.method}: {int(first)} min before the first part, {int(last)} for {most}"
            for number, (way, first, last) in enumerate(drawn, start=1)
        ),
    )


def _y(minutes: Fraction, top: Fraction) -> int:
    return BOTTOM - int((BOTTOM - TOP) * minutes / top)


def _apart(places: list[int]) -> list[int]:
    """The same heights, moved so that no two labels lie on each other."""
    taken: dict[int, int] = {}
    last = -100
    for index, place in sorted(enumerate(places), key=lambda pair: pair[1]):
        last = max(place, last + 14)
        taken[index] = last
    return [taken[index] for index in range(len(places))]
