"""Which column of a sheet is which field of a piece."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from inventory.forms import FIELDS
from inventory.lengths import shorten
from inventory.transfer.advice import COMMAND, Advice
from inventory.transfer.outcomes import label
from inventory.transfer.sheets import SheetError

_PHRASES = {
    "tag": "tag number/tag no/piece/asset/asset tag/id/number/no/item no/item number/label/mark",
    "kind": "type/what it is/what/item/tool/category/kind of piece/description",
    "series": "collet series/family/style",
    "shape": "form/profile",
    "size": "nominal/nominal size/diameter/dia/marked size",
    "location": "drawer/place/bin/shelf/rack/cabinet/where/slot/box/stored in/kept in/home",
    "condition": "state/status",
    "tir": "runout/run out/total indicator reading/total indicated runout",
    "inspected_on": "inspected/checked/checked on/last checked/last inspected/last inspection/inspection date/"
    "date checked/date inspected/inspection/measured on/date",
    "cost": "paid/price/price paid/bought for/amount",
    "notes": "note/remarks/remark/comments/comment",
    "mount": "mounts on/mounts in/mounting/shank/outside taper",
    "takes": "accepts/socket/inside taper",
    "pilot": "pilot hole",
    "through": "through hole/thru/thru hole/bore/hole/passes/bar passes up to",
    "jaws": "jaw/number of jaws/no of jaws/jaw count",
    "body": "body diameter/body dia/body size",
    "outside_min": "min outside/outside from/holds from/holds outside from",
    "outside_max": "max outside/outside to/holds to/holds outside to",
    "inside_min": "min inside/inside from/holds inside from",
    "inside_max": "max inside/inside to/holds inside to",
    "max_rpm": "rpm/maximum rpm/max speed/marked maximum/speed limit",
    "weight": "mass",
    "angle": "point angle/degrees/point",
}  # fmt: skip
# One of these words inside a longer heading still tells the field, if it is the only one.
_TELLING = {
    "tag": "tag", "kind": "kind", "type": "kind", "series": "series", "shape": "shape", "size": "size",
    "drawer": "location", "bin": "location", "location": "location", "condition": "condition",
    "tir": "tir", "runout": "tir", "inspected": "inspected_on", "checked": "inspected_on",
    "cost": "cost", "price": "cost", "paid": "cost", "remarks": "notes", "notes": "notes", "comments": "notes",
    "jaws": "jaws", "rpm": "max_rpm", "weight": "weight",
}  # fmt: skip
REASONS = "Why refused"
"""The heading of our own reasons beside refused rows; it is no part of a piece when they come back."""

_FIELD_OF_PHRASE = {phrase: field for field, phrases in _PHRASES.items() for phrase in phrases.split("/")}
_UNITS = {"mm": "mm", "in": "in", "inch": "in", "inches": "in", "lb": "lb", "lbs": "lb", "kg": "kg"}


@dataclass(frozen=True)
class Column:
    """One column: its place, heading and field (None: it goes into the notes); `unit` where the heading says one."""

    place: int
    heading: str
    field: str | None
    unit: str | None = None

    @property
    def label(self) -> str:
        return label(self.field) if self.field else ""


def columns(headings: list[str], chosen: Iterable[str] = (), *, advice: Advice = COMMAND) -> list[Column]:
    """A column for each heading. `chosen` are `HEADING=FIELD` texts, which win over what is guessed.

    A field belongs to one column; the next that could be the same goes into the notes. Raises SheetError
    where a choice names no heading or field, and where no column is the tag.
    """
    fields = _chosen(headings, chosen)
    for guess in (_own_name, _phrase, _telling_word):
        for place, heading in enumerate(headings):
            field = guess(_words(heading)) if place not in fields else None
            if field is not None and field not in fields.values():
                fields[place] = field
    if "tag" not in fields.values():
        read = shorten(", ".join(heading for heading in headings if heading))
        raise SheetError(
            f"No heading of the sheet is the tag of a piece; {advice.tag_column}",
            field="tag",
            read=read,
        )
    return [
        Column(place, heading or f"column {place + 1}", fields.get(place), _unit(heading))
        for place, heading in enumerate(headings)
        if heading != REASONS
    ]


def _chosen(headings: list[str], chosen: Iterable[str]) -> dict[int, str]:
    places = {}
    for place, heading in enumerate(headings):
        places.setdefault(heading.casefold(), place)
    fields: dict[int, str] = {}
    for text in chosen:
        heading, equals, name = text.rpartition("=")
        field = "_".join(re.findall("[a-z]+", name.lower()))
        if not equals or field not in FIELDS:
            raise SheetError(
                f"“{shorten(text)}” names no field: write HEADING=FIELD, the field being one of {', '.join(FIELDS)}.",
                field="map",
                read=shorten(text),
            )
        place = places.get(" ".join(heading.split()).casefold())
        if place is None or not heading.strip():
            known = ", ".join(heading for heading in headings if heading)
            raise SheetError(
                f"“{shorten(heading)}” is no heading of the sheet; it has {known}.",
                field="map",
                read=shorten(text),
            )
        if field in fields.values() and fields.get(place) != field:
            raise SheetError(f"Two headings are mapped to {field}; choose one.", field="map", read=shorten(text))
        fields[place] = field
    return fields


def _words(heading: str) -> list[str]:
    words = re.findall(r"[a-z0-9]+", heading.lower())
    while len(words) > 1 and words[-1] in _UNITS:
        words.pop()
    return words


def _unit(heading: str) -> str | None:
    """The unit that stands at the end of a heading: `Size (mm)`, `TIR, in`."""
    found = re.search(r"[\s,(\[/](mm|in|inch|inches|lbs?|kg)\.?[)\]]?$", heading.lower())
    return _UNITS[found[1]] if found else None


def _own_name(words: list[str]) -> str | None:
    name = "_".join(words)
    return name if name in FIELDS else None


def _phrase(words: list[str]) -> str | None:
    return _FIELD_OF_PHRASE.get(" ".join(words))


def _telling_word(words: list[str]) -> str | None:
    told = {_TELLING[word] for word in words if word in _TELLING}
    return told.pop() if len(told) == 1 and len(words) <= 3 else None
