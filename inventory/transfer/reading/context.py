"""What is known when a row is read: of the sheet that it stands in, and of the book."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct, field

from inventory.measures.lengths import Length, Unit
from inventory.reference.kinds import Kind


class KnownCodes(Struct, frozen=True, kw_only=True):
    """What the book has: families by code and shape with the smallest and largest size, seats, findings by kind.

    `plain_kind` and `plain_condition` read the words of the book's own sheets.
    """

    figures: Mapping[tuple[str, str], tuple[Length | None, Length | None]]
    seats: frozenset[str]
    findings: Mapping[Kind, frozenset[str]]
    plain_kind: Callable[[str], Kind | None]
    plain_condition: Callable[[str], str | None]

    @property
    def series(self) -> frozenset[str]:
        return frozenset(code for code, _ in self.figures)


class SheetContext(Struct, frozen=True, kw_only=True):
    """How this sheet is written. `units` are those that headings say, by field; `legend` what its letters stand for."""

    known: KnownCodes
    unit: Unit
    language: str = "en"
    units: Mapping[str, str] = field(default_factory=dict)
    decimal: str = ""
    legend: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    default_kind: str = ""
    month_first: bool = True
    splits_quantities: bool = False
    is_our_own: bool = False
