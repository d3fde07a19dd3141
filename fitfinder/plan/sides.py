"""Flat bar and tube as they are written, by two lengths in one text: `4 x 2`, `1-1/2 x .065`."""

from __future__ import annotations

from fitfinder.holding.shape_words import two_sides
from fitfinder.holding.stock import Band, Stock
from fitfinder.questions import QuestionError, length_of
from inventory.measures.lengths import Length, Unit, exact, named, shorten


def rectangle(asked, unit: Unit, bare_limit: Length | None) -> tuple[Stock, Length]:
    """The longer side as stock, and the shorter side; `1 x 2` in one text, or in two."""
    one, other = asked["size"], asked["size2"]
    both = two_sides(one)
    if both and not other:
        one, other = both
    if asked["grade"]:
        raise QuestionError(
            "The tables have no flat bar. Measure both sides and leave out the grade.",
            field="grade",
            read=shorten(asked["grade"]),
        )
    if not other:
        raise QuestionError(
            f"“{shorten(one)}” is one side. Write both sides of flat bar, like 1 x 2.",
            field="size2",
            read="",
        )
    first = length_of(one, field="size", unit=unit, bare_limit=bare_limit)
    second = length_of(other, field="size2", unit=unit, bare_limit=bare_limit)
    short, long = sorted((first, second), key=lambda reading: reading.length)
    stock = Stock(
        shape="rectangular",
        band=Band(long.length, long.length),
        read_as=f"{named(short.length)} by {named(long.length)} in flat, measured",
    )
    return stock, short.length


def wall_as_bore(asked: dict[str, str], unit: Unit, bare_limit: Length | None) -> None:
    """`1-1/2 x .065`, as tube is sold: the outside stays as the size, and the wall becomes the bore."""
    both = two_sides(asked["size"])
    if both is None or asked["bore"]:
        return
    outside = length_of(both[0], field="size", unit=unit, bare_limit=bare_limit).length
    wall = length_of(both[1], field="size", unit=unit).length
    if wall * 2 >= outside:
        raise QuestionError(
            f"A wall of {named(wall)} in leaves no bore in tube of {named(outside)} in. Write outside x wall, like "
            "1-1/2 x .065.",
            field="size",
            read=shorten(asked["size"]),
        )
    asked |= {"size": both[0], "bore": exact(outside - wall * 2)}
