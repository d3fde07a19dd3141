"""Tables as they stand in print, typed as text: one row to a line, a dash for an empty cell."""

from inventory.measures.lengths import Length


def lines(print_: str) -> list[list[str]]:
    return [line.split() for line in print_.strip().splitlines()]


def inches(text: str) -> Length | None:
    return None if text == "-" else Length.inches(text)


def mm(text: str) -> Length | None:
    return None if text == "-" else Length.mm(text)


def thousandths(text: str) -> Length:
    """`1.5` is 0.0015 in."""
    return Length(Length.inches(text).nm // 1000)
