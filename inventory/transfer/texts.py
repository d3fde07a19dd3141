"""The text of a cell, and what a spreadsheet did to it; as JSON too, so that a row can be kept."""

from __future__ import annotations

import re
from decimal import Decimal

from inventory.measures import signs

MOST_IN_CELL = 32_767
"""Signs; more than a spreadsheet keeps in a cell."""

# What a spreadsheet could take for a formula, behind as many apostrophes as it already has.
_RISKY = re.compile(r"'*[=+\-@\t\r]")
_HARMLESS = re.compile(r"'+[=+\-@\t\r]")


class Formula(str):
    """A cell whose value is worked out by the spreadsheet; the text is the formula, `shown` what was seen there."""

    shown = ""

    def __new__(cls, text: str, shown: str = "") -> Formula:
        cell = super().__new__(cls, text)
        cell.shown = shown
        return cell


class DayCell(str):
    """A cell that a spreadsheet keeps as a date; the text is the date like 2026-03-18."""


class ErrorCell(str):
    """A cell in which a spreadsheet shows an error like #REF!."""


class BadCell(str):
    """A cell that holds what no text may hold, a mark in its place, or too much; `why` says so."""

    why = ""

    def __new__(cls, text: str, why: str = "") -> BadCell:
        cell = super().__new__(cls, text)
        cell.why = why
        return cell


def readable(text: str) -> str:
    """The text of a cell, which is told apart where it cannot be taken as it is."""
    why = signs.trouble_with(text, most=MOST_IN_CELL)
    return BadCell(signs.shown(text[:MOST_IN_CELL]), why) if why else text


def packed(text: str) -> str | list[str]:
    """The text as JSON can keep it, with what is special about it."""
    if isinstance(text, Formula):
        return ["formula", str(text), text.shown]
    if isinstance(text, DayCell):
        return ["day", str(text)]
    if isinstance(text, ErrorCell):
        return ["error", str(text)]
    if isinstance(text, BadCell):
        return ["bad", str(text), text.why]
    return text


def unpacked(stored: str | list[str]) -> str:
    """The text that was packed."""
    if isinstance(stored, str):
        return stored
    kind, *texts = stored
    return {"formula": Formula, "day": DayCell, "error": ErrorCell, "bad": BadCell}[kind](*texts)


def harmless(text: str) -> str:
    """The text as it goes into a sheet: one apostrophe more where a spreadsheet could see a formula."""
    return f"'{text}" if _RISKY.match(text) else text


def as_it_was(text: str) -> str:
    """The text that `harmless` was given: one apostrophe fewer where only they keep a formula back."""
    return text[1:] if _HARMLESS.match(text) else text


def number_text(value: int | float) -> str:
    """As many figures as a spreadsheet keeps, 15, and no exponent."""
    text = format(Decimal(format(value, ".15g")), "f")
    return text.rstrip("0").removesuffix(".") if "." in text else text
