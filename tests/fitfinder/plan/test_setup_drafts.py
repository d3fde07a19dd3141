"""A setup sheet while it is made: edited, cut by operations, frozen once it is used, and made anew."""

import io
import uuid

import pytest
from django.urls import reverse
from PIL import Image

from inventory.measures.lengths import Length
from inventory.models import HeldTool, SetupOperation, SetupPhoto, SetupSheet
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(client_of):
    return client_of(factories.user("machinist", name="dana"))


def words(answer):
    return answer.content.decode()


def make(browser, **fields):
    data = {"title": "Idler shaft", "number": "MW-4471", "revision": "A", "token": uuid.uuid4(), "edits": 0}
    return browser.post(reverse("setup_add"), {**data, **fields}, follow=True)


def edit(browser, sheet, **fields):
    data = {"title": sheet.title, "number": sheet.number, "revision": sheet.revision, "token": uuid.uuid4()}
    edits = SetupSheet.objects.get(pk=sheet.pk).edits
    return browser.post(reverse("setup_edit", args=[sheet.pk]), {**data, "edits": edits, **fields}, follow=True)


def add(browser, sheet, does, **fields):
    edits = SetupSheet.objects.get(pk=sheet.pk).edits
    address = f"{reverse('setup_operation_add', args=[sheet.pk])}?does={does.replace(' ', '+')}"
    return browser.post(address, {"edits": edits, **fields}, follow=True)


def press(browser, name, sheet, *args, **fields):
    return browser.post(reverse(name, args=[sheet.pk, *args]), {"token": uuid.uuid4(), **fields}, follow=True)


def picture():
    file = io.BytesIO()
    Image.new("RGB", (40, 30), "gray").save(file, "PNG")
    file.seek(0)
    file.name = "setup.png"
    return file


def test_a_sheet_is_written_by_hand_with_its_pieces_and_steps(browser):
    factories.lathe("Lathe 1")
    factories.chuck(tag="K-0082")
    page = words(
        make(browser, pieces="k-0082", steps="Grip by 1 in.\n\n Face it. ", stock_size="3/4", setup_minutes="12.5")
    )
    sheet = SetupSheet.objects.get()

    assert [piece.tool.tag for piece in sheet.pieces.all()] == ["K-0082"]
    assert sheet.steps == ["Grip by 1 in.", "Face it."]
    assert (sheet.stock_smallest, sheet.stock_largest) == (Length.inches("0.75"), Length.inches("0.75"))
    assert sheet.setup_hundredths == 1250
    for text in ("MW-4471", "draft", "Grip by 1 in.", "set-up 12.5 min"):
        assert text in page


def test_only_the_name_is_required_and_a_mistake_keeps_what_was_typed(browser):
    page = words(make(browser, title="", pieces="K-9999", stock="Bright bar"))

    assert "Name of the part is empty. Write it like Idler shaft." in page
    assert "No piece has the tag “K-9999”." in page
    assert 'value="Bright bar"' in page
    assert not SetupSheet.objects.exists()


def test_a_part_has_one_sheet_of_a_revision_a_setup_and_a_lathe(browser):
    make(browser)

    assert "There is a sheet of mw-4471 a for set-up 1" in words(make(browser, number="mw-4471", revision="a"))
    make(browser, setup="2")
    assert SetupSheet.objects.count() == 2


def test_a_draft_is_edited_and_an_edit_of_an_older_page_changes_nothing(browser):
    make(browser)
    sheet = SetupSheet.objects.get()
    edit(browser, sheet, title="Idler shaft, short")
    page = words(edit(browser, sheet, title="Mine", edits=0))

    assert "Somebody changed this sheet since the page was drawn." in page
    assert SetupSheet.objects.get().title == "Idler shaft, short"


def test_a_sheet_in_use_says_who_froze_it_and_is_never_changed(browser):
    make(browser)
    sheet = SetupSheet.objects.get()
    add(browser, sheet, "facing", tool="facing tool")
    press(browser, "setup_use", sheet)
    page = words(edit(browser, sheet, title="Another"))
    sheet.refresh_from_db()

    assert "never changed" in page
    assert (sheet.title, sheet.frozen_by.username) == ("Idler shaft", "dana")
    assert "In use since" in page and "Add an operation" not in page
    operation = sheet.operations.get()
    for answer in (
        add(browser, sheet, "turning"),
        press(browser, "setup_operation", sheet, operation.pk, tool="other", edits=sheet.edits),
        press(browser, "setup_operation_act", sheet, operation.pk, "remove"),
    ):
        assert "never changed" in words(answer)
    assert sheet.operations.get().tool_words == "facing tool"


def test_a_sheet_in_use_takes_its_first_photo_and_keeps_it(browser):
    sheet = factories.setup_sheet()
    press(browser, "setup_use", sheet)
    press(browser, "setup_photo_add", sheet, photo=picture())
    first = SetupPhoto.objects.get()

    page = words(press(browser, "setup_photo_add", sheet, photo=picture()))
    assert "never changed" in page
    assert 'name="photo"' not in page
    assert SetupPhoto.objects.get() == first


def test_a_sheet_put_in_use_by_a_wrong_tap_is_a_draft_again(browser):
    sheet = factories.setup_sheet()
    assert "a draft again" in words(press(browser, "setup_use", sheet))
    page = words(press(browser, "setup_use", sheet, undo="yes"))

    assert "It is a draft again." in page and "Use it now" in page


def test_a_draft_again_leaves_to_the_table_what_was_the_tables(browser):
    sheet = factories.setup_sheet(material="low-carbon steel")
    tables = sheet.operations.create(order=1, does="turning", diameter=Length.inches("3/4"))
    typed = sheet.operations.create(order=2, does="turning", diameter=Length.inches("3/4"), rpm=300)
    press(browser, "setup_use", sheet)
    press(browser, "setup_use", sheet, undo="yes")

    tables.refresh_from_db()
    typed.refresh_from_db()
    assert (tables.rpm, typed.rpm) == (None, 300)


def test_a_sheet_that_was_run_is_no_draft_again(browser):
    sheet = factories.setup_sheet()
    run(browser, sheet, setup_minutes="12")
    page = words(press(browser, "setup_use", sheet, undo="yes"))

    assert "It was used already" in page
    assert "a draft again" not in page


def test_asking_for_what_another_job_has_reserved_leaves_a_draft_a_draft(browser):
    chuck = factories.chuck(tag="K-0082")
    sheet = factories.setup_sheet(chuck)
    factories.reservation(chuck, sheet=factories.setup_sheet(title="Another job"))
    page = words(press(browser, "setup_issue", sheet))

    assert "Another job" in page
    assert not SetupSheet.objects.get(pk=sheet.pk).is_frozen


def test_a_revision_is_named_on_the_page_of_the_one_before(browser):
    sheet = factories.setup_sheet(number="MW-1", revision="A")
    press(browser, "setup_revise", sheet, revision="B")

    assert "Revision B was made from this one, a draft" in words(browser.get(sheet.get_absolute_url()))


def test_a_tool_without_a_tag_is_said_to_be_counted_or_not_in_the_crib(browser):
    sheet = factories.setup_sheet()
    add(browser, sheet, "center drilling", tool="No. 4 center drill")
    page = words(browser.get(sheet.get_absolute_url()))
    assert "No. 4 center drill, for center drilling: not in the crib" in page

    factories.counted("No. 4 center drill", E4=3)
    page = words(browser.get(sheet.get_absolute_url()))
    assert "not in the crib" not in page and "it is counted, not issued" in page


def test_what_is_on_the_lathe_by_now_comes_off_first_and_says_its_weight(browser):
    lathe = factories.lathe("Lathe 1")
    sheet = factories.setup_sheet(factories.chuck(tag="K-0082", mount="D1-4", body="6"), lathe=lathe)
    heavy = factories.chuck(tag="K-0090", mount="D1-4", body="12")
    assert "comes off first" not in words(browser.get(sheet.get_absolute_url()))

    type(heavy).objects.filter(pk=heavy.pk).update(mounted_on=lathe)
    page = words(browser.get(sheet.get_absolute_url()))
    assert "K-0090, which comes off first, weighs" in page
    assert "is on Lathe 1 now" in page


def test_taking_its_pieces_puts_a_draft_in_use(browser):
    chuck = factories.chuck(tag="K-0082")
    sheet = factories.setup_sheet(chuck)
    press(browser, "setup_issue", sheet)
    sheet.refresh_from_db()

    assert sheet.frozen_by.username == "dana"


def test_a_new_revision_has_all_of_the_old_one_and_both_stay(browser):
    chuck = factories.chuck(tag="K-0082")
    make(browser, pieces="K-0082", steps="Grip it.")
    old = SetupSheet.objects.get()
    add(browser, old, "parting", tool="1/8 blade", photo=picture())
    press(browser, "setup_photo_add", old, photo=picture())
    press(browser, "setup_use", old)
    assert 'value="B"' in words(browser.get(reverse("setup_revise", args=[old.pk])))

    press(browser, "setup_revise", old, revision="B")
    new = SetupSheet.objects.exclude(pk=old.pk).get()

    assert (new.number, new.revision, new.made_from, new.is_frozen) == ("MW-4471", "B", old, False)
    assert [piece.tool for piece in new.pieces.all()] == [chuck]
    assert [(one.does, one.tool_words) for one in new.operations.all()] == [("parting", "1/8 blade")]
    assert new.photos.count() == old.photos.count() == 2
    assert old.operations.count() == 1


def test_a_revision_that_stands_already_is_refused(browser):
    make(browser)
    page = words(press(browser, "setup_revise", SetupSheet.objects.get(), revision="a"))

    assert "There is a revision a of MW-4471 already." in page
    assert SetupSheet.objects.count() == 1


def test_a_revision_that_stands_on_a_sheet_for_any_lathe_is_refused(browser):
    lathe = factories.lathe()
    old = factories.setup_sheet(number="P-8", revision="A", lathe=lathe)
    factories.setup_sheet(number="P-8", revision="B", lathe=None)

    assert "There is a revision b of P-8 already." in words(press(browser, "setup_revise", old, revision="b"))


@pytest.mark.parametrize(("old", "new"), [("", "A"), ("A", "B"), ("c", "d"), ("9", "10"), ("Z", ""), ("2b", "")])
def test_the_next_revision_is_proposed(browser, old, new):
    sheet = factories.setup_sheet(number="P-1", revision=old)

    assert f'name="revision" value="{new}"' in words(browser.get(reverse("setup_revise", args=[sheet.pk]))) or not new


def test_an_operation_takes_the_holder_that_its_tool_is_in(browser):
    tool = factories.piece("turning tool", tag="T-0107")
    holder = factories.piece("tool-post holder", tag="H-0078")
    HeldTool.objects.create(tool=tool, holder=holder)
    sheet = factories.setup_sheet()
    page = words(add(browser, sheet, "turning", tool="t-0107", height="-.002", stick_out="1-1/8", feed=".004"))
    operation = sheet.operations.get()

    assert (operation.tool, operation.holder, operation.tool_words) == (tool, holder, "")
    assert operation.height == Length.inches("-0.002")
    for text in ("T-0107", "H-0078", "-0.0020 in", "1-1/8 in"):
        assert text in page
    picks = page.partition("Pick list")[2].partition("Tools")[0]
    assert "T-0107" in picks and "H-0078" in picks


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"tool": "T-9999"}, "No piece has the tag “T-9999”."),
        ({"holder": "the red one"}, "No piece has the tag “the red one”."),
        ({"stick_out": "much"}, "much"),
        ({"rpm": "fast"}, "no whole number"),
        ({"rpm": "-5"}, "“-5” was read; write 1 to 100,000."),
        ({"rpm": "99999999"}, "“99999999” was read; write 1 to 100,000."),
        ({"stick_out": "900"}, "900 in was read; write at most 24 in."),
        ({"feed": "5"}, "5 in was read; write at most 1 in."),
        ({"diameter": "2"}, "2 in was read, and the stock of this sheet is 3/4 in."),
        ({"holder": "C-0011"}, "C-0011 is a collet: it holds no tool."),
    ],
)
def test_what_cannot_be_read_of_an_operation_is_said(browser, fields, said):
    factories.collet("3/4", tag="C-0011")
    size = Length.inches("0.75")
    sheet = factories.setup_sheet(stock_smallest=size, stock_largest=size)

    assert said in words(add(browser, sheet, "turning", **fields))
    assert not sheet.operations.exists()


@pytest.mark.parametrize("pitch", ["zzz", "1000 tpi", "0 tpi"])
def test_what_is_no_pitch_is_called_so(browser, pitch):
    page = words(add(browser, factories.setup_sheet(), "knurling", pitch=pitch))

    assert f"“{pitch}” is no pitch. Write it like 13 tpi, at most 999 to the inch" in page


def test_an_operation_may_stand_alone_and_its_tool_is_missed(browser):
    sheet = factories.setup_sheet()

    assert "Its tool is not said yet." in words(add(browser, sheet, "facing"))
    assert "not said yet" not in words(add(browser, sheet, "turning", tool="knife tool"))


@pytest.mark.parametrize("is_first_with_lathe", [True, False])
def test_a_sheet_without_a_lathe_is_the_twin_of_one_with(browser, is_first_with_lathe):
    lathe = factories.lathe("Lathe 1").pk
    make(browser, lathe=lathe if is_first_with_lathe else "")
    page = words(make(browser, lathe="" if is_first_with_lathe else lathe))

    assert f"set-up 1 on {'Lathe 1' if is_first_with_lathe else 'no lathe'} already." in page
    assert SetupSheet.objects.count() == 1


def test_an_empty_speed_is_that_of_the_table_and_never_above_a_mark(browser):
    sheet = factories.setup_sheet(factories.chuck(tag="K-0082", max_rpm=400), material="low-carbon steel")
    page = words(add(browser, sheet, "turning", diameter="3/4"))

    # 100 ft/min: 1200 / (3.1416 x 0.75) = 509.3
    assert "509 rpm by 100 ft/min at 3/4 in; at most 400 rpm, marked on K-0082" in page
    assert ">400 rpm<small>the table gives 509 rpm by 100 ft/min at 3/4 in</small>" in page
    assert sheet.operations.get().rpm is None
    page = words(add(browser, sheet, "turning", rpm="401"))
    assert "401 rpm was read; this set-up turns at most 400 rpm, marked on K-0082." in page


def test_an_empty_speed_follows_the_table_and_is_said_once(browser):
    sheet = factories.setup_sheet(material="low-carbon steel")
    page = words(add(browser, sheet, "turning", diameter="1/2"))
    assert ">763 rpm<small>by 100 ft/min at 1/2 in</small>" in page

    type(sheet).objects.filter(pk=sheet.pk).update(material="stainless")
    page = words(browser.get(sheet.get_absolute_url()))
    assert "763 rpm" not in page and "rpm<small>by " in page


def test_where_the_material_is_said_is_a_tap_from_the_speed(browser):
    sheet = factories.setup_sheet()
    page = words(browser.get(f"{reverse('setup_operation_add', args=[sheet.pk])}?does=facing"))
    assert f'<a href="{reverse("setup_edit", args=[sheet.pk])}#id_material">Made of</a>' in page
    assert 'id="id_material"' in words(browser.get(reverse("setup_edit", args=[sheet.pk])))


def test_that_a_sheet_stays_as_it_is_once_used_stands_under_the_button_that_does_it(browser):
    page = words(browser.get(factories.setup_sheet(factories.chuck()).get_absolute_url()))
    assert "From then on the sheet stays as it is" in page.partition("Use it now</button>")[2][:120]


def test_operations_are_put_in_order_and_taken_off(browser):
    sheet = factories.setup_sheet()
    for does in ("facing", "turning", "parting"):
        add(browser, sheet, does)
    parting = sheet.operations.get(does="parting")
    press(browser, "setup_operation_act", sheet, parting.pk, "earlier")
    press(browser, "setup_operation_act", sheet, sheet.operations.get(does="facing").pk, "remove")

    assert [one.does for one in sheet.operations.all()] == ["parting", "turning"]


def test_an_operation_that_was_taken_off_by_a_wrong_tap_is_put_back_with_its_photo(browser):
    sheet = factories.setup_sheet()
    add(browser, sheet, "turning", tool="roughing tool", stick_out="1", photo=picture())
    add(browser, sheet, "facing")
    first = sheet.operations.first()
    assert "Put back turning" in words(press(browser, "setup_operation_act", sheet, first.pk, "remove"))
    page = words(press(browser, "setup_operation_act", sheet, first.pk, "back"))

    back = sheet.operations.first()
    assert (back.does, back.tool_words, back.stick_out) == ("turning", "roughing tool", Length.inches("1"))
    assert SetupPhoto.objects.get().operation == back
    assert "Turning is on the sheet again." in page and "Put back" not in page


def test_a_thread_is_asked_its_pitch_and_a_knurl_its_pattern(browser):
    sheet = factories.setup_sheet()
    add(browser, sheet, "threading outside", pitch="13 tpi")
    add(browser, sheet, "knurling", pitch="1.5 mm", pattern="diamond", making="formed", diameter="1")

    thread, knurl = sheet.operations.all()
    assert thread.pitch == Length(round(25_400_000 / 13))
    assert knurl.pitch == Length.mm("1.5")
    page = words(browser.get(sheet.get_absolute_url()))
    assert "pitch 13 tpi" in page and "diamond, formed" in page
    assert 'name="pattern"' not in words(browser.get(reverse("setup_operation", args=[sheet.pk, thread.pk])))


@pytest.mark.parametrize(
    ("fields", "warns"),
    [
        ({"method": "soft center"}, True),
        ({"way": "Between centres, with a dog"}, True),
        ({"way": "Expanding mandrel"}, True),
        ({"method": "universal chuck", "way": "3-jaw chuck and live center"}, False),
    ],
)
def test_a_sheet_held_on_centers_warns_of_parting_and_of_a_speed_beyond_the_table(browser, fields, warns):
    sheet = factories.setup_sheet(material="low-carbon steel", **{"way": "", **fields})
    add(browser, sheet, "parting", tool="1/8 blade", diameter="1", rpm="1500")
    page = words(browser.get(sheet.get_absolute_url()))

    assert (": never. As the part comes off" in page) is warns
    assert "1500 rpm is 7.9 times what the table gives: 190 rpm by 50 ft/min at 1 in." in page


def test_what_the_set_up_misses_is_said_with_what_is_to_be_had(browser):
    sheet = factories.setup_sheet(factories.chuck(tag="K-0082"), missing=["a steady rest for 3 in"])
    page = words(browser.get(sheet.get_absolute_url()))

    assert "Its piece is to be had today; missing beside it: a steady rest for 3 in." in page


def test_a_photo_of_an_operation_is_made_small_and_shown(browser):
    sheet = factories.setup_sheet()
    add(browser, sheet, "turning", photo=picture())
    photo = SetupPhoto.objects.get()
    answer = browser.get(reverse("setup_photo", args=[photo.pk]))

    assert answer["Content-Type"] == "image/jpeg"
    assert photo.operation == SetupOperation.objects.get()
    assert reverse("setup_photo", args=[photo.pk]) in words(browser.get(sheet.get_absolute_url()))


# Runs ----------------------------------------------------------------------------------------------------------------


def run(browser, sheet, **fields):
    data = {"token": uuid.uuid4(), "ran_on": "2026-03-18", "parts": "12"}
    return words(browser.post(reverse("setup_run", args=[sheet.pk]), {**data, **fields}, follow=True))


def test_what_a_run_took_stands_beside_what_was_planned(browser):
    sheet = factories.setup_sheet(setup_hundredths=2700, part_hundredths=1000)
    page = run(browser, sheet, setup_minutes="31", part_minutes="9.5", note="Steady earlier.")
    sheet.refresh_from_db()

    assert "set-up 31 min, planned 27: 4 more" in page
    assert "each part 9.5 min, planned 10: 0.5 less" in page
    assert "Steady earlier." in page
    assert sheet.is_frozen and sheet.setup_hundredths == 2700


@pytest.mark.parametrize(
    ("took", "planned", "said"),
    [("27", 2700, "set-up 27 min, as planned"), ("27.01", 2700, "0.01 more"), ("27", None, "set-up 27 min<")],
)
def test_a_run_says_how_far_off_the_plan_it_was(browser, took, planned, said):
    assert said in run(browser, factories.setup_sheet(setup_hundredths=planned), setup_minutes=took)


def test_a_run_without_minutes_is_asked_for_them_and_one_sent_twice_stands_once(browser):
    sheet, token = factories.setup_sheet(), uuid.uuid4()
    assert "No minutes are written." in run(browser, sheet)
    assert "still to come" in run(browser, sheet, setup_minutes="5", ran_on="2999-01-01")

    run(browser, sheet, setup_minutes="5", token=token)
    assert "written down already" in run(browser, sheet, setup_minutes="5", token=token)
    assert sheet.runs.count() == 1


def test_a_sheet_in_use_keeps_the_speeds_that_the_table_gave_it(browser):
    sheet = factories.setup_sheet(material="low-carbon steel")
    operation = sheet.operations.create(order=1, does="turning", diameter=Length.inches("3/4"))
    press(browser, "setup_use", sheet)
    operation.refresh_from_db()
    assert operation.rpm == 509  # 12 x 100 / (3.1416 x 0.75)
    assert "509 rpm" in browser.get(sheet.get_absolute_url()).content.decode()
