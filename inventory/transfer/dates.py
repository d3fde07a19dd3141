"""The dates of a sheet: which of day and month comes first, and which dates it cannot mean."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta

from inventory.measures.days import AmbiguousDay, read_day
from inventory.measures.lengths import shorten
from inventory.transfer.reading.vocabulary import fold, vocabulary

_NUMBERS = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})", re.ASCII)
_WITH_MONTH = re.compile(
    r"(?P<day>\d{1,2})(?:st|nd|rd|th|er)?[. /-]*(?:de |of )?(?P<month>[^\W\d_]{3,10})"
    r"[., /-]*(?:de )?(?P<year>\d{4}|\d{2})"
    r"|(?P<month2>[^\W\d_]{3,10})\.? (?P<day2>\d{1,2})(?:st|nd|rd|th)?,? (?P<year2>\d{4})"
)
_FIRST = {"mdy": "month", "dmy": "day"}
_FOUR_FIGURES = re.compile(r"\d{1,2}[/.]\d{1,2}[/.]\d{4}", re.ASCII)
_SERIAL = re.compile(r"[34567][0-9]{4}", re.ASCII)
_SERIAL_START = date(1899, 12, 30)


def order_of(texts: Iterable[str]) -> str | None:
    """The order of day and month in a column, where some of its dates can only be one and none the other."""
    orders: set[str] = set()
    for text in texts:
        possible = _possible(text)
        if len(possible) == 1:
            orders.update(possible)
    return orders.pop() if len(orders) == 1 else None


def odd_day(text: str, *, order: str | None, chosen: str | None, today: date) -> str | None:
    """Why a date cannot be meant, as a sentence; None where nothing is odd or no date can be read at all.

    `order` is how the column is read, `chosen` the order that was said for it: what was said binds every date.
    """
    possible = _possible(text)
    if chosen and possible and chosen not in possible:
        (other,) = possible.values()
        return (
            f"“{shorten(text)}” is no date with the {_FIRST[chosen]} first, as it was chosen for this sheet. "
            f"If {other.isoformat()} is meant, write it so."
        )
    try:
        day = read_day(text, order)
    except AmbiguousDay:
        return None
    if day is not None and day > today:
        return (
            f"“{shorten(text)}” is after today, {today.isoformat()}. Write the day on which the piece was looked at, "
            "like 2026-03-18."
        )
    return None


def _possible(text: str) -> dict[str, date]:
    """What numbers like 3/4/2026 can mean, by the order of day and month."""
    numbers = _NUMBERS.fullmatch(text)
    if not numbers:
        return {}
    one, two, year = int(numbers[1]), int(numbers[3]), _full_year(numbers[4])
    return {
        order: day
        for order, (month, number) in {"mdy": (one, two), "dmy": (two, one)}.items()
        if (day := _day(year, month, number)) is not None
    }


def _full_year(text: str) -> int:
    """Two figures are of this century, unless that is still to come by more than a year."""
    year = int(text)
    if len(text) == 4:
        return year
    return 2000 + year if 2000 + year <= date.today().year + 1 else 1900 + year


def as_written(text: str, order: str | None, language: str) -> str | None:
    """A date with its month as a word, with two figures for the year or with dashes, as 2026-03-18.

    What is none of these is returned as it is. None where day and month could be either way round.
    """
    text = text.strip()
    named = _WITH_MONTH.fullmatch(text.casefold())
    if named:
        month = vocabulary("month").means(fold(named["month"] or named["month2"]), language)
        day = _day(_full_year(named["year"] or named["year2"]), int(month or 0), int(named["day"] or named["day2"]))
        return day.isoformat() if day is not None else text
    possible = _possible(text)
    days = set(possible.values())
    if len(days) == 1:
        return text if _FOUR_FIGURES.fullmatch(text) else days.pop().isoformat()
    if len(days) == 2 and order is None:
        return None
    if len(days) == 2 and order:
        return possible[order].isoformat()
    return text


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def both_ways(texts: Iterable[str]) -> list[str]:
    """The dates that are two different days, by the order of day and month; each once, as they stand in the sheet."""
    return [text for text in dict.fromkeys(texts) if len(set(_possible(text).values())) == 2]


def in_words(text: str, order: str) -> str:
    """One such date read in this order: `3 April 2026`."""
    day = _possible(text)[order]
    return f"{day.day} {day:%B} {day.year}"


def serial_day(text: str) -> str:
    """The date that a bare number of five figures is in a spreadsheet, like 2026-03-18; empty where it is none.

    Days are counted from 1 January 1900, in which year a 29 February is counted that never was (ECMA-376, part 1,
    18.17.4.1); so day 61 is 1 March 1900, and a number counts from 30 December 1899. Only days of 2000 and after
    are taken: nothing else in a column of inspections is such a number.
    """
    if not _SERIAL.fullmatch(text):
        return ""
    day = _SERIAL_START + timedelta(days=int(text))
    return day.isoformat() if day.year >= 2000 else ""
