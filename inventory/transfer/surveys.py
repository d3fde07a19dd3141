"""What is true of a whole sheet, looked up once before its rows are read: language, places, sections, letters."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from inventory.inspections.findings import findings_of
from inventory.measures.lengths import Unit, shorten
from inventory.models import Kind
from inventory.pieces import words
from inventory.pieces.book import Book
from inventory.transfer import dates
from inventory.transfer.asked import RowDoubt
from inventory.transfer.headings import SheetColumn
from inventory.transfer.reading import money, places, tables
from inventory.transfer.reading.context import KnownCodes, SheetContext
from inventory.transfer.reading.kinds import named_kind
from inventory.transfer.reading.rows import LEAVE_OUT
from inventory.transfer.reading.sizes import prepared
from inventory.transfer.reading.tables import RowRole
from inventory.transfer.reading.vocabulary import fold, language_of
from inventory.transfer.sheets import Sheet

ARE_PLACES, ARE_HEADINGS = "they are places", "they are headings only"
DAY_FIRST, MONTH_FIRST = "the day comes first", "the month comes first"
NUMBER_THEM = "number them"
_LOOKED_AT = 300


def known_codes(book: Book) -> KnownCodes:
    """What the book has, as the reader of rows takes it."""
    return KnownCodes(
        figures={key: (figures.smallest, figures.largest) for key, figures in book.figures.items()},
        seats=frozenset(book.seats),
        findings={kind: frozenset(map(str, findings_of(kind))) for kind in Kind},
        plain_kind=words.kind_of,
        plain_condition=words.condition_of,
    )


class SheetSurvey:
    """One sheet as a whole. `sections` is `places`, `headings`, or empty where nobody said what section rows are."""

    def __init__(
        self,
        sheet: Sheet,
        columns: Sequence[SheetColumn],
        book: Book,
        *,
        unit: Unit,
        answers: Mapping[str, str],
        sections: str = "",
        numbers_pieces: bool = False,
        order: str | None = None,
        is_our_own: bool = False,
    ) -> None:
        self.sheet, self.columns, self.book = sheet, columns, book
        self.unit, self.answers, self.numbers_pieces = unit, answers, numbers_pieces
        self.order, self.is_our_own = order, is_our_own
        answered = {ARE_PLACES: "places", ARE_HEADINGS: "headings"}.get(answers.get("sections", ""), "")
        self.sections = sections or answered
        self.place_of = {column.field: column.place for column in reversed(columns) if column.field}

    @cached_property
    def language(self) -> str:
        kinds = self._texts("kind")[:_LOOKED_AT]
        states = self._texts("condition")[:_LOOKED_AT]
        return language_of([*self.sheet.headings, *dict.fromkeys(kinds), *dict.fromkeys(states)])

    @cached_property
    def context(self) -> SheetContext:
        return SheetContext(
            known=known_codes(self.book),
            unit=self.unit,
            language=self.language,
            units={column.field: column.unit for column in self.columns if column.field and column.unit},
            decimal=money.decimal_sign(self._texts("cost")),
            legend=self._legend(),
            answers=self.answers,
            default_kind=self._default_kind(),
            month_first=self.order != "dmy",
            splits_quantities=self.numbers_pieces,
            is_our_own=self.is_our_own,
        )

    @cached_property
    def roles(self) -> dict[int, RowRole]:
        """The rows that are no pieces, by their number."""
        kind_place = self.place_of.get("kind")
        roles: dict[int, RowRole] = {}
        for line, texts in self.sheet.rows():
            role = tables.role_of(texts, self.sheet.headings, kind_place=kind_place, language=self.language)
            if role is not RowRole.PIECE:
                roles[line] = role
        return roles

    @cached_property
    def section_of(self) -> dict[int, str]:
        """The text of the section row above each row that has one."""
        sections, current = {}, ""
        for line, texts in self.sheet.rows():
            if self.roles.get(line) is RowRole.SECTION:
                current = next(text for text in texts if text.strip())
            elif current:
                sections[line] = current
        return sections

    @cached_property
    def spelling(self) -> dict[str, str]:
        """Each spelling of a place with the one that is used; the book's own where it has the place."""
        chosen = places.one_spelling(self._texts("location"))
        in_book = {places.place_key(place.name): place.name for place in self.book.places.values() if place.pk}
        return {text: in_book.get(places.place_key(text), name) for text, name in chosen.items()}

    @cached_property
    def places_in_several_spellings(self) -> list[dict[str, str | list[str]]]:
        """Places that stand in several spellings and are told as one."""
        spellings: dict[str, list[str]] = {}
        for text, name in self.spelling.items():
            spellings.setdefault(name, []).append(text)
        return [
            {"place": name, "spellings": texts}
            for name, texts in spellings.items()
            if len({text.casefold() for text in texts}) > 1
        ]

    @cached_property
    def _near_places(self) -> dict[str, str]:
        """A place that may be another one, by its name, with that other one, which more rows have."""
        count: dict[str, int] = {}
        for text in self._texts("location"):
            name = self.spelling.get(" ".join(text.split()), text)
            count[name] = count.get(name, 0) + 1
        first: dict[tuple[str, ...], str] = {}
        near = {}
        for name in sorted(count, key=lambda name: -count[name]):
            key = places.likely_key(name)
            if first.setdefault(key, name) != name:
                near[name] = first[key]
        return near

    def place(self, line: int, text: str) -> tuple[str, RowDoubt | None]:
        """Where a row says that its piece is, or the section that it stands in, and what is to be asked about it."""
        plain = " ".join(text.split())
        if not plain:
            return self._place_of_section(line)
        name = self.spelling.get(plain, plain)
        other = self._near_places.get(name)
        if other is None:
            return name, None
        key = f"place:{fold(name)}"
        same = f"the same as “{other}”"
        doubt = RowDoubt(
            key=key,
            about=f"Is “{shorten(name)}” the same place as “{shorten(other)}”?",
            choices=(same, "a place of its own", LEAVE_OUT),
        )
        return (other if self.answers.get(key) == same else name), doubt

    def _place_of_section(self, line: int) -> tuple[str, RowDoubt | None]:
        section = self.section_of.get(line, "")
        if not section or self.sections == "headings":
            return "", None
        place = places.section_place(section)
        if self.sections == "places":
            return self.spelling.get(place, place)[:60], None
        if not places.names_place(section):
            return "", None
        doubt = RowDoubt(
            key="sections",
            about=f"Rows like “{shorten(places.undecorated(section))}” stand between the pieces. Are they the places "
            "of the rows below them?",
            choices=(ARE_PLACES, ARE_HEADINGS, LEAVE_OUT),
        )
        return "", doubt

    def day(self, text: str) -> tuple[str, RowDoubt | None]:
        """A date as the form reads it, and whether it waits for the order of day and month."""
        order = self.order or {DAY_FIRST: "dmy", MONTH_FIRST: "mdy"}.get(self.answers.get("dates", ""))
        if order is None and self.language != "en":
            order = "dmy"  # no country of those languages writes the month first
        read = dates.as_written(text, order, self.language)
        if read is not None:
            return read, None
        one, other = dates.in_words(text, "mdy"), dates.in_words(text, "dmy")
        return text, RowDoubt(
            key="dates",
            about=f"“{shorten(text)}” is {one} or {other}. Which comes first in the dates of this sheet?",
            choices=(MONTH_FIRST, DAY_FIRST, LEAVE_OUT),
        )

    @staticmethod
    def fraction(day: str, fraction: str) -> RowDoubt:
        """What is asked where sizes have become dates."""
        return RowDoubt(
            key="fractions",
            about=f"“{shorten(day)}” is a date where sizes stand: a spreadsheet makes one of {fraction}. Were they "
            "fractions?",
            choices=("they were fractions", LEAVE_OUT),
        )

    def without_tag(self) -> RowDoubt | None:
        """What is asked where a piece has no tag; nothing where such are numbered."""
        if self.numbers_pieces:
            return None
        about = "Pieces without a tag are in the sheet" if "tag" in self.place_of else "The sheet has no tags"
        return RowDoubt(
            key="tags", about=f"{about}. Is each to get the next free one?", choices=(NUMBER_THEM, LEAVE_OUT)
        )

    def _texts(self, field: str) -> list[str]:
        place = self.place_of.get(field)
        return [] if place is None else [texts[place] for _, texts in self.sheet.rows() if texts[place].strip()]

    def _legend(self) -> dict[str, str]:
        """What letters in the column of conditions stand for; a G beside a W or an X goes without saying."""
        lines = [text for texts in self.sheet.lines if sum(map(bool, texts)) == 1 for text in texts if "=" in text]
        legend = tables.legend_in([*self.sheet.beside, *lines], self.language)
        letters = {fold(text) for text in self._texts("condition")}
        if "g" in letters and letters & {"w", "x", "d", "b", "f", "p"} and "g" not in legend:
            legend["g"] = "good"
        return legend

    def _default_kind(self) -> str:
        """What pieces are where no column says it: what the tab or the title is called, or collets by their family."""
        if "kind" in self.place_of:
            return ""
        for text in (self.sheet.tab, *self.sheet.beside[:3]):
            named = named_kind(prepared(fold(text)), self.language) if text else None
            if named is not None and named.kind is not None:
                return str(named.kind)
        return str(Kind.COLLET) if {"series", "size"} <= set(self.place_of) else ""


def day_texts(sheet: Sheet, columns: Iterable[SheetColumn]) -> list[str]:
    """The dates of inspection as they were sent."""
    place = next((column.place for column in columns if column.field == "inspected_on"), None)
    return [] if place is None else [texts[place].strip() for _, texts in sheet.rows()]
