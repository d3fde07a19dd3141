"""Working figures of workholding: run-out to expect, minutes, stick-out, grip, the numbers of cautions.

Almost all are habit of the trade. Minutes above all are there to be replaced by a shop's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Generic, TypeVar

from inventory.measures.lengths import Length
from inventory.reference import tables

Value = TypeVar("Value", Length, Fraction)


@dataclass(frozen=True, kw_only=True)
class Figure(Generic[Value]):
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


AnyFigure = Figure[Length] | Figure[Fraction]


def run_out(method: str) -> Figure[Length]:
    """What work held this way runs out, full indicator swing: `universal 3-jaw`, `collet` …"""
    return figure("run-out", method)


def minutes(method: str) -> Figure[Fraction]:
    """Minutes that this takes, `unit` telling per what: `collet change`, `chuck change, camlock` …"""
    return figure("time", method)


def stick_out(method: str) -> Figure[Fraction]:
    """Diameters that work held this way may stand out: `chuck or collet`, `between centers` …"""
    return figure("stick-out", method)


def grip(method: str) -> Figure[Fraction]:
    """How much to grip, in diameters or as a share as `unit` tells: `chuck`, `ER collet` …"""
    return figure("grip", method)


def caution(method: str) -> AnyFigure:
    """The number in a caution: `lift alone`, `jaw outside the body`, `bar showing behind the spindle` …"""
    return figure("caution", method)


def figure(topic: str, method: str) -> AnyFigure:
    """The figure of a topic (`run-out`, `time`, `stick-out`, `grip`, `caution`, `bar`, `taper`, `center`,
    `which collet`).

    Raises KeyError where there is none.
    """
    return _by_name()[topic, method]


@cache
def figures() -> tuple[AnyFigure, ...]:
    """All working figures, by topic."""
    return tuple(_figure(row) for row in tables.rows("practice"))


@cache
def _by_name() -> dict[tuple[str, str], AnyFigure]:
    return {(figure.topic, figure.method): figure for figure in figures()}


def _figure(row: tables.Row) -> AnyFigure:
    return Figure(
        topic=row.text("topic"),
        method=row.text("method"),
        low=_value(row, "low"),
        typical=_value(row, "typical"),
        high=_value(row, "high"),
        unit=row.text("unit"),
        source=row.source,
        basis=row.basis,
    )


def _value(row: tables.Row, column: str) -> Length | Fraction | None:
    number, unit = row.maybe_number(column), row.text("unit")
    if number is None:
        return None
    if unit == "in":
        return Length.inches(number)
    return Length.mm(number) if unit == "mm" else number
