"""What becomes of the rows of a sheet, as values that a page and a command only render."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum, StrEnum

from inventory.forms import PieceForm


class Verdict(StrEnum):
    """What becomes of a row."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    REFUSED = "refused"
    EMPTY = "empty"


class Group(IntEnum):
    """Rows that are looked at together, what needs a hand before what does not."""

    REFUSED = 1
    DETAILS_MISSING = 2
    CHANGED = 3
    NEW = 4
    SAME = 5
    EMPTY = 6

    @property
    def words(self) -> str:
        return "The same" if self is Group.SAME else self.name.replace("_", " ").capitalize()


def label(name: str) -> str:
    """A field by the words that stand beside it on the page of a piece."""
    field = PieceForm.base_fields.get(name)
    return str(field.label if field and field.label else name.replace("_", " ").capitalize())


@dataclass(frozen=True)
class Trouble:
    """What is wrong with one field of a row: what was read, and a sentence that says what is accepted."""

    field: str
    read: str
    message: str

    @property
    def label(self) -> str:
        return label(self.field)

    @property
    def is_quoted(self) -> bool:
        """Whether the sentence says itself what was read."""
        return self.read in self.message

    def as_json(self) -> dict[str, str]:
        return {"field": self.field, "read": self.read, "message": self.message}


@dataclass(frozen=True)
class Change:
    """A field of a piece in the book that the row says otherwise."""

    field: str
    old: str
    new: str

    @property
    def label(self) -> str:
        return label(self.field)


@dataclass(frozen=True, kw_only=True)
class Piece:
    """What a row would leave in the book, in words; `finding` is what was read from the remarks."""

    what: str
    place: str
    condition: str
    finding: str
    tir: str
    looked_at: str


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One row: its number in the spreadsheet, its texts, and what becomes of it.

    `lacking` are the details without which the finder cannot consider the piece; `left` says what of the row is
    not taken because the book knows better.
    """

    line: int
    texts: tuple[str, ...]
    verdict: Verdict
    tag: str = ""
    changes: tuple[Change, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    lacking: tuple[str, ...] = ()
    form: PieceForm | None = field(default=None, repr=False, compare=False)
    finding: str = ""
    piece: Piece | None = None
    left: str = ""

    @property
    def details_missing(self) -> bool:
        return bool(self.lacking)

    @property
    def group(self) -> Group:
        return Group.DETAILS_MISSING if self.details_missing else Group[self.verdict.name]

    @property
    def is_good(self) -> bool:
        return self.verdict in {Verdict.NEW, Verdict.CHANGED}

    def as_json(self) -> dict:
        """A refused row as the contract of the command has it."""
        first, *rest = self.troubles
        return {"line": self.line, **first.as_json(), "also": [trouble.as_json() for trouble in rest]}
