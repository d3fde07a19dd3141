"""What becomes of the rows of a sheet, as values that a page and a command only render."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from datetime import date
from enum import IntEnum, StrEnum

from inventory.measures.day_words import shown as day_shown
from inventory.models import Inspection, Tool
from inventory.pieces.form import PieceForm
from inventory.transfer.asked import RowDoubt


class RowVerdict(StrEnum):
    """What becomes of a row."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    REFUSED = "refused"
    EMPTY = "empty"
    LEFT_OUT = "left out"
    ASKED = "asked"
    NOT_OURS = "not ours"
    SECTION = "section"
    NO_PIECE = "no piece"
    READING = "reading"


class RowGroup(IntEnum):
    """Rows that are looked at together, what needs a hand before what does not."""

    ASKED = 0
    REFUSED = 1
    DETAILS_MISSING = 2
    CHANGED = 3
    NEW = 4
    SAME = 5
    EMPTY = 6
    LEFT_OUT = 7
    NOT_OURS = 8
    READING = 9
    SECTION = 10
    NO_PIECE = 11

    @property
    def words(self) -> str:
        words = {
            RowGroup.ASKED: "To answer",
            RowGroup.REFUSED: "Cannot be read",
            RowGroup.DETAILS_MISSING: "Details to fill in",
            RowGroup.LEFT_OUT: "Not entered",
            RowGroup.SAME: "The same",
            RowGroup.NOT_OURS: "Not for Gripbook",
            RowGroup.READING: "Further readings",
            RowGroup.SECTION: "Headings between rows",
            RowGroup.NO_PIECE: "Totals and repeated headings",
        }
        return words.get(self) or self.name.replace("_", " ").capitalize()

    @property
    def key(self) -> str:
        """Its name in an address."""
        return self.name.lower().replace("_", "-")


def label(name: str) -> str:
    """A field by the words that stand beside it on the page of a piece."""
    field = PieceForm.base_fields.get(name)
    return str(field.label if field and field.label else name.replace("_", " ").capitalize())


@dataclass(frozen=True)
class CellTrouble:
    """What is wrong with one field of a row: what was read, and a sentence that says what is accepted.

    `place` is the column where that is known; else the field tells it.
    """

    field: str
    read: str
    message: str
    place: int | None = None

    @property
    def label(self) -> str:
        return label(self.field)

    def as_json(self) -> dict[str, str]:
        return {"field": self.field, "read": self.read, "message": self.message}


@dataclass(frozen=True)
class CellChange:
    """A field of a piece in the book that the row says otherwise."""

    field: str
    old: str
    new: str

    @property
    def label(self) -> str:
        return label(self.field)

    @property
    def words(self) -> str:
        """For a page: a day is written as the shop writes it."""
        old, new = (
            (_day_in_words(self.old), _day_in_words(self.new)) if self.field == "inspected_on" else (self.old, self.new)
        )
        return f"{old or 'empty'} → {new or 'empty'}"


def _day_in_words(text: str) -> str:
    return day_shown(date.fromisoformat(text)) if text else ""


@dataclass(frozen=True, kw_only=True)
class PieceInWords:
    """What a row would leave in the book, in words; `finding` is what was read from the remarks."""

    what: str
    place: str
    condition: str
    finding: str
    tir: str
    looked_at: str

    @property
    def inspected_on(self) -> str:
        return _day_in_words(self.looked_at)


@dataclass(frozen=True, kw_only=True)
class RowOutcome:
    """One row: its number in the spreadsheet, its texts, and what becomes of it.

    `lacking` are the details without which the finder cannot consider the piece; `left` says what of the row is
    not taken because the book knows better. `after` is the piece as it would be, `inspection` the one that the row
    reports; neither is saved. `doubts` are the questions that the row raises, answered ones too; `read` is how its
    cells were understood, as pairs of a field and its text. `others` are the further pieces of a row that stands for
    several.
    """

    line: int
    texts: tuple[str, ...]
    verdict: RowVerdict
    tag: str = ""
    changes: tuple[CellChange, ...] = ()
    troubles: tuple[CellTrouble, ...] = ()
    lacking: tuple[str, ...] = ()
    finding: str = ""
    after: Tool | None = field(default=None, repr=False, compare=False)
    inspection: Inspection | None = field(default=None, repr=False, compare=False)
    piece: PieceInWords | None = None
    left: str = ""
    doubts: tuple[RowDoubt, ...] = ()
    read: tuple[tuple[str, str], ...] = ()
    others: tuple[RowOutcome, ...] = ()

    @property
    def what_it_says(self) -> str:
        """Its longest text, by which a person knows the row again."""
        return max((text.strip() for text in self.texts), key=len, default="")

    @property
    def details_missing(self) -> bool:
        return bool(self.lacking)

    @property
    def group(self) -> RowGroup:
        return RowGroup.DETAILS_MISSING if self.details_missing else RowGroup[self.verdict.name]

    @property
    def is_good(self) -> bool:
        return self.verdict in {RowVerdict.NEW, RowVerdict.CHANGED} or bool(self.others)

    def as_json(self) -> dict:
        """A refused row as the contract of the command has it."""
        first, *rest = self.troubles
        return {"line": self.line, **first.as_json(), "also": [trouble.as_json() for trouble in rest]}

    def as_stored(self) -> str:
        """The outcome as a text that `from_stored` reads back, but for the row's own texts and what could be saved."""
        parts = {
            "verdict": self.verdict,
            "tag": self.tag,
            "changes": [[change.field, change.old, change.new] for change in self.changes],
            "troubles": [[bad.field, bad.read, bad.message, bad.place] for bad in self.troubles],
            "lacking": self.lacking,
            "finding": self.finding,
            "piece": asdict(self.piece) if self.piece else None,
            "left": self.left,
            "doubts": [[doubt.key, doubt.about, doubt.choices] for doubt in self.doubts],
            "read": self.read,
            "others": [other.tag for other in self.others],
        }
        return json.dumps({name: value for name, value in parts.items() if value}, ensure_ascii=False)

    @classmethod
    def from_stored(cls, line: int, texts: tuple[str, ...], stored: str) -> RowOutcome:
        parts = json.loads(stored)
        piece = parts.get("piece")
        return cls(
            line=line,
            texts=texts,
            verdict=RowVerdict(parts["verdict"]),
            tag=parts.get("tag", ""),
            changes=tuple(CellChange(*change) for change in parts.get("changes", ())),
            troubles=tuple(CellTrouble(*trouble) for trouble in parts.get("troubles", ())),
            lacking=tuple(parts.get("lacking", ())),
            finding=parts.get("finding", ""),
            piece=PieceInWords(**piece) if piece else None,
            left=parts.get("left", ""),
            doubts=tuple(
                RowDoubt(key=key, about=about, choices=tuple(choices))
                for key, about, choices in parts.get("doubts", ())
            ),
            read=tuple((name, text) for name, text in parts.get("read", ())),
        )


def tags_in(stored: str) -> list[str]:
    """The tags, in capitals, of the pieces that a stored outcome names."""
    parts = json.loads(stored)
    return [tag.upper() for tag in (parts.get("tag", ""), *parts.get("others", ())) if tag]


def digest_of(stored: Iterable[str]) -> str:
    """The same for the outcomes of two readings that would do the same with every row."""
    digest = hashlib.sha256()
    for text in stored:
        digest.update(text.encode())
        digest.update(b"\n")
    return digest.hexdigest()
