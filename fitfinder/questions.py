"""What was typed in a question: its lengths, its unit, its words; and what is said where one of them cannot be read."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any, Protocol, TypedDict

from inventory.measures.display import now
from inventory.measures.lengths import Length, LengthError, Reading, Unit, raise_doubt_of_thousands, read, shorten

FASTEST = 20_000
"""Rpm; nothing in a small shop turns faster (our own judgement, no source)."""


class Texts(Protocol):
    """The fields of an address or a form, or the options of a command."""

    def get(self, name: str, /) -> Any: ...


class ErrorJson(TypedDict):
    field: str
    read: str
    message: str
    suggest: str | None


class QuestionError(ValueError):
    """A question that cannot be read: which field, what was read, what is accepted, what may be meant.

    `readings` are the texts that may be meant, likeliest first; `tag` is the piece that was named in place of a size.
    A page says it beside the field (`views/asking.py`), a program gets `as_json`, a terminal the words.
    """

    def __init__(self, message: str, *, field: str, read: str, readings: tuple[str, ...] = (), tag: str = "") -> None:
        super().__init__(message)
        self.message, self.field, self.read, self.readings, self.tag = message, field, read, readings, tag

    @property
    def suggest(self) -> str | None:
        return self.readings[0] if self.readings else None

    @property
    def words(self) -> str:
        return f"{self.field}: {self.message}"

    def as_json(self) -> dict[str, ErrorJson]:
        return {"error": {"field": self.field, "read": self.read, "message": self.message, "suggest": self.suggest}}


def no_such_lathe(text: str, names: Iterable[str]) -> QuestionError:
    """`names` are those of the lathes that there are."""
    known = ", ".join(names) or "none is described yet"
    message = f"“{shorten(text)}” is no lathe of this shop. It has: {known}."
    return QuestionError(message, field="lathe", read=shorten(text))


def unit_named(text: str) -> Unit:
    """The unit of bare numbers. Raises QuestionError, field `unit`."""
    if text not in list(Unit):
        raise QuestionError(f"“{shorten(text)}” is no unit. Write in or mm.", field="unit", read=shorten(text))
    return Unit(text)


def is_asked_back(unit: str, shop_unit: Unit) -> bool:
    """Whether a bare number is asked back where nothing here can grip it: its unit where none was given. In a metric
    shop every address says its unit, and what is asked back there is where the decimal point was."""
    return not unit or unit == shop_unit == Unit.MM


def length_of(text: str, *, field: str, unit: Unit, bare_limit: Length | None = None) -> Reading:
    """A length as it was read in this field of a question. Raises QuestionError."""
    try:
        if now().asks_of_thousands:
            raise_doubt_of_thousands(text, unit, most=bare_limit)
        return read(text, unit, bare_limit=bare_limit)
    except LengthError as error:
        raise QuestionError(error.message, field=field, read=error.read, readings=error.readings) from None


def speed_of(text: str, *, field: str) -> int:
    """Whole rpm. Raises QuestionError."""
    number = text.removesuffix("rpm").strip()
    if not (number.isascii() and number.isdigit() and len(number) <= 6 and 1 <= int(number) <= FASTEST):
        raise QuestionError(
            f"“{shorten(number)}” is no speed. Write whole rpm from 1 to {FASTEST:,}, like 800.",
            field=field,
            read=shorten(number),
        )
    return int(number)


def word_of(text: str, *, field: str, words: Collection[str]) -> str:
    """One of these words, in small letters. Raises QuestionError."""
    word = text.lower()
    if word not in words:
        *others, last = words
        raise QuestionError(
            f"“{shorten(text)}” is not known here. Write {', '.join(others)} or {last}.",
            field=field,
            read=shorten(text),
        )
    return word
