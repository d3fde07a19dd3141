"""What a sheet leaves open about all its rows: the unit of bare numbers, and whether day or month comes first.

It is asked only where the sheet does not settle it itself.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from inventory.measures.display import now
from inventory.measures.lengths import Length, LengthError, Unit, parse
from inventory.models import Kind, SeriesShape
from inventory.pieces import words
from inventory.reference.codes import known_code
from inventory.transfer import cells, dates
from inventory.transfer.headings import SheetColumn
from inventory.transfer.outcomes import label
from inventory.transfer.rows import RowCells
from inventory.transfer.sheets import Sheet

EXAMPLES = 3

_BARE_FRACTION = re.compile(r"[0-9]+(?:[ -][0-9]+)?/[0-9]+", re.ASCII)

# What is sensible in each unit, from the smallest to the largest (common practice, no source).
_SENSIBLE_TIR = {
    Unit.INCH: (Length.inches("0.00001"), Length.inches("0.02")),
    Unit.MM: (Length.mm("0.001"), Length.mm("0.5")),
}
_SAYS_THE_UNIT = frozenset(cells.LENGTHS) - {"tir"}
_SENSIBLE_LENGTH = {
    Unit.INCH: (Length.inches("1/64"), Length.inches(24)),
    Unit.MM: (Length.mm("0.5"), Length.mm(600)),
}


@dataclass(frozen=True, kw_only=True)
class OpenQuestions:
    """`unit` and `dates` are sentences with examples of what is open, empty where the sheet settles it.

    `settled_unit` is the unit of bare numbers where it is not asked, and the likelier one where it is.
    """

    unit: list[str] = field(default_factory=list)
    dates: list[str] = field(default_factory=list)
    settled_unit: Unit = Unit.INCH


def open_questions(
    sheet: Sheet, columns: list[SheetColumn], figures: Mapping[tuple[str, str], SeriesShape]
) -> OpenQuestions:
    """What has to be asked; `figures` are those of the book by series in capitals and shape."""
    votes: Counter[Unit] = Counter()
    examples: list[str] = []
    bare = [column.field for column in columns if column.field in cells.LENGTHS and column.unit is None]
    for line, texts in sheet.rows():
        row = RowCells(line, texts, columns)
        for name in filter(None, bare):
            units = _units_of(row, name, figures)
            if len(units) == 1:
                votes.update(units)
            elif units and len(examples) < EXAMPLES:
                text = row.cells[name]
                examples.append(f"Row {line}, {label(name)}: {text} in, or {text} mm?")
    votes.update(_units_of_headings(columns))
    is_settled = len(votes) == 1
    return OpenQuestions(
        unit=[] if is_settled else examples,
        dates=_open_dates(texts[column.place] for column in _day_columns(columns) for _, texts in sheet.rows()),
        settled_unit=max(Unit, key=lambda unit: (votes[unit], unit is now().shop_unit)),
    )


def _units_of_headings(columns: list[SheetColumn]) -> list[Unit]:
    """A sheet whose headings name a unit of sizes has it in its descriptions too; that of an indicator says nothing."""
    return [Unit(column.unit) for column in columns if column.field in _SAYS_THE_UNIT and column.unit in set(Unit)]


def _day_columns(columns: list[SheetColumn]) -> list[SheetColumn]:
    return [column for column in columns if column.field == "inspected_on"]


def _open_dates(texts: Iterable[str]) -> list[str]:
    days = [text.strip() for text in texts]
    if dates.order_of(days) is not None:
        return []
    return [
        f"{text}: {dates.in_words(text, 'mdy')}, or {dates.in_words(text, 'dmy')}?"
        for text in dates.both_ways(days)[:EXAMPLES]
    ]


def _units_of(row: RowCells, name: str, figures: Mapping[tuple[str, str], SeriesShape]) -> set[Unit]:
    """The units in which a cell without a unit reads sensibly; none where that cannot be told."""
    text = row.cells.get(name, "")
    if _BARE_FRACTION.fullmatch(text):
        # A bare fraction is inches to everybody.
        return {Unit.INCH} if _length(text, Unit.INCH) is not None else set()
    if not cells.is_bare(text):
        return set()
    if name == "size" and words.kind_of(row.cells.get("kind", "")) == Kind.COLLET:
        return _units_of_collet(row, text, figures)
    sensible = _SENSIBLE_TIR if name == "tir" else _SENSIBLE_LENGTH
    return {unit for unit, (low, high) in sensible.items() if _is_between(text, unit, low, high)}


def _units_of_collet(row: RowCells, text: str, figures: Mapping[tuple[str, str], SeriesShape]) -> set[Unit]:
    shape = words.shape_of(row.cells.get("shape", ""))
    series = known_code(row.cells.get("series", ""), {code for code, _ in figures})
    of_series = figures.get((series, shape)) if series and shape else None
    if of_series is None:
        return set()
    low = of_series.smallest or _SENSIBLE_LENGTH[Unit.INCH][0]
    high = of_series.largest or Length.inches(3)
    return {unit for unit in Unit if _is_between(text, unit, low, high)}


def _is_between(text: str, unit: Unit, low: Length, high: Length) -> bool:
    length = _length(text, unit)
    return length is not None and low <= length <= high


def _length(text: str, unit: Unit) -> Length | None:
    try:
        return parse(text, unit)
    except LengthError:
        return None
