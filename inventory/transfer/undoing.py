"""An import that was entered, taken back whole: its pieces go, and those that it changed are as they were.

Where anything was done with one of its pieces since, nothing changes, and it is said what. Many pieces are taken back
some hundred at a time, so that nobody waits long for their turn to write; where one of them is used just then, or it is
cut off, its page says what is taken back and what stays, and it can go on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from django.db import IntegrityError, models, transaction
from django.db.models import ProtectedError, Q, RestrictedError
from django.utils import timezone
from msgspec import Struct

from inventory.models import (
    CountLine,
    HeldTool,
    ImportedRow,
    Inspection,
    JawSet,
    Loan,
    Move,
    Reservation,
    SetupOperation,
    SetupPiece,
    SheetImport,
    Tool,
    User,
    Want,
)
from inventory.transfer import saving
from inventory.transfer.book_rows import columns_of, model_named, put_columns, rows_of
from inventory.transfer.giving_way import let_others_write

_NAMED = 5
"""Pieces that a sentence names."""
_AT_ONCE = 2_000
PIECES_AT_ONCE = 200
"""Pieces that one transaction takes back."""
_OTHERS = ("want", "countedmovement", "countedstock", "counteditem", "lathe")
"""What an import makes beside pieces, in the order in which it can go."""
_EDITED = {"countedstock": "was counted or taken from"}


class CannotUndo(Exception):
    """The import stays; the message is the sentence that says why."""


class UndoReport(Struct, frozen=True):
    """The tags of the pieces that were taken out of the book, and of those that were put back as they were."""

    removed: list[str]
    put_back: list[str]

    @property
    def words(self) -> str:
        removed, put_back = len(self.removed), len(self.put_back)
        return (
            f"{removed:,} piece{'' if removed == 1 else 's'} went out of Gripbook, "
            f"{put_back:,} {'is' if put_back == 1 else 'are'} as before."
        )


def why_not(sheet: SheetImport) -> str:
    """Why this import cannot be taken back whatever was done since; empty where it may be."""
    if sheet.taken_at is None and not sheet.is_half_entered:
        return f"{sheet.name} was not entered yet: discard it instead."
    if sheet.undone_at is not None:
        return f"{sheet.name} was taken back already."
    if sheet.recorded_at is None:
        return (
            f"{sheet.name} was entered before imports could be taken back: what it did was not written down then. "
            "Retire its pieces instead."
        )
    return ""


def undo(sheet: SheetImport, *, by: User | None, is_dry: bool = False) -> UndoReport:
    """Take the import back; `is_dry` only looks whether that can be done.

    Raises CannotUndo, also where somebody else was quicker. Nothing is changed then, but where a piece was used between
    two transactions; the sentence says how far it came.
    """
    try:
        _refuse_if_used(sheet)
        if is_dry:
            return _TakenBack(sheet).report()
        while not (undone := _next_part(sheet, by)):
            let_others_write()
        return undone
    except SheetImport.DoesNotExist:
        raise CannotUndo("There is no such import any more.") from None
    except (IntegrityError, ProtectedError, RestrictedError):
        # Whatever the looking did not know of and still points to a piece: the database keeps it.
        raise CannotUndo(f"Something in Gripbook refers to what came with {sheet.name}; {_so_far(sheet)}") from None


def _refuse_if_used(sheet: SheetImport) -> None:
    """Whether all of it can be taken back, while nobody waits. Raises CannotUndo."""
    as_it_stands = SheetImport.objects.get(pk=sheet.pk)
    if why := why_not(as_it_stands):
        raise CannotUndo(why)
    if done := _TakenBack(as_it_stands).done_since():
        raise CannotUndo(_sentence(as_it_stands, done))


def _next_part(sheet: SheetImport, by: User | None) -> UndoReport | None:
    """Take the next pieces back, and return all that was, once nothing is left."""
    with transaction.atomic():
        locked = SheetImport.objects.select_for_update().get(pk=sheet.pk)
        if why := why_not(locked):
            raise CannotUndo(why)
        part = _TakenBack(locked, most=PIECES_AT_ONCE)
        if done := part.done_since():
            raise CannotUndo(_sentence(locked, done))
        part_undone = part.report()
        before = locked.undone or {"removed": [], "put_back": []}
        undone = UndoReport(
            removed=sorted([*before["removed"], *part_undone.removed]),
            put_back=sorted([*before["put_back"], *part_undone.put_back]),
        )
        part.carry_out(by)
        locked.undone = {"removed": undone.removed, "put_back": undone.put_back}
        if part.is_last:
            _end(locked, undone, by)
        locked.save(update_fields=["undone_at", "undone_by", "undone", "taken_at", "done"])
        return undone if part.is_last else None


def _end(sheet: SheetImport, undone: UndoReport, by: User | None) -> None:
    sheet.undone_at, sheet.undone_by = timezone.now(), by
    if sheet.is_half_entered:  # no more of it was ever in the book
        sheet.taken_at = sheet.entry_began_at
        sheet.done = {**(sheet.done or {}), "added": len(undone.removed), "updated": len(undone.put_back)}
        sheet.rows.all().delete()


def _so_far(sheet: SheetImport) -> str:
    """What a refusal left, as a clause that ends its sentence."""
    undone = SheetImport.objects.filter(pk=sheet.pk).values_list("undone", flat=True).first()
    if not undone:
        return "nothing was changed."
    count = len(undone["removed"]) + len(undone["put_back"])
    return f"{count:,} of its pieces were taken back before, the others stay."


class _TakenBack:
    """The rows of one import: those that it made, and those that it changed with what they were before.

    `most` of its pieces, locked, and what else there is once no more pieces are left; else all, only to be looked at.
    """

    def __init__(self, sheet: SheetImport, *, most: int | None = None) -> None:
        self.sheet = sheet
        imported = list(_rows_to_go(sheet, most))
        self.is_last = most is None or len(imported) == sheet.book_rows.count()
        self.rows: dict[tuple[str, int], ImportedRow] = {(row.model, row.key): row for row in imported}
        tools = Tool.objects.order_by("pk")
        if most is not None:
            tools = tools.select_for_update()
        self.tools: dict[int, Tool] = {}
        for keys in _parts(self._keys("tool")):
            self.tools |= {tool.pk: tool for tool in tools.filter(pk__in=keys)}

    def _keys(self, model: str, *, is_made: bool | None = None) -> list[int]:
        return [row.key for row in self.rows.values() if row.model == model and is_made in (None, row.before is None)]

    def report(self) -> UndoReport:
        made = set(self._keys("tool", is_made=True))
        return UndoReport(
            removed=sorted(tool.tag for key, tool in self.tools.items() if key in made),
            put_back=sorted(tool.tag for key, tool in self.tools.items() if key not in made),
        )

    def done_since(self) -> dict[str, list[str]]:
        """What was done with which piece since, in words, by its tag."""
        done: dict[int, list[str]] = {}
        for deed in _DEEDS:
            for key in self._touched(deed):
                done.setdefault(key, []).append(deed.words)
        for key, tool in self.tools.items():
            if words := self._edit_in_words(tool, done.get(key, [])):
                done.setdefault(key, []).append(words)
        others = {str(row): [_EDITED.get(model, "was edited")] for model, row in self._others_edited()}
        gone = {f"No. {key}": ["is not there any more"] for key in set(self._keys("tool")) - self.tools.keys()}
        return {self.tools[key].tag: list(dict.fromkeys(words)) for key, words in done.items()} | others | gone

    def _others_edited(self) -> Iterator[tuple[str, models.Model]]:
        """The lathes, wants and counted things that are no longer as the import left them."""
        for model in _OTHERS:
            for rows in rows_of(model, self._keys(model)):
                for key, row in rows.items():
                    if columns_of(row) != self.rows[model, key].after:
                        yield model, row

    def _touched(self, deed: _Deed) -> Iterator[int]:
        """The pieces with which this was done since; of a new piece it does not matter when."""
        own = set(self._keys(str(deed.model._meta.model_name), is_made=True))
        made, changed = self._keys("tool", is_made=True), self._keys("tool", is_made=False)
        for keys, is_new in ((made, True), (changed, False)):
            when = deed.ever() if is_new else deed.since(min(map(self._written_at, keys), default=None))
            for part in _parts(keys):
                touched = deed.model._base_manager.filter(when, **{f"{deed.column}__in": part})
                for key, tool, at in touched.order_by("pk").values_list("pk", deed.column, deed.at or "pk"):
                    if key not in own and (is_new or at > self._written_at(tool)):
                        yield tool

    def _written_at(self, tool: int) -> datetime:
        moment = self.rows["tool", tool].written_at or self.sheet.recorded_at
        assert moment is not None  # else it cannot be taken back
        return moment

    def _edit_in_words(self, tool: Tool, done: list[str]) -> str:
        """What became of the piece's own columns, where nothing that was done explains it."""
        now, then = columns_of(tool), self.rows["tool", tool.pk].after
        differing = {name for name in now.keys() | then.keys() if now.get(name) != then.get(name)}
        for columns, words in _COLUMNS:
            if columns & differing:
                return words
        explained = {column for deed in _DEEDS if deed.words in done for column in deed.explains}
        return "was edited" if differing - explained else ""

    def carry_out(self, by: User | None) -> None:
        reason = f"{self.sheet.name} was taken back"[:100]
        changed = [self.tools[key] for key in self._keys("tool", is_made=False)]
        for tool in changed:
            put_columns(tool, self.rows["tool", tool.pk].before or {})
        saving.save_changed(changed, by=by, reason=reason)
        for model in _OTHERS:
            for rows in rows_of(model, self._keys(model, is_made=False)):
                for key, row in rows.items():
                    put_columns(row, self.rows[model, key].before or {})
                    row._change_reason = reason  # type: ignore[attr-defined]  # read by the history as it is saved
                    row.save()
        for model in ("inspection", "tool", *_OTHERS):
            for keys in _parts(self._keys(model, is_made=True)):
                model_named(model)._base_manager.filter(pk__in=keys).delete()
        for model in ("location", "seat"):
            self._remove_unused(model)
        for keys in _parts([row.pk for row in self.rows.values()]):
            ImportedRow.objects.filter(pk__in=keys).delete()

    def _remove_unused(self, model: str) -> None:
        """A drawer or seat that the import made stays where something else uses it by now, or somebody edited it."""
        for rows in rows_of(model, self._keys(model, is_made=True)):
            for key, row in rows.items():
                if columns_of(row) == self.rows[model, key].after:
                    _delete_unless_used(row)


class _Deed(Struct, frozen=True):
    """What may have been done with a piece: rows of a model that point to it, and the column that says when.

    Without such a column it only counts for new pieces. `explains` are columns of the piece that such a deed changes.
    """

    words: str
    model: type[models.Model]
    column: str
    at: str = ""
    explains: tuple[str, ...] = ()

    def ever(self) -> Q:
        return Q(**{f"{self.at}__isnull": False}) if self.at else Q()

    def since(self, moment: datetime | None) -> Q:
        return Q(**{f"{self.at}__gt": moment}) if self.at else Q(pk__in=())


_READING = ("tir", "inspected_on", "reading_id", "finding", "condition")
_DEEDS = (
    _Deed("was issued", Loan, "tool", "issued_at"),
    _Deed("came back", Loan, "tool", "returned_at"),
    _Deed("was inspected", Inspection, "tool", "recorded_at", _READING),
    _Deed("held another piece that was inspected", Inspection, "in_holder", "recorded_at"),
    _Deed("was reserved", Reservation, "tool", "made_at"),
    _Deed("was moved", Move, "tool", "at", ("location_id",)),
    _Deed("was counted", CountLine, "tool", "at", ("missing_since",)),
    _Deed("has jaws written down", JawSet.history.model, "chuck", "history_date"),
    _Deed("is on a setup sheet", SetupPiece, "tool", "sheet__made_at"),
    _Deed("is on a setup sheet", SetupOperation, "tool", "sheet__made_at"),
    _Deed("is on a setup sheet", SetupOperation, "holder", "sheet__made_at"),
    _Deed("is held in another piece", HeldTool.history.model, "tool", "history_date"),
    _Deed("holds another piece", HeldTool.history.model, "holder", "history_date"),
    _Deed("came with an order", Want.pieces.through, "tool", "want__received_at"),
    _Deed("holds another piece", Tool, "mounted_in"),
)
_COLUMNS = (
    ({"retired_at"}, "was retired"),
    ({"mounted_on_id", "mounted_at", "mounted_in_id"}, "was mounted or taken off"),
    ({"missing_since"}, "was reported missing or found again"),
)
"""Columns of a piece that say by themselves what was done."""


def _rows_to_go(sheet: SheetImport, most: int | None) -> Iterable[ImportedRow]:
    """All its rows; or those of the next pieces, changed ones first, with the inspections that came with these."""
    rows = sheet.book_rows.all()
    if most is None:
        return rows
    of_pieces = rows.filter(model="tool")
    pieces = [*of_pieces.filter(before__isnull=False)[:most], *of_pieces.filter(before__isnull=True)[:most]][:most]
    if len(pieces) < most:
        return rows
    inspections = Inspection.objects.filter(tool__in=[row.key for row in pieces]).values("pk")
    return [*pieces, *rows.filter(model="inspection", key__in=inspections)]


def _sentence(sheet: SheetImport, done: dict[str, list[str]]) -> str:
    named = [f"{tag} {_and(words)}" for tag, words in sorted(done.items())[:_NAMED]]
    more = len(done) - len(named)
    if more:
        named.append(f"{more:,} more piece{'' if more == 1 else 's'} changed")
    return f"{sheet.name} stays in Gripbook, because since then {_and(named)}. {_so_far(sheet).capitalize()}"


def _and(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


def _delete_unless_used(row: models.Model) -> None:
    try:
        with transaction.atomic():
            row.delete()
    except (ProtectedError, RestrictedError, IntegrityError):
        return


def _parts(keys: list[int]) -> Iterable[list[int]]:
    """A statement takes so many values only."""
    return [keys[start : start + _AT_ONCE] for start in range(0, len(keys), _AT_ONCE)]
