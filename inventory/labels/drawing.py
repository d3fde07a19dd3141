"""A label as what an SVG needs: lines of text that fit, and a code. Millimetres as text, measured in micrometres.

Drawn, not laid out: a grid that a user sets would need styles in the page, which its policy refuses.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from inventory.labels.codes import Code, code
from inventory.labels.grid import LabelBox, LabelGrid
from inventory.labels.plate_widths import width_of
from inventory.labels.wording import Belonging, Label, shortened

UM_PER_POINT = 353
"""An inch has 72 points and 25 400 micrometres."""
NAME_POINTS = range(160, 13, -1)
"""The name is read from as far as its label allows: as large as it fits, and never smaller than the last."""
_NAME_ASCENT, _NAME_DESCENT = 72, 22
"""How far the letters of a name go above and below their line, as parts of 100 of the type's height."""
_NAME_LINE = _NAME_ASCENT + _NAME_DESCENT
_BELOW = 4
"""So many lines below the name it leaves room for, where there are as many to say."""
_DRAWER_LINES = 2
"""So many of them at most say the place of a piece."""
SMALL_POINTS = 9
PAD = 2000
# Widths of narrow and of usual letters as parts of 100 of the type's height, on the wide side of common sans serifs.
_PLAIN = (37, 63)
_NARROW, _WIDE = set("iljtf.,:;'!|I()[] -/"), set("mwMW@%—")
_LINE = 120
"""From line to line, as parts of 100 of the type's height."""


class LabelLine(Struct, frozen=True):
    text: str
    x: str
    y: str
    size: str
    is_name: bool


class DrawnLabel(Struct, frozen=True):
    """One label on its sheet; positions are millimetres from the sheet's corner."""

    label: Label
    left: str
    top: str
    width: str
    height: str
    lines: tuple[LabelLine, ...]
    code: Code
    code_left: str
    code_top: str
    code_scale: str
    """Millimetres of one module."""


class LabelSheet(Struct, frozen=True):
    labels: tuple[DrawnLabel, ...]

    @property
    def words(self) -> str:
        """The sheet in a sentence, for who does not see it."""
        return f"{len(self.labels)} label{'' if len(self.labels) == 1 else 's'}: " + ", ".join(
            drawn.label.words for drawn in self.labels
        )


def sheets(labels: list[Label], grid: LabelGrid, *, site: str, first: int = 1) -> list[LabelSheet]:
    """The labels on as many sheets as they need; on the first sheet they begin at position `first`, from 1 on."""
    places = [divmod(number + first - 1, grid.holds) for number in range(len(labels))]
    made: list[list[DrawnLabel]] = [[] for _ in range(places[-1][0] + 1)] if places else []
    for (number, position), label in zip(places, labels, strict=True):
        made[number].append(_drawn(label, grid.box(position), site=site))
    return [LabelSheet(tuple(drawn)) for drawn in made]


def _drawn(label: Label, box: LabelBox, *, site: str) -> DrawnLabel:
    made = code(site + label.path)
    # The code's own quiet zone stands in for a margin around it; the words keep three fifths of the width.
    side = min(box.height - PAD, box.width * 2 // 5)
    module = side // made.side
    left = box.left + box.width - side
    return DrawnLabel(
        label=label,
        left=_mm(box.left),
        top=_mm(box.top),
        width=_mm(box.width),
        height=_mm(box.height),
        lines=tuple(_lines(label, box, width=box.width - side - PAD)),
        code=made,
        code_left=_mm(left),
        code_top=_mm(box.top + (box.height - module * made.side) // 2),
        code_scale=_mm(module),
    )


def _lines(label: Label, box: LabelBox, *, width: int):
    """The name as large as it fits, then what still finds room below it."""
    height = box.height - 2 * PAD
    # Of a piece its series, tag and drawer have to stand below; what that stands in only where there is room left.
    below = len(_below(replace(label, stands_in="") if label.drawer else label, width=width, room=_BELOW))
    points, names = _name(label.name, width=width, height=height, below=below * _height(SMALL_POINTS))
    y, bottom = box.top + PAD, box.top + box.height - PAD
    for text in names:
        yield _line(text, box, y + points * UM_PER_POINT * _NAME_ASCENT // 100, points, is_name=True)
        y += _name_height(points)
    for text in _below(label, width=width, room=(bottom - y) // _height(SMALL_POINTS)):
        y += _height(SMALL_POINTS)
        yield _line(text, box, y - _height(SMALL_POINTS) // 5, SMALL_POINTS, is_name=False)


def _line(text: str, box: LabelBox, baseline: int, points: int, *, is_name: bool) -> LabelLine:
    return LabelLine(text, _mm(box.left + PAD), _mm(baseline), _mm(points * UM_PER_POINT), is_name)


def _name(name: str, *, width: int, height: int, below: int) -> tuple[int, list[str]]:
    """The largest type in which the name takes one line above the lines `below`; else the smallest, wrapped."""
    for points in NAME_POINTS:
        if _width(name, points) <= width and _name_height(points) <= height - below:
            return points, [name]
    smallest = NAME_POINTS[-1]
    most = max(height // _name_height(smallest), 1)
    return smallest, _cut(_wrapped(name, smallest, width), smallest, width, most=most)


def _below(label: Label, *, width: int, room: int) -> list[str]:
    """What the place stands in where there is room for that too, and as much of what belongs there as fits.

    The drawer of a piece stands in its place where room is short, at last in one line with the rest.
    """
    lines = _fitted(label.belongings, width=width, room=room)
    drawer = _cut(_wrapped(label.drawer, SMALL_POINTS, width), SMALL_POINTS, width, most=_DRAWER_LINES)
    for where in (_wrapped(label.stands_in, SMALL_POINTS, width), drawer):
        if any(where) and len(where) + len(lines) <= room:
            return where + lines
    if not label.drawer or room < 1:
        return lines
    together = " ".join([label.drawer, *(one.words for one in reversed(label.belongings))])
    return _cut(_wrapped(together, SMALL_POINTS, width), SMALL_POINTS, width, most=room)


def _fitted(belongings: tuple[Belonging, ...], *, width: int, room: int) -> list[str]:
    for most in range(len(belongings), -1, -1):
        shown = shortened(belongings, most=most)
        lines = [line for one in shown for line in _wrapped(one.words, SMALL_POINTS, width)]
        if len(lines) <= room:
            return lines
    return []


def _wrapped(text: str, points: int, width: int) -> list[str]:
    lines, line = [], ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if _width(longer, points) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while _width(line, points) > width:
            fitting = next(n for n in range(len(line) - 1, 0, -1) if n == 1 or _width(line[:n], points) <= width)
            lines.append(line[:fitting])
            line = line[fitting:]
    return [*lines, line]


def _cut(lines: list[str], points: int, width: int, *, most: int) -> list[str]:
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and _width(last + "…", points) > width:
        last = last[:-1]
    return [*lines[: most - 1], last + "…"]


def _width(text: str, points: int) -> int:
    if points != SMALL_POINTS:
        return width_of(text) * points * UM_PER_POINT // 1000
    narrow, usual = _PLAIN
    parts = sum(
        narrow if letter in _NARROW else 100 if letter in _WIDE or ord(letter) > 0x2E7F else usual for letter in text
    )
    return parts * points * UM_PER_POINT // 100


def _name_height(points: int) -> int:
    return points * UM_PER_POINT * _NAME_LINE // 100


def _height(points: int) -> int:
    return points * UM_PER_POINT * _LINE // 100


def _mm(um: int) -> str:
    return f"{um // 1000}.{um % 1000:03d}"
