"""What becomes of the rows of a sheet, as values that a page and a command only render."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from inventory.forms import PieceForm


class Verdict(StrEnum):
    """What becomes of a row."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    REFUSED = "refused"
    EMPTY = "empty"


@dataclass(frozen=True)
class Trouble:
    """What is wrong with one field of a row: what was read, and a sentence that says what is accepted."""

    field: str
    read: str
    message: str

    def as_json(self) -> dict[str, str]:
        return {"field": self.field, "read": self.read, "message": self.message}


@dataclass(frozen=True)
class Change:
    """A field of a piece in the book that the row says otherwise."""

    field: str
    old: str
    new: str


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """One row: its number in the spreadsheet, its texts, and what becomes of it."""

    line: int
    texts: tuple[str, ...]
    verdict: Verdict
    tag: str = ""
    changes: tuple[Change, ...] = ()
    troubles: tuple[Trouble, ...] = ()
    details_missing: bool = False
    form: PieceForm | None = field(default=None, repr=False, compare=False)
    finding: str = ""

    @property
    def is_good(self) -> bool:
        return self.verdict in {Verdict.NEW, Verdict.CHANGED}

    def as_json(self) -> dict:
        """A refused row as the contract of the command has it."""
        first, *rest = self.troubles
        return {"line": self.line, **first.as_json(), "also": [trouble.as_json() for trouble in rest]}
