import json
from datetime import UTC, date, datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import (
    Condition,
    Count,
    CountLine,
    HeldTool,
    Inspection,
    Loan,
    Location,
    Seat,
    SheetImport,
    Tool,
)
from inventory.models.wear import Finding
from inventory.transfer import in_progress, undoing
from tests import factories
from tests.commands import run

pytestmark = pytest.mark.django_db

NOON = datetime(2026, 3, 20, 12, tzinfo=UTC)
SHEET = (
    "Tag,Kind,Series,Size,Drawer,TIR,Checked,Remarks\n"
    "C-1,collet,5C,3/4,Z1,0.0004,2026-03-18,\n"
    "C-2,collet,5C,7/8,Z1,,,\n"
    "C-3,collet,5C,1/2,A2,,,sprung\n"
)


def entered(text=SHEET, *, by=None):
    """A sheet that was sent to the page and entered."""
    sent = factories.sheet_read(text, by=by)
    in_progress.take(sent, by=sent.sent.made_by, shown=sent.digest())
    return SheetImport.objects.get(pk=sent.sent.pk)


def columns(tag):
    return Tool.objects.filter(tag=tag).values().get()


def refusal(sheet):
    with pytest.raises(undoing.CannotUndo) as refused:
        undoing.undo(sheet, by=None)
    return str(refused.value)


def test_new_pieces_go_with_all_that_came_with_them():
    undone = undoing.undo(entered(), by=None)

    assert undone.removed == ["C-1", "C-2", "C-3"]
    assert not Tool.objects.exists()
    assert not Inspection.objects.exists()


def test_a_piece_that_was_changed_is_as_it_was_before():
    factories.collet("1/2", tag="C-3", location="B7", notes="a gift", tir="0.0008", condition=Condition.WORN)
    before = columns("C-3")
    sheet = entered()
    assert columns("C-3") != before

    undone = undoing.undo(sheet, by=None)

    assert (undone.removed, undone.put_back) == (["C-1", "C-2"], ["C-3"])
    assert columns("C-3") == before
    assert Inspection.objects.count() == 1


def test_the_history_of_a_piece_says_that_the_import_was_taken_back():
    keeper = factories.user()
    tool = factories.collet("1/2", tag="C-3", location="B7")
    undoing.undo(entered(), by=keeper)

    newest = tool.history.first()

    assert (newest.history_change_reason, newest.history_user) == ("crib.csv was taken back", keeper)
    assert [str(move) for move in tool.moves.order_by("pk")] == ["C-3: B7 → A2", "C-3: A2 → B7"]


def test_a_piece_that_the_sheet_left_as_it_was_is_left_alone():
    factories.collet("7/8", tag="C-2", location="Z1")
    sheet = entered()
    factories.loan(Tool.objects.get(tag="C-2"))

    undone = undoing.undo(sheet, by=None)

    assert "C-2" not in undone.removed + undone.put_back
    assert Tool.objects.get().tag == "C-2"


def test_drawers_and_seats_that_came_with_it_go_unless_something_else_uses_them():
    text = "Tag,Kind,Takes,Drawer\nH-1,closer,QX-9,Z1\nH-2,closer,5C,Z2\n"
    sheet = entered(text)
    factories.collet("3/4", tag="C-9", location="Z2")

    undoing.undo(sheet, by=None)

    assert not Location.objects.filter(name="Z1").exists()
    assert Location.objects.filter(name="Z2").exists()
    assert not Seat.objects.filter(code="QX-9").exists()


def test_lathes_for_which_a_holder_was_set_are_as_before():
    factories.lathe("Lathe 1")
    factories.lathe("Lathe 2", headstock="MT4")
    text = "Tag,Kind,Set_for\nP-1,tool post holder,{}\n"
    entered(text.format("Lathe 1"))
    sheet = entered(text.format("Lathe 2"))
    assert [str(lathe) for lathe in Tool.objects.get().set_for.all()] == ["Lathe 2"]

    undoing.undo(sheet, by=None)

    assert [str(lathe) for lathe in Tool.objects.get().set_for.all()] == ["Lathe 1"]


def issue(tool):
    factories.loan(tool)


def inspect(tool):
    tool.record(by=None, tir=None, taken_on=date(2026, 3, 20), finding=Finding.GALLED)


def move(tool):
    tool.location = factories.place("D4")
    tool.save()


def count(tool):
    keeper = factories.user()
    counted = Count.objects.create(place=factories.place("A2"), begun_at=NOON, begun_by=keeper)
    CountLine.objects.create(count=counted, tool=tool, answer="here", at=timezone.now(), by=keeper)


def edit(tool):
    tool.notes = "another word"
    tool.save()


def retire(tool):
    tool.retired_at = timezone.now()
    tool.save()


def miss(tool):
    tool.missing_since = date(2026, 3, 20)
    tool.save()


def mount(tool):
    tool.mounted_on, tool.mounted_at = factories.lathe(), "nose"
    tool.save()


def set_up(tool):
    factories.setup_sheet(tool)


def reserve(tool):
    factories.reservation(tool, sheet=factories.setup_sheet())


def hold(tool):
    HeldTool.objects.create(tool=factories.piece("turning tool", tag="T-1"), holder=tool)


def be_held(tool):
    HeldTool.objects.create(tool=tool, holder=factories.piece("tool-post holder", tag="T-1"))


def cut(tool):
    factories.setup_sheet().operations.create(order=1, does="turning", tool=tool)


def clamp_for_a_cut(tool):
    factories.setup_sheet().operations.create(order=1, does="turning", holder=tool)


def come_back(tool):
    Loan.objects.filter(tool=tool).end(by=factories.user(), at=timezone.now())


DEEDS = [
    (issue, "was issued"),
    (inspect, "was inspected"),
    (move, "was moved"),
    (count, "was counted"),
    (edit, "was edited"),
    (retire, "was retired"),
    (miss, "was reported missing or found again"),
    (mount, "was mounted or taken off"),
    (set_up, "is on a setup sheet"),
    (reserve, "was reserved"),
    (cut, "is on a setup sheet"),
    (clamp_for_a_cut, "is on a setup sheet"),
    (hold, "holds another piece"),
    (be_held, "is held in another piece"),
]


@pytest.mark.parametrize(("deed", "words"), DEEDS, ids=[deed.__name__ for deed, _ in DEEDS])
@pytest.mark.parametrize("tag", ["C-2", "C-3"], ids=["a new piece", "a changed one"])
def test_what_was_done_with_a_piece_since_is_said_and_nothing_changes(deed, words, tag):
    factories.collet("1/2", tag="C-3", location="B7")
    sheet = entered()
    deed(Tool.objects.get(tag=tag))
    before = list(Tool.objects.order_by("pk").values())

    said = refusal(sheet)

    assert said == f"crib.csv stays in Gripbook, because since then {tag} {words}. Nothing was changed."
    assert list(Tool.objects.order_by("pk").values()) == before
    assert SheetImport.objects.get().undone_at is None


def test_what_was_done_before_the_import_does_not_stand_in_its_way():
    tool = factories.collet("1/2", tag="C-3", location="B7")
    for deed in (issue, come_back, inspect, count, set_up):
        deed(tool)
    before = columns("C-3")
    sheet = entered()

    undoing.undo(sheet, by=None)

    assert columns("C-3") == before


def test_a_piece_that_came_back_since_is_said():
    tool = factories.collet("1/2", tag="C-3", location="B7")
    issue(tool)
    sheet = entered()
    come_back(tool)

    assert "since then C-3 came back." in refusal(sheet)


def test_many_pieces_are_not_all_named():
    sheet = entered("Tag,Kind,Series,Size\n" + "".join(f"C-{n},collet,5C,1/2\n" for n in range(10, 17)))
    for tool in Tool.objects.all():
        edit(tool)

    said = refusal(sheet)

    assert "C-10 was edited, C-11 was edited" in said
    assert said.endswith("and 2 more pieces changed. Nothing was changed.")
    assert "C-16" not in said


def test_an_import_is_taken_back_once():
    sheet = entered()
    undoing.undo(sheet, by=None)
    factories.collet("3/4", tag="C-1")

    assert refusal(sheet) == "crib.csv was taken back already."
    assert Tool.objects.get().tag == "C-1"


def test_the_sheet_can_be_entered_again_afterwards():
    undoing.undo(entered(), by=None)

    entered()

    assert Tool.objects.count() == 3


def test_an_import_of_before_they_were_written_down_stays():
    sheet = entered()
    SheetImport.objects.update(recorded_at=None)

    assert "was entered before imports could be taken back" in refusal(sheet)
    assert Tool.objects.count() == 3


def test_the_last_of_two_imports_has_to_go_first():
    first = entered()
    second = entered(SHEET.replace("Z1", "Z5"))

    assert "was moved" in refusal(first)
    undoing.undo(second, by=None)

    assert {tool.location.name for tool in Tool.objects.exclude(tag="C-3")} == {"Z1"}


@pytest.fixture
def keeper(client_of):
    return client_of("keeper")


def test_the_page_takes_it_back_and_says_so(keeper):
    sheet = entered()
    page = keeper.get(reverse("import_preview", args=[sheet.pk])).content.decode()
    assert "Take the whole import back" in page

    done = keeper.post(reverse("import_undo", args=[sheet.pk]), follow=True).content.decode()

    assert "crib.csv is taken back: 3 pieces went out of Gripbook, 0 are as before." in done
    assert "Taken back on" in done
    assert "Take the whole import back" not in done
    assert not Tool.objects.exists()


def test_the_button_pressed_twice_says_that_it_was_done(keeper):
    sheet = entered()
    keeper.post(reverse("import_undo", args=[sheet.pk]))

    page = keeper.post(reverse("import_undo", args=[sheet.pk]), follow=True).content.decode()

    assert "crib.csv was taken back already." in page


def test_the_page_says_why_it_stays(keeper):
    sheet = entered()
    issue(Tool.objects.get(tag="C-1"))

    page = keeper.post(reverse("import_undo", args=[sheet.pk]), follow=True).content.decode()

    assert "since then C-1 was issued. Nothing was changed." in page


def test_an_old_import_says_on_its_page_that_it_stays(keeper):
    sheet = entered()
    SheetImport.objects.update(recorded_at=None)

    page = keeper.get(reverse("import_preview", args=[sheet.pk])).content.decode()

    assert "was entered before imports could be taken back" in page
    assert "Take the whole import back" not in page


def test_a_sheet_that_was_entered_is_found_again(keeper):
    sheet = entered()

    page = keeper.get(reverse("import_entered")).content.decode()

    assert f'<a href="{reverse("import_preview", args=[sheet.pk])}">crib.csv</a>' in page


@pytest.fixture
def imported(tmp_path):
    """The number of an import that the command entered."""
    path = tmp_path / "crib.csv"
    path.write_text(SHEET)
    _, told, _ = run("import_sheet", str(path), "--json")
    return str(json.loads(told)["import"])


def test_the_command_tells_how_its_import_is_taken_back(tmp_path):
    path = tmp_path / "crib.csv"
    path.write_text(SHEET)

    _, told, _ = run("import_sheet", str(path))

    number = SheetImport.objects.get().pk
    assert told.endswith(f"import_sheet --undo {number} takes it back.\n")


def test_the_command_takes_an_import_back(imported):
    code, told, _ = run("import_sheet", "--undo", imported)

    assert (code, told) == (0, "crib.csv is taken back: 3 pieces went out of Gripbook, 0 are as before.\n")
    assert not Tool.objects.exists()


def test_the_command_says_as_json_what_it_took_back(imported):
    _, told, _ = run("import_sheet", "--undo", imported, "--json")

    assert json.loads(told) == {"import": int(imported), "removed": ["C-1", "C-2", "C-3"], "put_back": []}


def test_a_dry_run_takes_nothing_back(imported):
    code, told, _ = run("import_sheet", "--undo", imported, "--dry-run")

    assert (code, told.endswith("Nothing was written.\n")) == (0, True)
    assert Tool.objects.count() == 3


def test_an_import_that_stays_ends_with_1_and_the_sentence(imported):
    issue(Tool.objects.get(tag="C-1"))

    code, _, said = run("import_sheet", "--undo", imported)
    _, told, _ = run("import_sheet", "--undo", imported, "--json")

    assert (code, "C-1 was issued" in said) == (1, True)
    assert json.loads(told)["error"]["field"] == "undo"
    assert Tool.objects.count() == 3


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--undo", "77"], "“77” is no import of this book"),
        (["--undo", "last"], "“last” is no import of this book"),
        (["--undo", "9" * 30], "is no import of this book"),
        (["--undo", ""], "is no import of this book"),
        (["crib.csv", "--undo", "1"], "--undo takes an import back and reads no FILE"),
        ([], "Name the FILE to bring in"),
    ],
)
def test_what_names_no_import_ends_with_2(words, said):
    code, _, told = run("import_sheet", *words)

    assert (code, said in told) == (2, True)


def test_a_sheet_that_changed_nothing_leaves_no_import_behind(imported, tmp_path):
    run("import_sheet", str(tmp_path / "crib.csv"))

    assert SheetImport.objects.count() == 1


def test_a_jaw_set_of_a_chuck_that_came_with_it_is_said():
    sheet = entered("Tag,Kind,Mount\nK-1,independent chuck,D1-4\n")
    factories.jaws(of=Tool.objects.get())

    assert "K-1 has jaws written down" in refusal(sheet)


def test_a_piece_in_which_another_sits_is_said():
    sheet = entered("Tag,Kind,Takes\nH-1,collet chuck,ER32\n")
    where = {"mounted_on": factories.lathe(), "mounted_in": Tool.objects.get()}
    factories.collet("12 mm", series="ER32", tag="E-1", **where)

    assert "H-1 holds another piece" in refusal(sheet)


def test_a_holder_in_which_something_was_inspected_is_said():
    sheet = entered("Tag,Kind,Takes\nH-1,collet chuck,ER32\n")
    holder = Tool.objects.get()
    factories.reading(factories.collet("12 mm", series="ER32"), in_holder=holder)

    assert "H-1 held another piece that was inspected" in refusal(sheet)
