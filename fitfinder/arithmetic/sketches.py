"""Small drawings in whole pixels, made from the numbers of a sum, each with the same in words."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

Pixels = int | float | Fraction
Point = tuple[Pixels, Pixels]
WIDTH = 358
"""All are as wide as a phone has room for."""


class Mark(Struct, frozen=True):
    """One stroke or word: `shape` is line, circle, path or text; `css_class` a class of the
    style sheet: win, stock, limit and zone, or bar and zone-line for a stroke without filling."""

    shape: str
    css_class: str
    at: tuple[int, ...] = ()
    text: str = ""
    anchor: str = "middle"


class Sketch(Struct, frozen=True, kw_only=True):
    """What is drawn, how high it is, and the words that say the same."""

    marks: tuple[Mark, ...]
    height: int
    words: str
    width: int = WIDTH


def line(x1: Pixels, y1: Pixels, x2: Pixels, y2: Pixels, css_class: str = "limit") -> Mark:
    return Mark("line", css_class, (round(x1), round(y1), round(x2), round(y2)))


def circle(x: Pixels, y: Pixels, radius: Pixels, css_class: str = "win") -> Mark:
    return Mark("circle", css_class, (round(x), round(y), max(1, round(radius))))


def outline(points: Iterable[Point], css_class: str = "win", *, is_closed: bool = True) -> Mark:
    """A line through the points, drawn back to the first where it is closed."""
    path = "M" + "L".join(f"{round(x)} {round(y)}" for x, y in points) + ("Z" if is_closed else "")
    return Mark("path", css_class, text=path)


def words(x: Pixels, y: Pixels, text: str, css_class: str = "limit", *, anchor: str = "middle") -> Mark:
    return Mark("text", css_class, (round(x), round(y)), text, anchor)


def around(x: Pixels, y: Pixels, radius: Pixels, degrees: int | float) -> Point:
    """A point on a circle, `degrees` counted from twelve o'clock with the clock."""
    turn = math.radians(degrees)
    return x + radius * math.sin(turn), y - radius * math.cos(turn)


def polygon(x: Pixels, y: Pixels, radius: Pixels, sides: int, *, turned: int = 0) -> list[Point]:
    """The corners of a regular figure; one of them at twelve o'clock turned by `turned` degrees."""
    return [around(x, y, radius, turned + 360 * n / sides) for n in range(sides)]


def share(part: Fraction, total: Fraction, pixels: int, *, least: int = 0) -> int:
    """So many pixels as `part` is of `total`, but never fewer than `least`, so that it can be seen."""
    return max(least, min(pixels, round(pixels * part / total))) if total else least
