"""What the cells of a column look like, whatever its heading says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from msgspec import Struct

from inventory.measures.days import AmbiguousDay, read_day
from inventory.measures.lengths import Length, LengthError, parse
from inventory.pieces import words
from inventory.reference.codes import known_code
from inventory.transfer.dates import serial_day
from inventory.transfer.reading.kinds import named_kind
from inventory.transfer.reading.seats import series_in
from inventory.transfer.reading.sizes import prepared
from inventory.transfer.reading.vocabulary import fold, vocabulary
from inventory.transfer.texts import DayCell

LOOKED_AT = 400
"""Cells of a column from the top that are looked at."""

_TAG = re.compile(r"[A-Za-z]{1,5}[-. ]?[0-9]{2,}")
_PLACE = re.compile(r"[A-Za-z]{1,2}-?[0-9]{1,2}")
_NO_COUNT = re.compile(r"[./\"#]|mm|in\b", re.IGNORECASE)
_LARGEST_SIZE = Length.inches(3)
_LARGEST_TIR = Length.inches("0.01")
_MONEY = re.compile(r"[$€£] ?[0-9]+(?:[.,][0-9]{2})?|[0-9]+[.,][0-9]{2} ?[$€£]")


class Content(Struct, frozen=True):
    """The filled cells of a column; `series` are the codes of the book in capitals."""

    cells: tuple[str, ...]
    series: frozenset[str]

    @property
    def is_blank(self) -> bool:
        return not self.cells

    @property
    def samples(self) -> list[str]:
        """The first three texts that differ."""
        return list(dict.fromkeys(text.strip() for text in self.cells))[:3]

    def is_like(self, field: str) -> bool:
        """Whether most cells can be read as this field."""
        if not self.cells:
            return False
        if field == "tag":
            return self._most(_TAG.fullmatch) and len(set(self.cells)) == len(self.cells)
        if field == "size":
            return self._most(_is_size) and any(_NO_COUNT.search(text) for text in self.cells)
        return self._most(self._reader(field))

    def reads(self, field: str, text: str) -> bool:
        """Whether a text can be read as this field, as far as that can be told from it."""
        if field == "kind":
            named = named_kind(prepared(fold(text)), "en")
            return named.kind is not None or bool(named.doubt)
        if field == "series":
            codes = frozenset(self.series)
            return bool(series_in(fold(text), codes)) and named_kind(prepared(fold(text)), "en").kind is None
        if field == "shape":
            return vocabulary("shape").means(fold(text)) is not None
        if field == "condition":
            return vocabulary("condition").means(fold(text)) is not None
        if field == "tag":
            return _TAG.fullmatch(text.strip()) is not None
        if field == "quantity":
            return re.fullmatch(r"[0-9]{1,3}", text.strip()) is not None
        return field in CONTENT_FIELDS and bool(self._reader_or_size(field)(text.strip()))

    def is_mostly(self, field: str) -> bool:
        """Whether most of the cells can be read as this field."""
        return bool(self.cells) and 2 * sum(self.reads(field, text) for text in self.cells) > len(self.cells)

    def contradicts(self, field: str) -> bool:
        """Whether three cells or more are filled and none can be read as this field, of which that can be told."""
        if field not in {"kind", "series", "shape", "condition", "inspected_on"} or len(self.cells) < 3:
            return False
        reader = self._reader(field)
        return not any(reader(text) or self.reads(field, text) for text in self.cells)

    def _most(self, reader: Callable[[str], object]) -> bool:
        return 4 * sum(bool(reader(text.strip())) for text in self.cells) >= 3 * len(self.cells)

    def _reader_or_size(self, field: str) -> Callable[[str], object]:
        return _is_size if field == "size" else self._reader(field)

    def _reader(self, field: str) -> Callable[[str], object]:
        readers: dict[str, Callable[[str], object]] = {
            "kind": words.kind_of,
            "shape": words.shape_of,
            "condition": words.condition_of,
            "series": lambda text: known_code(text, self.series),
            "inspected_on": _is_day,
            "tir": _is_tir,
            "cost": _MONEY.fullmatch,
            "location": _PLACE.fullmatch,
        }
        return readers[field]


CONTENT_FIELDS = ("tag", "kind", "series", "shape", "condition", "inspected_on", "size", "tir", "cost", "location")
"""The fields that cells can tell, the surer before the less sure."""


def content(texts: Iterable[str], *, series: Iterable[str]) -> Content:
    """The content of a column from its cells, of which the first filled ones are looked at."""
    filled = [text for text in texts if text.strip()]
    return Content(tuple(filled[:LOOKED_AT]), frozenset(series))


def _is_day(text: str) -> bool:
    if isinstance(text, DayCell) or serial_day(text):
        return True
    try:
        return read_day(text, None) is not None
    except AmbiguousDay:
        return True


def _is_size(text: str) -> bool:
    length = _length(text)
    return length is not None and _LARGEST_TIR < length <= _LARGEST_SIZE


def _is_tir(text: str) -> bool:
    length = _length(text)
    return length is not None and length <= _LARGEST_TIR


def _length(text: str) -> Length | None:
    try:
        return parse(text)
    except LengthError:
        return None
