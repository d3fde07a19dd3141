"""The pieces of a way side by side, from the spindle to the tailstock, in whole pixels and not to scale."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.sketches import WIDTH, Mark, Sketch, line, outline, share, words
from fitfinder.holding.pieces import CHUCK_KINDS, COLLET_KINDS, Piece
from fitfinder.plan.ways import Way

MIDDLE, HEIGHT = 62, 132
_CENTERS = frozenset({"live center", "dead center", "bull-nose center", "extended-point center"})
_HALF = dict.fromkeys(CHUCK_KINDS | {"faceplate"}, 44) | dict.fromkeys(("closer", "collet chuck"), 32)
"""Half of the height that a piece is drawn with; all else is as high as a shank."""
_SHANK, _WORK, _HEADSTOCK = 18, 12, 36
_SLIMMEST, _STOUTEST = 6, 30
"""Half of the height that work is drawn with: its own proportion between these, `_WORK` where no length is told."""
_JAW, _DOG = 14, 20
_NOT_DRAWN = frozenset({"key", "lathe dog", "steady rest", "follow rest", "drawbar"})
"""What is laid beside, sits on the work or is out of sight; the list has it. A dog is drawn on the work."""


def chain_picture(way: Way) -> Sketch | None:
    """None where nothing is known to be drawn, or the way cannot hold the job."""
    if not way.can or way.lathe is None:
        return None
    head, tail = _both_ends(way)
    if not head:
        return None
    boxes = [None, *head]
    count = len(boxes) + 2 + len(tail)
    wide = WIDTH // count
    marks: list[Mark] = []
    for place, piece in enumerate(boxes):
        marks += _headstock(way, wide) if piece is None else _drawn(piece, place * wide, wide, points_right=True)
        if piece is not None and piece.mounts_in is not None:
            marks.append(words(place * wide, HEIGHT - 4, piece.mounts_in.code))
    start, end = len(boxes) * wide, (len(boxes) + 2) * wide
    half = _half_of_work(way, end - start)
    marks += _work(way, start, end, half)
    marks += _jaws(head[-1], start, half)
    marks += _dog(way, len(boxes), wide, half)
    for place, piece in enumerate(tail):
        marks += _drawn(piece, end + place * wide, wide, points_right=False)
        if piece.mounts_in is not None:
            marks.append(words(min(end + (place + 1) * wide, WIDTH - 14), HEIGHT - 4, piece.mounts_in.code))
    return Sketch(marks=tuple(marks), height=HEIGHT, words=_words(way, head, tail))


def _both_ends(way: Way) -> tuple[list[Piece], list[Piece]]:
    """The pieces at the headstock outward from the spindle, and those at the tailstock outward from the work."""
    drawn = [piece for piece in way.pieces if piece.kind not in _NOT_DRAWN]
    seat = way.lathe.tailstock_taper.code if way.lathe.tailstock_taper else None
    last = max((place for place, piece in enumerate(drawn) if piece.kind in _CENTERS), default=None)
    if last is None or last == 0:
        return drawn, []
    # The tailstock's own run begins with what goes into its taper, sleeves before the center.
    first = last
    while first > 1 and drawn[first].mounts_in is not None and drawn[first].mounts_in.code != seat:
        if drawn[first - 1].kind != "sleeve":
            return drawn, []
        first -= 1
    return [*drawn[:first], *drawn[last + 1 :]], drawn[first : last + 1][::-1]


def _headstock(way: Way, wide: int) -> list[Mark]:
    box = [(1, MIDDLE - _HEADSTOCK), (wide, MIDDLE - _HEADSTOCK), (wide, MIDDLE + _HEADSTOCK), (1, MIDDLE + _HEADSTOCK)]
    return [outline(box, "stock"), words(1, 10, way.lathe.name, anchor="start")]


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
    dog = next((piece for piece in way.pieces if piece.kind == "lathe dog"), None)
    if dog is None or boxes < 3:
        return []
    start, back = boxes * wide, (boxes - 1) * wide
    left, right, top = start + 8, start + 18, MIDDLE - half - _DOG
    shape = [
        (back, top), (right, top), (right, MIDDLE + half + 8), (left, MIDDLE + half + 8), (left, top + 8),
        (back, top + 8),
    ]  # fmt: skip
    return [outline(shape, "win"), words(right + 4, MIDDLE + half + 18, dog.tag, anchor="start")]


def _with_dog(way: Way) -> str:
    return next((f" with {piece.tag}, {piece.kind}" for piece in way.pieces if piece.kind == "lathe dog"), "")


def _words(way: Way, head: list[Piece], tail: list[Piece]) -> str:
    said = [f"{way.lathe.name}", *(f"{piece.tag}, {piece.kind}" for piece in head), f"the work{_with_dog(way)}"]
    said += [f"{piece.tag}, {piece.kind}" for piece in tail]
    return f"From the spindle to the tailstock: {'; '.join(said)}. Not to scale."
