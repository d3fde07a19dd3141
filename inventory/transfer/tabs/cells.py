"""The cells of a row of a tab: an object whose fields are the columns, written as texts that read back to the same."""

from __future__ import annotations

import typing
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from functools import cache
from typing import Annotated, Any, TypeVar

from msgspec import Struct
from msgspec.structs import fields

from inventory.measures import money
from inventory.measures.display import now
from inventory.measures.lengths import Length, LengthError, exact, is_zero, parse, shorten
from inventory.transfer.cells import odd_cell

MOST_CENTS = 100_000_000
MOST_OF_A_NUMBER = 1_000_000
LONGEST_TEXT = 4_000

Row = TypeVar("Row", bound=Struct)


class Cents(int):
    """An amount of money, in cents."""


RunOut = Annotated[Length, "may be zero"]


class CellError(ValueError):
    """A cell that cannot be read: its column, what was read, and a sentence that says what is accepted."""

    def __init__(self, column: str, read: str, message: str) -> None:
        super().__init__(message)
        self.column, self.read, self.message = column, shorten(read), message


def headings(of: type[Struct]) -> tuple[str, ...]:
    return tuple(field.name for field in fields(of))


def texts(row: Struct) -> list[str]:
    """What stands in the cells of this row, in the order of its headings."""
    return [_text(getattr(row, name)) for name in headings(type(row))]


def read(of: type[Row], cells: Mapping[str, str]) -> Row:
    """The row that stands in these cells, by their headings; a heading that is not there is an empty cell.

    Raises CellError.
    """
    values: dict[str, Any] = {}
    for name, reader in _readers(of).items():
        text = cells.get(name, "")
        if why := odd_cell(None, text):
            raise CellError(name, text, why)
        text = text.strip()
        try:
            values[name] = reader(text)
        except _Unreadable as error:
            raise CellError(name, text, f"“{shorten(text)}” is no {error.what} Write {error.accepted}.") from None
    return of(**values)


class _Unreadable(ValueError):
    def __init__(self, what: str, accepted: str) -> None:
        super().__init__(what)
        self.what, self.accepted = what, accepted


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Length):
        return exact(value)
    if isinstance(value, Cents):
        return money.plain(value)
    if isinstance(value, datetime):
        return f"{value.astimezone(UTC):%Y-%m-%d %H:%M:%S}Z"
    return str(value)


@cache
def _readers(of: type[Struct]) -> dict[str, Callable[[str], Any]]:
    hints = typing.get_type_hints(of, include_extras=True)
    return {name: _reader(hints[name]) for name in headings(of)}


def _reader(hint: Any) -> Callable[[str], Any]:
    """The reader of a column of this type; where it may be None, an empty cell is."""
    args = typing.get_args(hint)
    may_be_empty = type(None) in args
    of = next(arg for arg in args if arg is not type(None)) if args else hint
    reader = _READERS[of]
    return (lambda text: reader(text) if text else None) if may_be_empty else reader


def _line(text: str) -> str:
    if len(text) > LONGEST_TEXT:
        raise _Unreadable("text for a cell: it is too long.", f"at most {LONGEST_TEXT:,} characters")
    return text


def _number(text: str) -> int:
    plain = text.replace(",", "")
    if not (plain.isascii() and plain.isdecimal()) or int(plain) > MOST_OF_A_NUMBER:
        raise _Unreadable("whole number here.", f"0 to {MOST_OF_A_NUMBER:,}")
    return int(plain)


def _cents(text: str) -> Cents:
    units, _, rest = text.removeprefix("$").strip().replace(",", "").partition(".")
    places = now().currency.places
    coins = 10**places
    if not (units + rest).isdecimal() or not units or len(rest) > places or int(units) * coins > MOST_CENTS:
        raise _Unreadable("amount here.", "it like 28.50")
    return Cents(int(units) * coins + int(rest.ljust(places, "0") or "0"))


def _length(text: str) -> Length:
    try:
        return parse(text)
    except LengthError:
        raise _Unreadable("length.", "it like 0.0004 in or 0.010 mm") from None


def _run_out(text: str) -> Length:
    return Length(0) if is_zero(text) else _length(text)


def _flag(text: str) -> bool:
    answer = {"yes": True, "no": False, "": False}.get(text.lower())
    if answer is None:
        raise _Unreadable("yes or no.", "yes, no, or nothing")
    return answer


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise _Unreadable("day.", "it like 2026-03-18") from None


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise _Unreadable("moment.", "it like 2026-03-18 09:30:00Z") from None
    return moment if moment.tzinfo is not None else moment.replace(tzinfo=UTC)


_READERS: dict[Any, Callable[[str], Any]] = {
    str: _line, int: _number, Cents: _cents, Length: _length, RunOut: _run_out, bool: _flag, date: _day,
    datetime: _moment,
}  # fmt: skip
