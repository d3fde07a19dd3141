"""Tags for pieces that a sheet gives none: the next free ones, which no row of the sheet has either."""

from __future__ import annotations

import re
from collections.abc import Container

from inventory.models import Tool
from inventory.models.kinds import GROUPS
from inventory.pieces import tags, words
from inventory.pieces.book import Book
from inventory.pieces.fields import as_fields

_PREFIXES = {"collets": "C-", "chucks": "K-", "centers": "N-", "holders": "H-", "cutting tools": "T-"}
"""What stands before the numbers of a group of which the book has none yet."""
_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})", re.ASCII)
_FIGURES = 4


class Numbering:
    """The tags that are still free, for one reading of a sheet; `in_sheet` are those that its rows have."""

    def __init__(self, book: Book, in_sheet: Container[str]) -> None:
        self.book, self.in_sheet = book, in_sheet
        self._next: dict[tuple[str, int], int] = {}
        self._form_of_group: dict[str, tuple[str, int]] = {}
        self._used: set[str] | None = None
        self._pieces: dict[tuple[tuple[str, str], ...], list[str]] | None = None

    def next_tag(self, kind: str, behind: str = "") -> str:
        """The next free tag for a piece of this kind, or behind this tag. It stays free until it is taken."""
        numbered = _NUMBERED.fullmatch(behind) if behind else None
        if numbered:
            prefix, figures, start = numbered[1], len(numbered[2]), int(numbered[2]) + 1
        elif behind:
            prefix, figures, start = f"{behind}-", 1, 2
        else:
            prefix, figures = self._form(kind)
            start = 1
        number = max(self._next.get((prefix, figures), 1), start)
        while self._is_used(tag := f"{prefix}{number:0{figures}d}"):
            number += 1
        self._next[prefix, figures] = number if not behind else self._next.get((prefix, figures), 1)
        return tag

    def take(self, tag: str) -> None:
        self._tags.add(tag.upper())

    def in_book(self, piece: Tool) -> str:
        """The tag of a piece of the book that is just like this one and stands in no row; empty where there is none."""
        if self._pieces is None:
            self._pieces = {}
            for tool in Tool.objects.in_book().for_list().prefetch_related("set_for").order_by("tag"):
                if tool.tag.upper() not in self.in_sheet:
                    self._pieces.setdefault(_all_but_tag(tool), []).append(tool.tag)
        alike = self._pieces.get(_all_but_tag(piece), [])
        return alike.pop(0) if alike else ""

    def _form(self, kind: str) -> tuple[str, int]:
        """What stands before the number of such pieces, and how many figures it has."""
        known = words.kind_of(kind)
        group = next((name for name, kinds in GROUPS.items() if known in kinds), "holders")
        if group not in self._form_of_group:
            own = tags.numbering(map(str, GROUPS.get(group, ())))
            self._form_of_group[group] = own or (_PREFIXES[group], _FIGURES)
        return self._form_of_group[group]

    @property
    def _tags(self) -> set[str]:
        if self._used is None:
            self._used = {tag.upper() for tag in Tool.objects.values_list("tag", flat=True)}
        return self._used

    def _is_used(self, tag: str) -> bool:
        return tag.upper() in self._tags or tag.upper() in self.in_sheet


def _all_but_tag(tool: Tool) -> tuple[tuple[str, str], ...]:
    return tuple((name, text) for name, text in as_fields(tool).items() if name not in {"tag", "condition"})
