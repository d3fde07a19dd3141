import stat
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from fitfinder.buying.reader import Purchasing
from fitfinder.setups.cuts import setup_of
from fitfinder.setups.page import page_of
from fitfinder.short.board import SizeState
from fitfinder.short.reader import Shortage
from fitfinder.short.shortfalls import Need
from inventory.inspections.readings import trend_of
from inventory.measures.lengths import parse
from inventory.models import (
    Count,
    CountedItem,
    CountedMovement,
    CountLine,
    Finding,
    HeldTool,
    KeptBar,
    Kind,
    Lathe,
    Loan,
    Location,
    Price,
    Reservation,
    Role,
    Seat,
    SetupSheet,
    SheetImport,
    SheetRow,
    ShiftNote,
    Size,
    Tool,
    User,
    Want,
)  # fmt: skip
from inventory.orders.report import figures
from inventory.reference.noses import spindle_noses
from inventory.reference.place_words import drawer_code
from shop.demo import counted, crib, people
from tests import factories


@pytest.fixture
def folder(db, settings, tmp_path):
    """Where the sign-ins are kept: a test's database is in memory, or on a server."""
    settings.BASE_DIR = tmp_path
    return tmp_path


def held(series, shape="round"):
    return set(
        Size.objects.filter(series__code=series, shape=shape, tools__condition__in=["good", "worn"])
        .filter(tools__missing_since=None)
        .values_list("nominal", flat=True)
    )


def test_the_demo_crib_has_each_kind_of_piece_and_about_125(demo):
    assert set(Tool.objects.values_list("kind", flat=True)) == set(Kind)
    assert 115 <= Tool.objects.count() <= 135


def test_loading_it_again_adds_nothing(demo):
    before = list(Tool.objects.values_list("tag", "condition", "tir", "location"))

    assert crib.load(now=timezone.now() + timedelta(days=30)) == 0
    assert list(Tool.objects.values_list("tag", "condition", "tir", "location")) == before
    assert (Lathe.objects.count(), Loan.objects.count(), Want.objects.count()) == (2, 48, 11)


def test_a_piece_that_a_person_edited_or_retired_stays_so(demo):
    edited, retired = Tool.objects.get(tag="C-0011"), Tool.objects.get(tag="C-0009")
    edited.notes, retired.retired_at = "Ours now.", timezone.now()
    edited.save()
    retired.save()

    crib.load(now=timezone.now())

    assert Tool.objects.get(tag="C-0011").notes == "Ours now."
    assert Tool.objects.get(tag="C-0009").retired_at is not None


def test_a_piece_that_a_person_tagged_anew_does_not_come_back(demo):
    piece = Tool.objects.get(tag="C-0011")
    piece.tag = "OURS-1"
    piece.save()

    assert crib.load(now=timezone.now()) == 0


def test_a_piece_that_was_in_the_book_before_the_demo_is_left_as_it_was(folder):
    Tool.objects.create(tag="K-0081", kind=Kind.FACEPLATE, notes="from a sheet")
    people.make()

    crib.load(now=timezone.now())

    piece = Tool.objects.get(tag="K-0081")
    assert (piece.kind, piece.notes, piece.mounted_on) == (Kind.FACEPLATE, "from a sheet", None)


def test_a_returned_piece_is_not_lent_again(demo):
    Loan.objects.open().update(returned_at=timezone.now())

    crib.load(now=timezone.now())

    assert not Loan.objects.open().exists()


def test_the_ladder_of_5c_has_its_gaps(demo):
    inch = held("5C")

    assert parse("3/4") in inch
    assert not inch & {parse("7/16"), parse("13/16"), parse("15/16")}
    assert not held("ER32") & {parse("9 mm"), parse("15 mm"), parse("17 mm")}


def test_the_bell_mouthed_collet_is_out_of_use_and_its_readings_show_a_trend(demo):
    piece = Tool.objects.get(tag="C-0024")
    readings = [look.tir for look in piece.inspections.order_by("taken_on")]

    assert (piece.finding, piece.condition) == (Finding.BELL_MOUTHED, "damaged")
    assert readings == sorted(readings)
    assert len(readings) == 4


def test_one_piece_wears_toward_its_limit_within_the_next_months(demo):
    today = timezone.now().date()

    forecast = trend_of(Tool.objects.get(tag="C-0022")).forecast

    assert forecast.earliest > today - timedelta(days=31)
    assert today < forecast.likely < today + timedelta(days=180)


def test_every_state_that_a_list_tells_is_there(demo):
    today = timezone.now().date()

    assert Tool.objects.details_missing().exists()
    assert Tool.objects.filter(missing_since__isnull=False).exists()
    assert Loan.objects.open().filter(borrower__username="machinist").exists()
    assert Loan.objects.open().filter(due_on__lt=today).exists()
    assert Lathe.objects.filter(mounted__isnull=False).distinct().count() == 2


def test_one_thing_that_is_counted_is_low_and_was_taken_from(demo):
    low = CountedItem.objects.low().with_places().get()

    assert (low.name, low.where) == ("Center drill No. 3", "2 left in drawer E4")
    assert CountedMovement.objects.filter(stock__item=low, what="taken", by__username="machinist").count() == 2


def test_what_is_counted_and_was_named_anew_does_not_come_back(demo):
    oil, names = CountedItem.objects.get(name="Way oil"), CountedItem.objects.count()
    oil.name = "Oil for the ways"
    oil.save()

    counted.load(
        now=timezone.now(), keeper=User.objects.get(username="keeper"), machinist=User.objects.get(username="machinist")
    )

    assert CountedItem.objects.count() == names


def test_only_the_chain_of_lathe_1_has_its_drawbar(demo):
    assert [bar.mounts_in.code for bar in Tool.objects.filter(kind=Kind.DRAWBAR)] == ["MT5"]


def test_days_are_counted_back_from_the_day_of_loading(folder):
    people.make()
    now = datetime(2031, 5, 20, 12, tzinfo=UTC)

    crib.load(now=now)

    seen = Tool.objects.exclude(inspected_on=None).values_list("inspected_on", flat=True)
    assert min(seen) >= now.date() - timedelta(days=400)
    assert max(seen) == now.date() - timedelta(days=20)


def test_each_role_has_one_sign_in_that_opens(folder):
    sign_ins = people.make()

    assert [sign_in.name for sign_in in sign_ins] == Role.values
    for sign_in in sign_ins:
        user = User.objects.get(username=sign_in.name)
        assert user.role == sign_in.name
        assert user.check_password(sign_in.password)


def test_the_passwords_differ_and_only_their_owner_can_read_the_file(folder):
    passwords = {sign_in.password for sign_in in people.make()}

    assert len(passwords) == 4
    assert stat.S_IMODE((folder / "demo-sign-ins.txt").stat().st_mode) == 0o600


def test_a_file_that_was_open_to_others_is_closed(folder):
    (folder / "demo-sign-ins.txt").touch(0o644)

    people.make()

    assert stat.S_IMODE((folder / "demo-sign-ins.txt").stat().st_mode) == 0o600


def test_the_sign_ins_are_the_same_at_every_run(folder):
    assert people.make() == people.make()


def test_a_password_that_its_owner_changed_is_neither_told_nor_changed_back(folder):
    people.make()
    keeper = User.objects.get(username="keeper")
    keeper.set_password("my-own-4714-password")
    keeper.save()

    told = {sign_in.name: sign_in.password for sign_in in people.make()}

    assert told["keeper"] is None
    assert told["machinist"]
    assert User.objects.get(username="keeper").check_password("my-own-4714-password")


def test_a_user_who_was_there_before_the_demo_keeps_role_and_password(folder):
    User.objects.create_user("keeper", password="my-own-4714-password", role="machinist")

    told = {sign_in.name: sign_in.password for sign_in in people.make()}

    assert told["keeper"] is None
    assert User.objects.get(username="keeper").role == "machinist"


def test_a_user_whose_sign_in_is_closed_is_not_told_as_open(folder):
    people.make()
    User.objects.filter(username="purchasing").update(is_active=False)

    assert {sign_in.name: sign_in.password for sign_in in people.make()}["purchasing"] is None


def test_the_demo_keeps_bar_that_it_cannot_hold_and_has_prices_for_it(demo):
    found = Purchasing().buy_list(budget=None)

    bought = [line.offer.name for line in found.lines]
    assert "7/16 round 5C" in bought
    assert "ER32, five sizes" in bought
    assert [item.name.partition(" ")[0] for item in found.unmet] == ["1-3/8"]
    assert found.held and found.is_proved


def test_a_line_is_approved_one_is_late_and_what_came_in_is_in_the_book(demo):
    today = timezone.localdate()

    assert Want.objects.get(state="approved").name == "MT3 drawbar"
    assert Want.objects.late(on=today).get().name == "7/8 round 5C"
    assert all(want.pieces.exists() for want in Want.objects.filter(state="received", item=None))


def test_every_figure_of_the_meeting_has_something_to_show(demo):
    today = timezone.localdate()

    found = figures(first=today - timedelta(days=90), last=today)

    assert [figure.title for figure in found if figure.bars is None] == []


def test_each_reason_to_be_short_but_a_missing_blank_is_there(demo):
    found = {short.shortfall.need for short in Shortage(today=timezone.localdate()).rows()}

    assert found == set(Need) - {Need.BLANK}


def test_a_drawer_is_being_counted_and_the_count_before_missed_what_is_missing(demo):
    lost = CountLine.objects.get(outcome="missing")

    assert str(Count.objects.open().get()) == "count of drawer E5"
    assert (lost.tool.tag, lost.count.ended_at.date()) == ("C-0036", lost.tool.missing_since)


def test_no_drawer_has_the_name_of_a_seat_or_of_its_first_half(demo):
    """As `A2` would, of A2-5, and `D1`, of D1-4."""
    seats = {nose.code for nose in spindle_noses()} | set(Seat.objects.values_list("code", flat=True))
    drawers = [name for name in Location.objects.names() if drawer_code(name)]

    assert len(drawers) > 10
    assert not [name for name in drawers for seat in seats if seat == name or seat.startswith(f"{name}-")]


def test_of_a_setup_sheet_some_is_issued_and_some_is_not(demo):
    hub = SetupSheet.objects.get(title="Impeller hub, feed pump")
    pieces = Tool.objects.filter(pk__in=hub.pieces.values("tool"))

    assert {tool.tag: tool.loans.open().exists() for tool in pieces} == {"H-0066": False, "H-0088": True}


def test_a_job_waits_for_tomorrow_at_seven_and_a_shift_wrote_a_note(demo):
    rows = Reservation.objects.standing(at=timezone.now())

    assert {(timezone.localtime(row.starts_at).hour, row.sheet.title) for row in rows} == {
        (7, "Impeller hub, feed pump")
    }
    assert {row.tool.tag for row in rows} == {"H-0066", "H-0088"}
    assert ShiftNote.objects.count() == 1


def test_one_setup_sheet_is_used_and_was_timed_and_one_is_being_written(demo):
    used, draft = (SetupSheet.objects.get(number=number) for number in ("MW-4471", "MW-3082"))

    assert used.is_frozen and used.runs.count() == 1
    assert not draft.is_frozen
    for sheet in (used, draft):
        mark = setup_of(sheet).lowest
        assert sheet.operations.count() >= 4 and sheet.pieces.exists()
        speeds = [line.speed for line in page_of(sheet, address="/").operations]
        assert all(0 < int(speed.removesuffix(" rpm")) <= mark.rpm for speed in speeds)
    assert HeldTool.objects.get(tool__tag="T-0107").holder.tag == "H-0078"


def test_an_import_is_read_and_waits_for_an_answer(demo):
    verdicts = set(SheetRow.objects.exclude(verdict="").values_list("verdict", flat=True))

    assert SheetImport.objects.get().taken_at is None
    assert verdicts == {"new", "changed", "asked"}


def test_an_order_came_in_part_and_the_rest_is_on_order(demo):
    lines = Want.objects.filter(item__name="Boring insert 80° small")

    assert {want.state: want.quantity for want in lines} == {"received": 10, "ordered": 10}


def test_the_board_of_5c_tells_each_state(demo, client_of):
    page = client_of("purchasing").get(reverse("board", args=["5C", "round"]))

    cells = [cell for cell, _ in page.context["cells"]]
    assert {cell.state for cell in cells} == set(SizeState)
    assert any(cell.is_asked_for for cell in cells)


def test_what_a_piece_went_through_stands_on_its_days(demo):
    days = [entry.history_date.date() for entry in Tool.objects.get(tag="C-0018").history.order_by("history_id")]

    assert days == sorted(days)
    assert len(set(days)) == len(days)


def test_bar_and_prices_that_a_person_entered_are_left_alone(folder):
    factories.kept_bar("5/8")
    factories.price("5/8")
    people.make()

    crib.load(now=timezone.now())

    assert (KeptBar.objects.count(), Price.objects.count()) == (1, 1)
