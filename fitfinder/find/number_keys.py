"""A size as it is typed: a decimal, words, or a fraction by number keys alone, each in fields of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping

from fitfinder.questions import QuestionError, Texts

BOTTOMS = ("64", "32", "16", "8", "4", "2")
KEYS = ("whole", "over", "parts")
TYPED = (*KEYS, "said")
"""What the form sends beside the size; an address has all of it as one size."""
_DECIMAL = re.compile(r"[0-9]*[.,]?[0-9]*(?: ?mm)?", re.ASCII)
_FRACTION = re.compile(rf"(?:(?P<whole>[0-9]+)[- ])?(?P<over>[0-9]+)/(?P<parts>{'|'.join(BOTTOMS)})", re.ASCII)


def size_text(texts: Texts) -> str:
    """The size as one text, put together from the number keys where those were used.

    Raises QuestionError where both say something else, and where a fraction lacks its lower number.
    """
    size, whole_inches, over, parts, in_words = (str(texts.get(name) or "").strip() for name in ("size", *TYPED))
    if in_words and size and in_words != size:
        raise QuestionError(
            f"Two sizes were given, “{size[:40]}” and “{in_words[:40]}”. Leave one of them empty.",
            field="said",
            read=in_words[:40],
        )
    size = size or in_words
    if not (whole_inches or over):
        return size
    if over and not parts:
        raise QuestionError(
            f"The fraction {over}/… has no bottom number. Choose it: 64, 32, 16, 8, 4 or 2.",
            field="parts",
            read=over[:40],
        )
    fraction = f"{over}/{parts}" if over else ""
    keyed = "-".join(part for part in (whole_inches, fraction) if part)
    if size and size != keyed:
        raise QuestionError(
            f"Two sizes were given, “{size[:40]}” and {keyed[:40]}. Leave one of them empty.",
            field="size",
            read=size[:40],
        )
    return keyed


def on_the_keys(texts: Mapping[str, str]) -> dict[str, str]:
    """The same texts with a size back where it is typed: a fraction on its keys, words in their own field."""
    keys = _FRACTION.fullmatch(texts["size"])
    if not keys and not _DECIMAL.fullmatch(texts["size"]):
        return {**texts, "size": "", "said": texts["size"]}
    if not keys:
        return dict(texts)
    return {**texts, "size": "", **{name: keys[name] or "" for name in KEYS}}
