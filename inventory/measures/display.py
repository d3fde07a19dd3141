"""How a person sees the book and how the shop writes it: the unit of lengths and of run-out, money, days.

It is set for each page and command, like the language and the time zone of Django (`web/shop_settings.py`), and read
only where something is typed or said. What is in the book never depends on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from inventory.measures.lengths import RunoutUnit, Unit


class DayOrder(StrEnum):
    """How the shop writes a date. Nothing chosen is ISO, and a date that could be two is asked back."""

    ISO = "iso"
    DAY_MONTH_DOTS = "d.m.y"
    DAY_MONTH = "d/m/y"
    MONTH_DAY = "m/d/y"


class Currency(Struct, frozen=True):
    """How the shop writes money. Amounts in the book are whole numbers of the smallest coin."""

    sign: str = "$"
    places: int = 2
    is_after: bool = False
    has_comma: bool = False
    """Before the decimals; the thousands then have a point."""


class Display(Struct, frozen=True):
    """What a person chose, else what the shop did."""

    unit: Unit = Unit.INCH
    shop_unit: Unit = Unit.INCH
    """Of a bare number in an address or a command, which mean the same whoever asks."""
    bare: Unit = Unit.INCH
    """Of a bare number on the page that is made: the reader's, or that of the address that was asked."""
    runout: RunoutUnit = RunoutUnit.INCH
    currency: Currency = Currency()
    days: DayOrder | None = None
    is_for_program: bool = False
    """What a command or JSON says has its days in ISO, whatever the shop writes."""
    asks_of_thousands: bool = False
    """Whether `1.000` is asked back: on the pages of a shop that writes a comma before decimals. To a command, another
    program and an import it is 1, as ever."""

    @property
    def is_metric(self) -> bool:
        return self.unit is Unit.MM

    @property
    def unit_to_ask_in(self) -> str:
        """What an address says of its bare numbers; empty where nobody has to: all is in inches here."""
        return "" if self.unit is self.shop_unit is Unit.INCH else self.unit.value


PLAIN = Display()
_NOW: ContextVar[Display] = ContextVar("display", default=PLAIN)


def now() -> Display:
    return _NOW.get()


def activate(display: Display) -> None:
    """From here on in this thread; a page begins with `shown_as`, so that nothing is left to the next one."""
    _NOW.set(display)


@contextmanager
def shown_as(display: Display) -> Iterator[None]:
    token = _NOW.set(display)
    try:
        yield
    finally:
        _NOW.reset(token)


def in_unit(unit: Unit) -> Display:
    """As now, with all lengths in this unit: what a program asked for."""
    return replace(now(), unit=unit, shop_unit=unit, bare=unit, runout=RunoutUnit.of(unit), is_for_program=True)
