"""A setup sheet while it is made: who changes it, when it is frozen, and the revision that is made from it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from uuid import UUID

from django.core import serializers
from django.db import IntegrityError, transaction
from django.db.models import F

from fitfinder.setups.cuts import advice_of, own_speeds, setup_of
from inventory.models import Loan, SetupOperation, SetupPhoto, SetupPiece, SetupSheet, Tool, User

TAKEN_OFF = "setup_operation_taken_off"
"""In the session of who took it off: the last operation, so that it can be put back."""
IN_USE = "This sheet is in use and is never changed. Make a new revision from it."


class CannotChange(Exception):
    """The sheet stays as it is; the text says why."""


@contextmanager
def one_of_a_revision() -> Iterator[None]:
    """In one transaction; raises CannotChange where a part has such a sheet already."""
    try:
        with transaction.atomic():
            yield
    except IntegrityError as error:
        # A form has looked before; the database decides where two are made in the same moment.
        raise CannotChange(
            "There is a sheet of this part number, revision and set-up for this lathe already. "
            "Write another revision, or open that sheet among the setup sheets."
        ) from error


@transaction.atomic
def changed(pk: int, *, drawn_from: int | None) -> SetupSheet:
    """The draft, locked until the transaction ends, with one more edit counted.

    Raises CannotChange where it is frozen, or where somebody changed it since the page was drawn (`drawn_from`; None
    where it does not matter).
    """
    sheet = SetupSheet.objects.select_for_update(of=("self",)).get(pk=pk)
    if sheet.is_frozen:
        raise CannotChange(IN_USE)
    if drawn_from is not None and drawn_from != sheet.edits:
        raise CannotChange("Somebody changed this sheet since the page was drawn. Look at it, then save again.")
    SetupSheet.objects.filter(pk=pk).update(edits=F("edits") + 1)
    sheet.edits += 1
    return sheet


@transaction.atomic
def freeze(sheet: SetupSheet, *, by: User, at: datetime) -> bool:
    """Frozen from now on, with who and when; whether it was a draft until now.

    A speed that was left to the table is written down as the table has it now, and so stays too.
    """
    if not SetupSheet.objects.filter(pk=sheet.pk, frozen_at=None).update(frozen_at=at, frozen_by=by):
        return False
    for operation, rpm in _speeds_of_the_table(sheet):
        if operation.rpm is None:
            operation.rpm = rpm
            operation.save(update_fields=["rpm"])
    return True


def _speeds_of_the_table(sheet: SetupSheet) -> Iterator[tuple[SetupOperation, int]]:
    """Each operation for which the table has a speed just now, with that speed."""
    setup, own = setup_of(sheet), own_speeds()
    for operation in sheet.operations.all():
        if table_speed := advice_of(operation, sheet, setup, own):
            yield operation, table_speed.rpm


def can_be_a_draft_again(sheet: SetupSheet) -> bool:
    """Whether nothing came of it yet that it was in use: no run, no piece issued for it, no revision made from it."""
    if not sheet.is_frozen:
        return False
    return not (sheet.runs.all() or sheet.later.all() or Loan.objects.filter(sheet=sheet).exists())


@transaction.atomic
def thaw(pk: int) -> bool:
    """A draft again, for a tap on the wrong button; False where something came of it already.

    A speed that is what the table says is left to the table again, as it was before `freeze` wrote it down.
    """
    sheet = SetupSheet.objects.select_for_update(of=("self",)).get(pk=pk)
    if not can_be_a_draft_again(sheet):
        return False
    SetupSheet.objects.filter(pk=pk).update(frozen_at=None, frozen_by=None, edits=F("edits") + 1)
    for operation, rpm in _speeds_of_the_table(sheet):
        if operation.rpm == rpm:
            operation.rpm = None
            operation.save(update_fields=["rpm"])
    return True


@transaction.atomic
def put_photo(pk: int, jpeg: bytes) -> None:
    """The picture of the whole set-up, in place of the one before. A sheet in use takes one where it has none: that is
    when the set-up stands on the lathe. Raises CannotChange where it has one."""
    sheet = SetupSheet.objects.select_for_update(of=("self",)).get(pk=pk)
    photo_of_all = sheet.photos.filter(operation=None)
    if not (sheet.is_frozen and not photo_of_all.exists()):
        changed(pk, drawn_from=None)
    photo_of_all.delete()
    SetupPhoto.objects.create(sheet=sheet, jpeg=jpeg)


@transaction.atomic
def put_pieces(sheet: SetupSheet, tools: list[Tool]) -> None:
    """These hold the work, from the spindle on."""
    sheet.pieces.all().delete()
    SetupPiece.objects.bulk_create(SetupPiece(sheet=sheet, tool=tool, order=order) for order, tool in enumerate(tools))


def next_revision(revision: str) -> str:
    """`B` after `A`, `3` after `2`; `A` after none; empty where it is neither a letter nor a number."""
    if not revision:
        return "A"
    if revision.isascii() and revision.isdecimal():
        return str(int(revision) + 1)
    if len(revision) == 1 and revision.isascii() and revision.isalpha() and revision.upper() != "Z":
        return chr(ord(revision) + 1)
    return ""


_OWN = {"id", "token", "made_at", "made_by", "put_away_at", "frozen_at", "frozen_by", "made_from", "edits", "revision"}
"""Columns that a new revision has for itself."""


@one_of_a_revision()
def revised(old: SetupSheet, *, revision: str, by: User, token: UUID) -> SetupSheet:
    """A draft that is like the old one in all but its revision, with its operations and pictures. The old one stays."""
    columns = {
        field.attname: getattr(old, field.attname)
        for field in SetupSheet._meta.concrete_fields
        if field.name not in _OWN
    }
    made = SetupSheet.objects.create(**columns, revision=revision, made_by=by, made_from=old, token=token)
    SetupPiece.objects.bulk_create(
        SetupPiece(sheet=made, tool_id=piece.tool_id, order=piece.order) for piece in old.pieces.all()
    )
    _copy_operations(old, made)
    for photo in old.photos.filter(operation=None):
        SetupPhoto.objects.create(sheet=made, jpeg=photo.jpeg)
    return made


def _copy_operations(old: SetupSheet, made: SetupSheet) -> None:
    photos = {photo.operation_id: photo for photo in old.photos.exclude(operation=None)}
    for operation in old.operations.all():
        key = operation.pk
        operation.pk, operation.sheet = None, made
        operation._state.adding = True
        operation.save()
        if key in photos:
            SetupPhoto.objects.create(sheet=made, operation=operation, jpeg=photos[key].jpeg)


@transaction.atomic
def take_off(sheet: SetupSheet, operation: SetupOperation) -> str:
    """Off the sheet; with the text that `put_back` makes it again from, its photo too."""
    text = serializers.serialize("json", [operation, *SetupPhoto.objects.filter(operation=operation)])
    operation.delete()
    return text


@transaction.atomic
def put_back(sheet: SetupSheet, text: str) -> bool:
    """What was taken off this sheet, in its old place; False where it stands there again already."""
    operation, *photos = [one.object for one in serializers.deserialize("json", text)]
    if not isinstance(operation, SetupOperation) or operation.sheet_id != sheet.pk:
        return False
    if SetupOperation.objects.filter(pk=operation.pk).exists():
        return False
    for row in (operation, *photos):
        row.save(force_insert=True)
    return True


@transaction.atomic
def move(sheet: SetupSheet, operation: SetupOperation, *, by: int) -> None:
    """One place earlier (-1) or later (1) among the operations, which are numbered anew."""
    standing = list(sheet.operations.all())
    place = next(number for number, one in enumerate(standing) if one.pk == operation.pk)
    other = min(max(place + by, 0), len(standing) - 1)
    standing.insert(other, standing.pop(place))
    for number, one in enumerate(standing, start=1):
        if one.order != number:
            one.order = number
            one.save(update_fields=["order"])
