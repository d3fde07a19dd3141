"""Texts of the questions of seating as lengths, speeds and words. Each raises QuestionError that names its field."""

from __future__ import annotations

from collections.abc import Mapping

from fitfinder.holding.stock import QuestionError
from inventory.measures.lengths import BareNumberError, Length, LengthError, Unit, read, shorten

LARGEST_BARE = Length.inches("6")
"""A bare number above this is asked back: as inches it is no bore and no shank of a small shop."""
FASTEST = 20_000


def unit_of(texts: Mapping[str, str]) -> Unit:
    text = (texts.get("unit") or "in").strip()
    if text not in list(Unit):
        raise QuestionError(f"“{shorten(text)}” is no unit. Write in or mm.", field="unit", read=shorten(text))
    return Unit(text)


def length_of(texts: Mapping[str, str], field: str) -> Length | None:
    """None where nothing is written."""
    text = (texts.get(field) or "").strip()
    if not text:
        return None
    try:
        return read(text, unit_of(texts), bare_limit=LARGEST_BARE).length
    except (BareNumberError, LengthError) as error:
        raise QuestionError(error.message, field=field, read=error.read, suggest=error.suggest) from None


def speed_of(texts: Mapping[str, str], field: str) -> int | None:
    """In rpm; None where nothing is written."""
    text = (texts.get(field) or "").strip().removesuffix("rpm").strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= 6 and 1 <= int(text) <= FASTEST):
        raise QuestionError(
            f"“{shorten(text)}” is no speed. Write whole rpm from 1 to {FASTEST:,}, like 800.",
            field=field,
            read=shorten(text),
        )
    return int(text)


def word_of(texts: Mapping[str, str], field: str, words: tuple[str, ...]) -> str:
    """One of the words; empty where nothing is written."""
    text = (texts.get(field) or "").strip().lower()
    if text and text not in words:
        raise QuestionError(
            f"“{shorten(text)}” is not known here. Write {', '.join(words[:-1])} or {words[-1]}.",
            field=field,
            read=shorten(text),
        )
    return text
