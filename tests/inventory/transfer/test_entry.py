"""A sheet that is entered part by part: what another person changes meanwhile, and what is cut off."""

import re
from contextlib import contextmanager
from datetime import timedelta

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from inventory.models import Kind, Loan, Location, SheetImport, Tool
from inventory.transfer import entry, in_progress, questions, undoing
from inventory.transfer.in_progress import SheetInProgress
from tests import factories

pytestmark = pytest.mark.django_db


class PowerCut(Exception):
    """Where the process ends."""


@pytest.fixture(autouse=True)
def _small_parts(monkeypatch):
    monkeypatch.setattr(entry, "PIECES_AT_ONCE", 2)
    monkeypatch.setattr(undoing, "PIECES_AT_ONCE", 2)


@contextmanager
def after_part(number, do):
    """Does something once the part of this number is in the book."""
    kept = []

    def watching(execute, sql, parameters, many, context):
        found = execute(sql, parameters, many, context)
        if sql.startswith('UPDATE "inventory_sheetimport" SET "entered_upto"'):
            kept.append(sql)
        elif sql.startswith("RELEASE SAVEPOINT") and len(kept) == number:
            kept.append("done")
            do()
        return found

    with connection.execute_wrapper(watching):
        yield


def sheet_of(*rows, by):
    return factories.sheet_read("\n".join(("tag,kind,location,notes", *rows, "")), by=by)


def dogs(count, *, by, place="Yard"):
    return sheet_of(*(f"L-{number},lathe dog,{place},{number} lb" for number in range(count)), by=by)


def taken(sheet, by):
    return in_progress.take(sheet, by=by, shown=sheet.digest())


def cut_off():
    raise PowerCut


def after_a_cut(sheet, by):
    """What is there of a sheet of which two parts were entered."""
    with after_part(2, cut_off), pytest.raises(PowerCut):
        taken(sheet, by)
    return again(sheet)


def test_a_sheet_is_entered_in_parts_and_told_as_one(keeper):
    sheet = dogs(5, by=keeper)

    done = taken(sheet, keeper)

    sent = SheetImport.objects.get(pk=sheet.sent.pk)
    assert (done["added"], sent.done, sent.entered_upto) == (5, done, 6)
    assert Tool.objects.count() == 5 and Location.objects.filter(name="Yard").count() == 1
    assert sent.taken_at and not sent.is_half_entered


def test_a_sheet_that_was_cut_off_says_so_and_goes_on(client, keeper):
    half = after_a_cut(dogs(7, by=keeper), keeper)
    SheetImport.objects.update(recorded_at=timezone.now() - timedelta(minutes=1))
    client.force_login(keeper)
    address = reverse("import_preview", args=[half.sent.pk])

    assert half.how_far() == "4 of 7 pieces are entered: go on, or take them back"
    assert "4 of 7 pieces are entered. Entering this sheet began on" in text_of(client.get(address))
    page = text_of(client.post(address, follow=True))

    assert "Taken: 7 added, 0 updated" in page
    assert sorted(Tool.objects.values_list("tag", flat=True)) == [f"L-{number}" for number in range(7)]
    assert Tool.history.count() == 7


def test_a_sheet_that_is_being_entered_shows_how_far_it_is(client, keeper):
    half = after_a_cut(dogs(7, by=keeper), keeper)
    client.force_login(keeper)

    page = client.get(reverse("import_preview", args=[half.sent.pk])).content.decode()

    assert "The rest is being entered just now" in page
    assert '<meta http-equiv="refresh"' in page


def test_pieces_without_a_tag_go_on_where_the_numbers_ended(keeper):
    sheet = sheet_of(*[",lathe dog,Yard,alike"] * 5, by=keeper)
    (asked,) = questions.questions_of(sheet)
    questions.answer(sheet, {asked.name: "number them"}, set())
    half = after_a_cut(read_again(sheet), keeper)
    assert Tool.objects.count() == 4

    done = in_progress.go_on(half, by=keeper)

    assert (done["added"], done["refused"]) == (5, [])
    assert Tool.objects.count() == 5


def test_half_a_sheet_is_taken_back_whole(keeper):
    factories.piece(Kind.LATHE_DOG, tag="L-0", notes="old")
    half = after_a_cut(dogs(7, by=keeper), keeper)

    undone = undoing.undo(half.sent, by=keeper)

    assert (undone.put_back, undone.removed) == (["L-0"], ["L-1", "L-2", "L-3"])
    assert list(Tool.objects.values_list("tag", "notes")) == [("L-0", "old")]
    sent = SheetImport.objects.get(pk=half.sent.pk)
    assert (sent.done["added"], sent.done["updated"]) == (3, 1)
    assert sent.undone_at and sent.taken_at and not sent.book_rows.exists()


def test_half_a_sheet_is_neither_mended_nor_discarded(client, keeper):
    half = after_a_cut(dogs(7, by=keeper), keeper)
    client.force_login(keeper)

    client.post(reverse("import_drop", args=[half.sent.pk]))
    assert client.post(reverse("import_row", args=[half.sent.pk, 2]), {"tag": "L-99"}).status_code == 404

    assert SheetImport.objects.half_entered().count() == 1
    assert SheetImport.objects.forgotten(now=timezone.now() + timedelta(days=90)).count() == 0


def test_a_piece_that_somebody_changes_meanwhile_stays_as_it_is_and_its_row_is_refused(keeper):
    for number in range(5):
        factories.piece(Kind.LATHE_DOG, tag=f"L-{number}")
    sheet = dogs(5, by=keeper)

    with after_part(1, lambda: Tool.objects.filter(tag="L-3").update(notes="bent")):
        done = taken(sheet, keeper)

    assert done["updated"] == 4
    (refused,) = done["refused"]
    assert (refused["line"], refused["read"]) == (5, "L-3")
    assert refused["message"].startswith("Somebody changed this piece while the sheet was being entered")
    assert Tool.objects.get(tag="L-3").notes == "bent"
    assert list(sheet.sent.rows.filter(line__gt=1).values_list("line", flat=True)) == [5]


def test_a_tag_that_somebody_gives_meanwhile_refuses_its_row(keeper):
    sheet = dogs(5, by=keeper)

    with after_part(2, lambda: factories.piece(Kind.LATHE_DOG, tag="L-4", notes="another")):
        done = taken(sheet, keeper)

    assert (done["added"], [row["line"] for row in done["refused"]]) == (4, [6])
    assert Tool.objects.get(tag="L-4").notes == "another"


def test_who_comes_second_enters_nothing(keeper):
    sheet = dogs(5, by=keeper)
    found = []

    with after_part(1, lambda: found.append(in_progress.go_on(again(sheet), by=keeper))):
        assert taken(sheet, keeper) is None

    assert found[0]["added"] == 5
    assert Tool.objects.count() == 5 and Tool.history.count() == 5


def test_an_import_that_is_taken_back_meanwhile_goes_on_no_further(keeper):
    sheet = dogs(5, by=keeper)

    with after_part(1, lambda: undoing.undo(again(sheet).sent, by=keeper)):
        assert taken(sheet, keeper) is None

    assert not Tool.objects.exists() and not Location.objects.filter(name="Yard").exists()


def test_what_is_used_between_two_parts_of_taking_back_stays_and_is_told(keeper, monkeypatch):
    sheet = dogs(5, by=keeper)
    taken(sheet, keeper)
    issued = []

    def watching(execute, sql, parameters, many, context):
        if sql.startswith('UPDATE "inventory_sheetimport" SET') and '"undone"' in sql and not issued:
            issued.append(factories.loan(Tool.objects.get(tag="L-3"), to=keeper))
        return execute(sql, parameters, many, context)

    with connection.execute_wrapper(watching), pytest.raises(undoing.CannotUndo) as refusal:
        undoing.undo(sheet.sent, by=keeper)

    assert "L-3 was issued. 2 of its pieces were taken back before, the others stay." in str(refusal.value)
    assert sorted(Tool.objects.values_list("tag", flat=True)) == ["L-2", "L-3", "L-4"]
    Loan.objects.all().delete()
    undone = undoing.undo(sheet.sent, by=keeper)
    assert undone.removed == ["L-0", "L-1", "L-2", "L-3", "L-4"]


def text_of(response):
    return " ".join(re.sub(r"<[^>]+>", "", response.content.decode()).split())


def again(sheet):
    return SheetInProgress(SheetImport.objects.get(pk=sheet.sent.pk))


def read_again(sheet):
    found = again(sheet)
    while not found.is_read:
        in_progress.read_on(found)
        found = again(sheet)
    return found
