"""A piece drawn with its figures where they belong: what it sits in, its largest diameter, what it holds or cuts."""

from __future__ import annotations

from msgspec import Struct

from inventory.measures.length_words import in_unit, measured, nominal_in_full, span, span_of_sizes
from inventory.measures.lengths import Length
from inventory.models import Kind, Tool
from inventory.models.kinds import CENTERS, CHUCKS
from inventory.reference.bodies import Dimension, bodies
from inventory.reference.kind_drawings import ER_COLLET, KindDrawing, Point, drawing_of

WIDTH = 340
_LEFT, _TOP = 64, 32
_NOTE, _LINE = 190, 23
"""Where the words below the outline stand, and from one line of them to the next."""
_ROOM = 32
"""As many letters as two words below the outline have room for, beside each other."""


class Pointer(Struct, frozen=True):
    """A figure with the line from it to where on the piece it counts."""

    text: str
    x: int
    y: int
    anchor: str
    line: str


class PieceDrawing(Struct, frozen=True, kw_only=True):
    """The outline, which is put at `left` and `top` and drawn 2.2 times as large; `words` says the same."""

    outline: KindDrawing
    jaws: int | None
    pointers: tuple[Pointer, ...]
    below: tuple[str, ...]
    words: str
    left: int = _LEFT
    top: int = _TOP

    @property
    def lines(self) -> tuple[tuple[int, str], ...]:
        first = _NOTE + (_LINE if any(pointer.y == _NOTE for pointer in self.pointers) else 0)
        return tuple((first + place * _LINE, text) for place, text in enumerate(self.below))

    @property
    def height(self) -> int:
        return max([_NOTE, *(y for y, _ in self.lines)]) + 10


def drawing_of_piece(tool: Tool) -> PieceDrawing:
    kind = Kind(tool.kind)
    outline = ER_COLLET if kind == Kind.COLLET and tool.size and tool.size.series.is_er else drawing_of(kind)
    top, shank, work = _top(tool), tool.mounts_in.code if tool.mounts_in else _shank(tool), _work(tool)
    below = _below(tool)
    pointers = [_above(top, outline.top), _at_left(shank, outline.shank)]
    if len(shank) + len(work) > _ROOM:
        below = (work, *below)
    else:
        pointers.append(_at_right(work, outline.work))
    parts = [text for text in (shank and f"{shank} at the spindle", top, work, *_below(tool)) if text]
    return PieceDrawing(
        outline=outline,
        jaws=tool.jaws,
        pointers=tuple(pointer for pointer in pointers if pointer.text),
        below=below,
        words=f"{tool.kind.capitalize()}, drawn: {'; '.join(parts)}" if parts else f"{tool.kind.capitalize()}, drawn",
    )


def _top(tool: Tool) -> str:
    if tool.body:
        return f"body {in_unit(tool.body)}"
    head = _head(tool)
    return f"head {measured(head)}" if head else ""


def _head(tool: Tool) -> Length | None:
    """The largest diameter of a collet, by its series: the shop's own figure, else the table's."""
    if tool.size is None:
        return None
    series = tool.size.series
    body = next((body for body in bodies() if body.code == series.code), None)
    figure = body.figure(Dimension.HEAD) if body else None
    return series.head or (figure.value if figure and isinstance(figure.value, Length) else None)


def _shank(tool: Tool) -> str:
    return f"{in_unit(tool.shank)} shank" if tool.shank else ""


def _work(tool: Tool) -> str:
    """What stands where the work is: the size, the point, the jaws, what it takes."""
    if tool.kind in CENTERS:
        return f"{tool.angle_deg}° point" if tool.angle_deg else ""
    if tool.size:
        return nominal_in_full(tool.size.nominal)
    if tool.cuts:
        return f"cuts {in_unit(tool.cuts)}"
    if tool.offers:
        return f"takes {tool.offers.code}"
    jaws = f"{tool.jaws} jaws" if tool.kind in CHUCKS and tool.jaws else ""
    return ", ".join(filter(None, (jaws, _sizes(tool.outside_smallest, tool.outside_largest))))


def _below(tool: Tool) -> tuple[str, ...]:
    size = tool.size if tool.kind == Kind.COLLET else None
    inside = _sizes(tool.inside_smallest, tool.inside_largest)
    rows = (
        size and f"clamps {span(size.clamps_from, size.clamps_to)}",
        size and size.true_from and size.true_to and f"runs as marked {span(size.true_from, size.true_to)}",
        inside and f"inside {inside}",
        tool.extension and f"point extends {in_unit(tool.extension)}",
        tool.through and f"passes bar to {in_unit(tool.through)}",
        tool.max_rpm and f"{tool.max_rpm} rpm at most",
    )
    return tuple(row for row in rows if row)


def _sizes(low: Length | None, high: Length | None) -> str:
    if low is None or high is None:
        return ""
    return in_unit(low) if low == high else span_of_sizes(low, high)


def _on_page(point: Point) -> Point:
    return _LEFT + point[0] * 22 // 10, _TOP + point[1] * 22 // 10


def _above(text: str, point: Point) -> Pointer:
    x, y = _on_page(point)
    return Pointer(text, x, 16, "middle", f"M{x} 22V{y}")


def _at_left(text: str, point: Point) -> Pointer:
    x, y = _on_page(point)
    return Pointer(text, 4, _NOTE, "start", f"M{x} {y}L40 {_NOTE - 17}")


def _at_right(text: str, point: Point) -> Pointer:
    x, y = _on_page(point)
    return Pointer(text, WIDTH - 4, _NOTE, "end", f"M{x} {y}L300 {_NOTE - 17}")
