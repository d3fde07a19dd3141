"""What is asked about a sheet: each question once, with all rows that wait for its answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

MOST_ANSWER = 200
"""Signs of an answer."""


class RowDoubt(Struct, frozen=True, kw_only=True):
    """A question that a row raises. All rows that raise the same `key` are answered together.

    `about` is a sentence that names what was read; `choices` are the answers that can be given, the likeliest first.
    """

    key: str
    about: str
    choices: tuple[str, ...]


class SheetAsk(Struct, frozen=True, kw_only=True):
    """One question about a sheet, the numbers of the rows that wait for it, and what was answered (empty: nothing)."""

    key: str
    about: str
    choices: tuple[str, ...]
    lines: tuple[int, ...]
    answer: str = ""
    tab: str = ""

    def as_json(self) -> dict[str, str | list[str] | list[int]]:
        fields: dict[str, str | list[str] | list[int]] = {
            "key": self.key,
            "about": self.about,
            "choices": list(self.choices),
            "lines": list(self.lines),
        }
        return {**fields, "tab": self.tab} if self.tab else fields


def asks_of(rows: Iterable[tuple[int, Iterable[RowDoubt]]], answers: Mapping[str, str]) -> list[SheetAsk]:
    """The questions of these rows, in the order in which they first come up; answered ones too."""
    lines: dict[str, list[int]] = {}
    first: dict[str, RowDoubt] = {}
    for line, doubts in rows:
        for doubt in doubts:
            first.setdefault(doubt.key, doubt)
            lines.setdefault(doubt.key, []).append(line)
    return [
        SheetAsk(
            key=key,
            about=doubt.about,
            choices=doubt.choices,
            lines=tuple(dict.fromkeys(lines[key])),
            answer=answers.get(key, ""),
        )
        for key, doubt in first.items()
    ]
