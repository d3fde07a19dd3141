"""The shape that people write beside a size: `1-1/8 hex`, `4 x 2`, `1-1/2 tube`, `6 in casting`."""

from __future__ import annotations

import re
from fractions import Fraction

SPOKEN = {
    "round": ("round", "rd", "dia", "diameter"),
    "hex": ("hex", "hexagon", "hexagonal"),
    "square": ("square", "sq"),
    "rectangular": ("rectangular", "rectangle", "rect", "flat"),
    "tube": ("tube", "tubing", "pipe"),
    "casting": ("casting", "forging", "irregular"),
}
"""What a shape is called: words of the trade, no source."""
LONGEST = 60
"""No size is written longer; what is longer is not looked through."""
_SHAPES = {word: shape for shape, words in SPOKEN.items() for word in words}
_WORD = "|".join(sorted(_SHAPES, key=len, reverse=True))
_UNIT = r"(?:mm|in\b\.?|inch(?:es)?|thou|\")"
_SIZE = rf"(?P<size>[0-9#.][0-9.,/ x×-]*?(?:\s*{_UNIT}(?:\s*[x×]\s*[0-9][0-9.,/ -]*?\s*{_UNIT}?)?)?)"
_WORD_BESIDE_A_SIZE = re.compile(
    rf"(?:(?P<first>{_WORD})\s+)?{_SIZE}(?:\s*\b(?P<last>{_WORD}))?(?:\s+(?:bar|stock))?", re.ASCII | re.IGNORECASE
)
_FLATS = re.compile(r"(?<![a-z])(?:a\s?/\s?f|a\.f\.|af|across\s+(?:the\s+)?flats)(?![a-z])", re.ASCII | re.IGNORECASE)
_SPANNER = re.compile(r"(?<![a-z])s/?w\.?\s*(?=[0-9.])", re.ASCII | re.IGNORECASE)
_SHAPE_WORD = re.compile(rf"(?<![a-z])(?:{_WORD})(?![a-z])", re.ASCII | re.IGNORECASE)
_BAR = re.compile(r"\s+(?:bar|stock)$", re.ASCII | re.IGNORECASE)
_BARE = re.compile(r"[0-9]*[.,]?[0-9]+", re.ASCII)
LEAST_IN_MM = 4
"""Bar of so many inches across flats is not written as a bare number (our own judgement, no source)."""
_UNIT_OF_A_SIDE = re.compile(rf"\s*({_UNIT})$", re.ASCII | re.IGNORECASE)
_BY_ITS_SIDES = ("", "round", "square", "rectangular")
"""What is picked where two sides alone may say what it is; of a tube the other length is its wall."""
_LAST_UNIT = re.compile(r"(?:mm|in|thou|\")\.?$", re.ASCII | re.IGNORECASE)
"""`50 x 25 mm` says the unit once, for both."""
_TWO_SIDES = re.compile(r"(?P<one>.+?)\s*[x×]\s*(?P<other>.+)", re.ASCII | re.IGNORECASE)


def across_flats(text: str, *, picked: str = "", unit: str = "") -> tuple[str, str]:
    """`13 mm A/F`, `SW 13`, `1/2 AF square`: the size across flats and the shape; the text itself and "" where not so.

    Without a word it is hex, unless square was `picked`. A spanner size is in millimetres, and so is a number across
    flats too large for a fraction of an inch, unless a `unit` was given.
    """
    if len(text) > LONGEST:
        return text, ""
    rest, flats = _FLATS.subn(" ", text)
    rest, spanners = _SPANNER.subn("", rest)
    words = _SHAPE_WORD.findall(rest)
    shape = _SHAPES[words[0].lower()] if words else picked if picked == "square" else "hex"
    if flats + spanners != 1 or len(words) > 1 or shape not in ("hex", "square"):
        return text, ""
    size = " ".join(_BAR.sub("", _SHAPE_WORD.sub(" ", rest)).split())
    if _BARE.fullmatch(size) and not unit and (spanners or Fraction(size.replace(",", ".")) >= LEAST_IN_MM):
        return f"{size} mm", shape
    return size, shape


def size_and_shape(text: str, *, picked: str = "") -> tuple[str, str]:
    """The size without the word, and the shape that was said; the text itself and "" where none was.

    Two sides say rectangular without a word, and square where they are the same, unless another shape was `picked`.
    What is not plainly a size beside a shape, like the label of a bar, stays as it is.
    """
    beside = _WORD_BESIDE_A_SIZE.fullmatch(text.strip()) if len(text) <= LONGEST else None
    if not beside or (beside["first"] and beside["last"]):
        return text, ""
    size = beside["size"].strip()
    shape = _SHAPES.get((beside["first"] or beside["last"] or "").lower(), "")
    sides = two_sides(size)
    if not sides or shape not in ("", "square", "rectangular") or not (shape or picked in _BY_ITS_SIDES):
        return (size, shape) if shape else (text, "")
    one, other = (_UNIT_OF_A_SIDE.sub(r" \1", side.strip()) for side in sides)
    return (other, "square") if one == other else (size, "rectangular")


def shape_named(word: str) -> str:
    """The shape that a word means; empty where it means none."""
    return _SHAPES.get(word.lower(), "")


def two_sides(text: str) -> tuple[str, str] | None:
    """`50 x 25 mm` as both its lengths, the unit of the last for both."""
    both = _TWO_SIDES.fullmatch(text)
    if not both:
        return None
    one, other = both["one"], both["other"]
    last = _LAST_UNIT.search(other)
    return (f"{one} {last[0]}" if last and one[-1].isdigit() else one), other
