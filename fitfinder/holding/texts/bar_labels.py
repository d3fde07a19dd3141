"""A bar's label: a size and the words of its grade, in either order, with or without the shape."""

from __future__ import annotations

import re

from msgspec import Struct

from fitfinder.holding.texts.shape_words import LONGEST, across_flats, shape_named, size_and_shape
from inventory.measures.collet_marks import shape_off
from inventory.measures.signs import plain_signs
from inventory.reference.bars import Grade, grade_named, grades_named

_NUMBER = r"(?:[0-9]+(?:\s*-\s*|\s+)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*[.,]?[0-9]+)"
_SIZE = rf"(?P<size>{_NUMBER}(?:\s*(?:mm|in\b\.?|\"))?)"
_SIZE_FIRST = re.compile(rf"{_SIZE}\s+(?P<words>[A-Za-z0-9].*)", re.ASCII | re.IGNORECASE)
_WORDS_FIRST = re.compile(rf"(?P<words>[A-Za-z][A-Za-z&,. -]*?)\s+{_SIZE}", re.ASCII | re.IGNORECASE)


_ALLOY_FIRST = re.compile(
    rf"(?P<alloy>[A-Z]{{0,2}}[0-9]{{1,4}}[A-Z]?[0-9]{{0,3}})\s+{_SIZE}(?:\s+(?P<words>[A-Za-z].*))?",
    re.ASCII | re.IGNORECASE,
)
_LIKE_A_TAG = re.compile(r"d\.?\s*[0-9.,]", re.ASCII | re.IGNORECASE)
_DIAMETER_SIGNS = ("Ø", "ø", "⌀", "∅")


class BarLabel(Struct, frozen=True):
    """`size` is still a text; `words` may name a grade, several, or nothing that is known here."""

    size: str
    words: str

    @property
    def grade(self) -> Grade | None:
        return grade_named(self.words)

    @property
    def grades(self) -> list[Grade]:
        return grades_named(self.words)


def label_in(text: str) -> BarLabel | None:
    """What is written like a label, `3/4 cold drawn 1018`, `brass 3/4` or `6061 3/4 extruded`."""
    if len(text) > LONGEST:
        return None
    if (by_alloy := _after_its_alloy(text)) is not None:
        return by_alloy
    label = _SIZE_FIRST.fullmatch(text.strip())
    if label:
        return BarLabel(label["size"], label["words"])
    label = _WORDS_FIRST.fullmatch(text.strip())
    return BarLabel(label["size"], label["words"]) if label and _without_shape(label["words"])[0] else None


def _after_its_alloy(text: str) -> BarLabel | None:
    """A size behind the number of an alloy that is on file: no bar is 304-1/2 in thick."""
    label = _ALLOY_FIRST.fullmatch(text.strip())
    if label is None or not grades_named(label["alloy"]):
        return None
    return BarLabel(label["size"], f"{label['alloy']} {label['words'] or ''}".strip())


def is_grade_alone(text: str) -> bool:
    """Whether it names a grade, with its shape or not, and no size: `4140`, `hex brass`."""
    return len(text) <= LONGEST and bool(text.split()) and bool(_without_shape(text)[0])


def with_its_shape(text: str, *, picked: str = "", unit: str = "") -> tuple[str, str]:
    """The size without the shape that was written with it, and that shape; the text itself and "" where none was.

    `picked` is the shape that was picked beside the text, `unit` the one that was given for a bare number.
    """
    plain = plain_signs(text) if len(text) <= LONGEST else text
    if plain[:1] in _DIAMETER_SIGNS and plain[1:].strip():
        return plain[1:].strip(), "round"
    size, shape = across_flats(plain, picked=picked, unit=unit)
    if not shape and _after_its_alloy(plain) is not None:
        return shape_on_label(plain)
    if not shape:
        size, shape = size_and_shape(plain, picked=picked)
    if not shape:
        size, shape = shape_on_label(plain)
    if not shape:
        size, shape = _beside_a_sign(plain)
    return (size, shape) if shape else (text, "")


def _beside_a_sign(text: str) -> tuple[str, str]:
    """`□10`, `dia. 3/4`, `⬡ 13 mm`. A `d20` may be the tag of a piece, and stays as it is."""
    size, shape = shape_off(text)
    is_size = re.fullmatch(_SIZE, size, re.ASCII | re.IGNORECASE) is not None
    return (size, shape) if is_size and not _LIKE_A_TAG.match(text) else (text, "")


def shape_on_label(text: str) -> tuple[str, str]:
    """A shape among the words of a label, `3/4 hex brass`: the label without it, and the shape; else "" for that."""
    label = label_in(text)
    if label is None:
        return text, ""
    grades, words = _without_shape(label.words)
    if not grades or words == label.words:
        return text, ""
    shape = next(shape_word for word in label.words.split() if (shape_word := shape_named(word)))
    return f"{label.size} {words}", shape


def _without_shape(words: str) -> tuple[list[Grade], str]:
    """The grades that the words mean without their one word for a shape, and those words."""
    all_words = words.split()
    rest = [word for word in all_words if not shape_named(word)]
    without_it = " ".join(rest) if len(all_words) - len(rest) == 1 else words
    return grades_named(without_it), without_it
