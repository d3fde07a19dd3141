"""Working figures of workholding: run-out to expect, minutes, stick-out, the numbers of cautions.

Almost all are habit of the trade. Minutes above all are there to be replaced by a shop's own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from functools import cache
from typing import Generic, TypeVar

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables

Value = TypeVar("Value", Length, Fraction)


class WorkingFigure(Struct, Generic[Value], frozen=True, kw_only=True):
    """One working figure: what is good, what to expect, what is poor or the limit. None is unknown.

    The values are lengths where `unit` is `in` or `mm` (the unit it was stated in), else bare numbers in
    `unit`: `min per part`, `min per setup`, `diameters`, `lb`, `share of bore` and so on.
    """

    topic: str
    method: str
    low: Value | None
    typical: Value | None
    high: Value | None
    unit: str
    source: str
    basis: str

    @property
    def most(self) -> Value:
        """Where a caution begins: what to expect, else the limit."""
        value = self.typical if self.typical is not None else self.high
        assert value is not None, f"{self.topic}, {self.method}: neither typical nor high"
        return value

    @property
    def limit(self) -> Value:
        """Where it is too much."""
        assert self.high is not None, f"{self.topic}, {self.method}: no high"
        return self.high

    @property
    def least(self) -> Value:
        """Where it is too little."""
        assert self.low is not None, f"{self.topic}, {self.method}: no low"
        return self.low


WorkingLength = WorkingFigure[Length]
WorkingNumber = WorkingFigure[Fraction]


def run_out(method: str) -> WorkingLength:
    """What work held this way runs out, full indicator swing: `universal 3-jaw`, `collet` …"""
    return _lengths()["run-out", method]


def minutes(method: str) -> WorkingNumber:
    """Minutes that this takes, `unit` telling per what: `collet change`, `chuck change, camlock` …"""
    return _numbers()["time", method]


def stick_out(method: str) -> WorkingNumber:
    """Diameters that work held this way may stand out: `chuck or collet`, `between centers` …"""
    return _numbers()["stick-out", method]


def caution(method: str) -> WorkingNumber:
    """The number in a caution: `lift alone`, `jaw outside the body` …"""
    return _numbers()["caution", method]


def figure(topic: str, method: str) -> WorkingLength | WorkingNumber:
    """The figure of a topic (`run-out`, `time`, `stick-out`, `caution`, `bar`, `taper`, `center`,
    `which collet`).

    Raises KeyError, as the functions above do, where there is none.
    """
    return _lengths().get((topic, method)) or _numbers()[topic, method]


def figures() -> tuple[WorkingLength | WorkingNumber, ...]:
    """All working figures: lengths, then numbers, each by topic."""
    return (*_lengths().values(), *_numbers().values())


def all_minutes() -> tuple[WorkingNumber, ...]:
    """What a shop may set minutes of its own for, in the order of the table."""
    return tuple(figure for figure in _numbers().values() if figure.topic == "time")


_LENGTH_UNITS = {"in": Length.inches, "mm": Length.mm}


@cache
def _lengths() -> dict[tuple[str, str], WorkingLength]:
    return _by_name(_figure(row, _length) for row in tables.rows("practice") if row.text("unit") in _LENGTH_UNITS)


@cache
def _numbers() -> dict[tuple[str, str], WorkingNumber]:
    read = tables.TableRow.maybe_number
    return _by_name(_figure(row, read) for row in tables.rows("practice") if row.text("unit") not in _LENGTH_UNITS)


def _by_name(figures: Iterable[WorkingFigure[Value]]) -> dict[tuple[str, str], WorkingFigure[Value]]:
    return {(figure.topic, figure.method): figure for figure in figures}


def _figure(row: tables.TableRow, read: Callable[[tables.TableRow, str], Value | None]) -> WorkingFigure[Value]:
    return WorkingFigure(
        topic=row.text("topic"),
        method=row.text("method"),
        low=read(row, "low"),
        typical=read(row, "typical"),
        high=read(row, "high"),
        unit=row.text("unit"),
        source=row.source,
        basis=row.basis,
    )


def _length(row: tables.TableRow, column: str) -> Length | None:
    number = row.maybe_number(column)
    return None if number is None else _LENGTH_UNITS[row.text("unit")](number)
