"""Which column of a sheet is which field of a piece."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from types import MappingProxyType

from msgspec import Struct

from inventory.measures.lengths import shorten
from inventory.pieces.fields import PIECE_FIELDS, SHEET_FIELDS
from inventory.transfer.contents import CONTENT_FIELDS, Content
from inventory.transfer.errors import COMMAND, Advice, SheetError
from inventory.transfer.outcomes import label
from inventory.transfer.reading.columns import HOLDS, LEFT_OUT, OUT_TO, QUANTITY, UNIT, best_of, read_heading
from inventory.transfer.reading.vocabulary import language_of

_SPEAKS_OF_OTHERS = {"due", "next", "bought", "purchased", "ordered", "received", "made", "sold", "qty", "quantity"}
"""A column that is headed so is not taken by its cells: its days and numbers are others than ours."""
# One of these words inside a longer heading still tells the field, if it is the only one.
_TELLING = {
    "tag": "tag", "kind": "kind", "type": "kind", "series": "series", "shape": "shape", "size": "size",
    "drawer": "location", "bin": "location", "location": "location", "condition": "condition",
    "tir": "tir", "runout": "tir", "inspected": "inspected_on", "checked": "inspected_on",
    "cost": "cost", "price": "cost", "paid": "cost", "remarks": "notes", "notes": "notes", "comments": "notes",
    "jaws": "jaws", "rpm": "max_rpm", "weight": "weight",
}  # fmt: skip
_RUNNING = {"lfd", "lfd nr", "lfd no", "laufende nr", "pos", "pos nr", "line", "line no", "row", "s no", "sl no"}
"""The running number of a row, where another column names the piece."""
_OURS_ALONE = {"outside_min", "outside_max", "inside_min", "inside_max"}
REASONS = "Why refused"
"""The heading of our own reasons beside refused rows; it is no part of a piece when they come back."""

NOTED = "noted"
"""What a column can be beside a field: kept in the notes of the piece, or LEFT_OUT, not read at all."""
COLUMN_FIELDS = (*SHEET_FIELDS, QUANTITY, HOLDS, OUT_TO, UNIT)
"""What a column can say: a field of a piece, or one of those that only a sheet has."""

_FIELD_OF_PHRASE = {phrase: field.name for field in PIECE_FIELDS for phrase in field.headings.split("/") if phrase}
_UNITS = {"mm": "mm", "in": "in", "inch": "in", "inches": "in", "lb": "lb", "lbs": "lb", "kg": "kg"}
_TOLD_BY_CELLS = ("kind", "shape", "condition")
"""What is known by its words, whatever stands above them."""


class SheetColumn(Struct, frozen=True):
    """One column: its place, heading and field (None: it goes into the notes); `unit` where the heading says one."""

    place: int
    heading: str
    field: str | None
    unit: str | None = None

    @property
    def label(self) -> str:
        return label(self.field) if self.field else ""


def columns(
    headings: list[str],
    chosen: Iterable[str] = (),
    *,
    remembered: Mapping[str, str] = MappingProxyType({}),
    contents: Sequence[Content] = (),
    advice: Advice = COMMAND,
    needs_tag: bool = True,
) -> list[SheetColumn]:
    """A column for each heading that is read. `chosen` are `HEADING=FIELD` texts, which win over all else.

    `remembered` are the choices of an earlier sheet by `key_of` their heading; they win over what is guessed. A field
    belongs to one column; the next that could be the same goes into the notes. Raises SheetError where a choice
    names no heading or field, and where no column is the tag.
    """
    choices = dict(_choices_by_place(headings, chosen))
    _remember(choices, headings, remembered)
    _guess(choices, headings, contents)
    chosen_fields = [choices.get(place, NOTED) for place in range(len(headings))]
    return chosen_columns(headings, chosen_fields, advice=advice, needs_tag=needs_tag)


def tells_pieces(choices: Collection[str]) -> bool:
    """Whether these fields say what a piece is, so that a sheet without tags can be read."""
    fields = set(choices) - {NOTED, LEFT_OUT}
    return len(fields & {"kind", "series", "size", "mount"}) > 1 or ("kind" in fields and len(fields) > 1)


def chosen_columns(
    headings: list[str], choices: list[str], *, advice: Advice = COMMAND, needs_tag: bool = True
) -> list[SheetColumn]:
    """The columns that are read, by the choice for each: a field, NOTED or LEFT_OUT.

    Raises SheetError where none is the tag; where `needs_tag` is false, only where nothing else tells a piece either.
    """
    if "tag" not in choices and (needs_tag or not tells_pieces(choices)):
        read = shorten(", ".join(heading for heading in headings if heading))
        raise SheetError(
            f"No heading of the sheet is the tag of a piece; {advice.tag_column}",
            field="tag",
            read=read,
        )
    return [
        SheetColumn(
            place,
            heading or f"column {place + 1}",
            None if choice == NOTED else choice,
            _unit(heading) or read_heading(heading).unit,
        )
        for place, (heading, choice) in enumerate(zip(headings, choices, strict=True))
        if choice != LEFT_OUT
    ]


def guessed_choices(
    headings: list[str],
    contents: Sequence[Content],
    *,
    remembered: Mapping[str, str] = MappingProxyType({}),
) -> list[str]:
    """The choice for each column that somebody is shown first: remembered, told by its heading, or by its cells.

    A heading that only sounds like a field gives way where none of the cells can be read as that field.
    """
    choices: dict[int, str] = {}
    _remember(choices, headings, remembered)
    _guess(choices, headings, contents, but=lambda place, field: contents[place].contradicts(field))
    for place, content in enumerate(contents):
        if place not in choices and not headings[place] and content.is_blank:
            choices[place] = LEFT_OUT
    for field in CONTENT_FIELDS:
        for place, content in enumerate(contents):
            if place in choices or field in choices.values() or _SPEAKS_OF_OTHERS & set(_words(headings[place])):
                continue
            if content.is_like(field):
                choices[place] = field
    return [choices.get(place, NOTED) for place in range(len(headings))]


def field_of(heading: str) -> str | None:
    """The field that a heading tells by its words alone."""
    words = _words(heading)
    read = next((field for field in read_heading(heading).fields if field in COLUMN_FIELDS), None)
    return _own_name(words) or read or _phrase(words) or _telling_word(words)


def is_of_a_piece(heading: str) -> bool:
    """Whether it is one of our own headings, by which a column is a field whatever stands beside it."""
    words = _words(heading)
    return _own_name(words) is not None or _phrase(words) not in {None, "location"}


def key_of(heading: str) -> str:
    """A heading without its case and punctuation, under which a choice for it is remembered; empty for none."""
    return " ".join(re.findall(r"\w+", heading.casefold()))[:200]


def _remember(choices: dict[int, str], headings: list[str], remembered: Mapping[str, str]) -> None:
    for place, heading in enumerate(headings):
        choice = remembered.get(key_of(heading), "")
        if heading == REASONS:
            choices[place] = LEFT_OUT
        elif choice in {NOTED, LEFT_OUT} or (choice in COLUMN_FIELDS and choice not in choices.values()):
            choices.setdefault(place, choice)


def _guess(
    choices: dict[int, str],
    headings: list[str],
    contents: Sequence[Content] = (),
    *,
    but: Callable[[int, str], bool] = lambda place, field: False,
) -> None:
    language = language_of(headings)

    def _has_other_tag(place: int) -> bool:
        others = [heading for other, heading in enumerate(headings) if other != place]
        return any(read_heading(heading, language).fields[:1] == ("tag",) for heading in others)

    def by_words(place: int, heading: str) -> str | None:
        if _phrase(_words(heading)) in _OURS_ALONE:
            return None
        fields = [field for field in read_heading(heading, language).fields if field in COLUMN_FIELDS]
        free = [field for field in fields if field not in choices.values()]
        if not free:
            return NOTED if fields or read_heading(heading, language).fields else None
        cells = contents[place].cells if place < len(contents) else ()
        if free[0] == "tag" and key_of(heading) in _RUNNING and _has_other_tag(place):
            return LEFT_OUT
        if free[0] != fields[0]:
            # What it means first is another column: its cells have to say the other.
            fitting = [field for field in free if cells and contents[place].is_mostly(field)]
            return fitting[0] if fitting else NOTED
        if cells and {"tag", "quantity"} == set(free):
            # Numbers that never stand twice are names.
            return "tag" if len(set(cells)) == len(cells) > 2 else "quantity"
        return best_of(free, cells, contents[place].reads)[0] if cells and len(free) > 1 else free[0]

    guesses: tuple[Callable[[int, str], str | None], ...] = (
        lambda place, heading: _own_name(_words(heading)),
        by_words,
        lambda place, heading: _phrase(_words(heading)),
        lambda place, heading: _telling_word(_words(heading)),
    )
    noted: set[int] = set()

    def by_cells(place: int) -> str | None:
        """What the cells of a column say whose heading says nothing."""
        if place >= len(contents) or _SPEAKS_OF_OTHERS & set(_words(headings[place])):
            return None
        return next((field for field in _TOLD_BY_CELLS if contents[place].is_mostly(field)), None)

    for number, guess in enumerate(guesses):
        for place, heading in enumerate(headings):
            field = guess(place, heading) if place not in choices and place not in noted else None
            if field == NOTED:
                noted.add(place)
            elif field is not None and field not in choices.values() and (number == 0 or not but(place, field)):
                choices[place] = field
    for place in range(len(headings)):
        field = by_cells(place) if place not in choices and place not in noted else None
        if field is not None and field not in choices.values():
            choices[place] = field


def _choices_by_place(headings: list[str], chosen: Iterable[str]) -> dict[int, str]:
    places: dict[str, int] = {}
    for place, heading in enumerate(headings):
        for name in (heading, *heading.split(" / ")):
            places.setdefault(name.casefold(), place)
    fields: dict[int, str] = {}
    for text in chosen:
        heading, equals, name = text.rpartition("=")
        field = "_".join(re.findall("[a-z]+", name.lower()))
        if not equals or field not in COLUMN_FIELDS:
            raise SheetError(
                f"“{shorten(text)}” names no field: write HEADING=FIELD, the field being one of "
                f"{', '.join(COLUMN_FIELDS)}.",
                field="map",
                read=shorten(text),
            )
        named = places.get(" ".join(heading.split()).casefold())
        if named is None or not heading.strip():
            known = ", ".join(heading for heading in headings if heading)
            raise SheetError(
                f"“{shorten(heading)}” is no heading of the sheet; it has {known}.",
                field="map",
                read=shorten(text),
            )
        if field in fields.values() and fields.get(named) != field:
            raise SheetError(f"Two headings are mapped to {field}; choose one.", field="map", read=shorten(text))
        fields[named] = field
    return fields


def _words(heading: str) -> list[str]:
    words = re.findall(r"[a-z0-9]+", heading.lower())
    while len(words) > 1 and words[-1] in _UNITS:
        words.pop()
    return words


def _unit(heading: str) -> str | None:
    """The unit that stands at the end of a heading: `Size (mm)`, `TIR, in`."""
    unit = re.search(r"[\s,(\[/](mm|in|inch|inches|lbs?|kg)\.?[)\]]?$", heading.lower())
    return _UNITS[unit[1]] if unit else None


def _own_name(words: list[str]) -> str | None:
    name = "_".join(words)
    return name if name in SHEET_FIELDS else None


def _phrase(words: list[str]) -> str | None:
    return _FIELD_OF_PHRASE.get(" ".join(words))


def _telling_word(words: list[str]) -> str | None:
    fields = {_TELLING[word] for word in words if word in _TELLING}
    return fields.pop() if len(fields) == 1 and len(words) <= 3 else None
