"""A sheet that was sent to the page, through its steps and over time."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from inventory.models import KnownHeading, SheetImport, Tool
from inventory.transfer import imports, in_progress, mending, sheets
from inventory.transfer.errors import SheetError
from inventory.transfer.headings import LEFT_OUT, NOTED
from inventory.transfer.imports import BookChanged
from inventory.transfer.in_progress import SheetGone, SheetInProgress
from inventory.transfer.outcomes import RowGroup, RowVerdict
from tests import factories

pytestmark = pytest.mark.django_db

MIXED = "Tag,Kind,Series,Size,Drawer\nC-1,collet,5C,3/4,A1\nC-2,collet,5C,three,A1\nC-2,collet,5C,.5,\n,,,,\n"


def again(sent):
    """The same sheet as another request finds it."""
    return SheetInProgress(SheetImport.objects.get(pk=sent.sent.pk))


def verdicts(sent):
    return dict(sent.sent.rows.exclude(outcome="").values_list("line", "verdict"))


def taken(sent, keeper):
    return in_progress.take(again(sent), by=keeper, shown=again(sent).digest())


def rows_of(count):
    return "Tag,Kind,Series,Size\n" + "".join(f"C-{number},collet,5C,1/2\n" for number in range(count))


def test_a_sheet_says_how_far_it_is(keeper):
    sent = factories.sheet_in_progress("Tag,Kind,Series,Size,Checked\nC-1,collet,5C,.5,3/4/2026\n")
    told = [sent.how_far()]
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size", "inspected_on"], by=keeper)
    told.append(again(sent).how_far())
    in_progress.answer(sent.sent, unit="", dates="mdy")
    told.append(again(sent).how_far())
    in_progress.read_on(again(sent))
    told.append(again(sent).how_far())

    assert told == [
        "headings to be matched",
        "1 question to be answered",
        "0 of 1 rows read",
        "read: 1 to enter, 0 cannot be read",
    ]


def test_rows_are_read_in_steps_which_another_device_goes_on_with(keeper):
    sent = factories.sheet_in_progress(rows_of(450))
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size"], by=keeper)

    counts = []
    while not again(sent).is_read:
        in_progress.read_on(again(sent), seconds=0)
        counts.append(again(sent).read_count)

    assert counts == [200, 400, 450]
    assert again(sent).counts()[RowVerdict.NEW] == 450


def test_a_step_reads_for_as_long_as_opening_the_sheet_took(keeper):
    sent = factories.sheet_in_progress(rows_of(600))
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size"], by=keeper)

    in_progress.read_on(again(sent), seconds=0.001)

    assert again(sent).read_count >= 400


def test_rows_that_are_read_in_steps_become_what_they_become_at_once(keeper):
    # A tag that stands twice, and seats and places that are new to the book: what one step sees the next must know.
    text = "Tag,Kind,Mount,Drawer\n" + "".join(
        f"D-{number % 210},drawbar,{'post-q' if number % 2 else 'POST-Q'},{'a9' if number % 3 else 'A9'}\n"
        for number in range(450)
    )
    sent = factories.sheet_in_progress(text)
    in_progress.settle_columns(sent, ["tag", "kind", "mount", "location"], by=keeper)
    while not again(sent).is_read:
        in_progress.read_on(again(sent), seconds=0)

    at_once = imports.plan(sheets.read(text.encode(), name="crib.csv"))

    assert again(sent).digest() == at_once.digest
    assert taken(sent, keeper)["added"] == 210


def test_a_step_that_comes_too_late_changes_nothing(keeper):
    sent = factories.sheet_in_progress(rows_of(450))
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size"], by=keeper)
    early, late = again(sent), again(sent)
    in_progress.read_on(early, seconds=0)
    in_progress.settle_columns(again(sent), ["tag", "kind", "series", NOTED], by=keeper)

    in_progress.read_on(late, seconds=0)

    assert verdicts(sent) == {}


def test_a_step_that_began_before_a_row_was_mended_changes_nothing(keeper):
    sent = factories.sheet_in_progress("Tag,Kind,Series,Size\nC-1,collet,5C,three\n" + rows_of(450).partition("\n")[2])
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size"], by=keeper)
    in_progress.read_on(again(sent), seconds=0)
    read, late = verdicts(sent), again(sent)
    mending.mend(sent.sent, 2, {"3": "3/8"})

    in_progress.read_on(late, seconds=0)

    assert verdicts(sent).keys() == read.keys()
    assert verdicts(sent)[2] == "new"


def test_a_row_of_a_sheet_that_somebody_took_meanwhile_is_not_mended(keeper):
    sent = factories.sheet_read(MIXED)
    taken(sent, keeper)

    with pytest.raises(SheetError, match="entered or discarded meanwhile"):
        mending.mend(sent.sent, 2, {"3": "3/8"})


CHANGES = {
    "its headings": lambda sent, by: in_progress.put_headings(sent, 2),
    "its columns": lambda sent, by: in_progress.settle_columns(
        sent, ["tag", "kind", "series", "size", "location"], by=by
    ),
    "its unit": lambda sent, by: in_progress.answer(sent.sent, unit="in", dates=""),
    "its rows": lambda sent, by: in_progress.start_over(sent.sent),
    "a step": lambda sent, by: in_progress.read_on(sent),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_a_sheet_that_somebody_discarded_meanwhile_is_not_changed(change, keeper):
    sent = factories.sheet_in_progress(MIXED)
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size", "location"], by=keeper)
    assert len(sent.rows) == 5
    SheetImport.objects.filter(pk=sent.sent.pk).delete()

    with pytest.raises(SheetGone, match="entered or discarded meanwhile"):
        change(sent, keeper)


def test_the_page_of_a_sheet_that_is_discarded_meanwhile_says_so(client_of):
    sent, keeper = factories.sheet_in_progress(MIXED), client_of("keeper")
    page = keeper.get(reverse("import_match", args=[sent.sent.pk]))

    def discard_first(execute, sql, *further):
        if sql.startswith("SAVEPOINT"):
            sent.sent.rows.all()._raw_delete(connection.alias)
            SheetImport.objects.filter(pk=sent.sent.pk)._raw_delete(connection.alias)
        return execute(sql, *further)

    with connection.execute_wrapper(discard_first):
        answer = keeper.post(
            page.request["PATH_INFO"], {field.html_name: field.value() for field in page.context["form"]}
        )

    assert answer.url == reverse("import_sheet")
    assert "entered or discarded meanwhile" in keeper.get(answer.url).content.decode()


def test_the_pieces_of_a_sheet_are_locked_while_it_is_taken(keeper):
    factories.collet("3/4", tag="C-1")
    sent = factories.sheet_read(MIXED)

    with CaptureQueriesContext(connection) as statements:
        taken(sent, keeper)

    locking = [one["sql"] for one in statements if "FOR UPDATE" in one["sql"] and '"inventory_tool"' in one["sql"]]
    # SQLite has one lock for all that is written, which the transaction takes as it begins.
    assert bool(locking) == connection.features.has_select_for_update


def test_a_refused_cell_that_is_mended_lets_the_row_in(keeper):
    sent = factories.sheet_read(MIXED)

    outcome = mending.mend(sent.sent, 3, {"3": "3/8"})

    assert outcome.verdict is RowVerdict.NEW
    assert verdicts(sent) == {2: "new", 3: "new", 4: "refused", 5: "empty"}
    assert taken(sent, keeper)["added"] == 2
    assert str(Tool.objects.get(tag="C-2").size) == "3/8 round 5C"


def test_what_was_mended_is_kept_with_the_import_and_not_in_the_file_that_was_sent():
    sent = factories.sheet_read(MIXED)
    mending.mend(sent.sent, 3, {"3": "3/8"})

    assert again(sent).rows[2].mended == {"3": "3/8"}
    assert bytes(again(sent).sent.content) == MIXED.encode()
    assert again(sent).sheet.lines[1][3] == "three"


def test_what_was_mended_counts_when_all_rows_are_read_anew():
    sent = factories.sheet_read(MIXED)
    mending.mend(sent.sent, 3, {"3": "3/8"})
    in_progress.start_over(sent.sent)
    in_progress.read_on(again(sent))

    assert verdicts(sent)[3] == "new"


def test_a_cell_that_is_mended_wrongly_is_refused_with_what_was_read():
    sent = factories.sheet_read(MIXED)

    outcome = mending.mend(sent.sent, 3, {"3": "half"})

    assert (outcome.verdict, outcome.troubles[0].read) == (RowVerdict.REFUSED, "half")


def test_a_cell_that_is_written_back_as_it_was_sent_is_not_mended():
    sent = factories.sheet_read(MIXED)
    mending.mend(sent.sent, 3, {"3": "3/8"})
    mending.mend(sent.sent, 3, {"3": "three"})

    assert again(sent).rows[2].mended == {}


def test_a_tag_that_is_mended_frees_the_second_row_with_it():
    sent = factories.sheet_read(MIXED)

    mending.mend(sent.sent, 3, {"0": "C-3"})

    assert verdicts(sent)[4] == "new"


def test_a_row_that_is_left_out_frees_the_second_with_its_tag_and_is_not_taken(keeper):
    sent = factories.sheet_read(MIXED)

    mending.mend(sent.sent, 3, {}, is_left_out=True)

    assert verdicts(sent) == {2: "new", 3: "left out", 4: "new", 5: "empty"}
    assert taken(sent, keeper)["left_out"] == 1
    assert str(Tool.objects.get(tag="C-2").size) == "1/2 round 5C"


def test_a_field_that_no_column_has_can_be_written_into_a_row(keeper):
    sent = factories.sheet_read("Tag,Kind,Size\nC-1,collet,3/4\n")

    mending.mend(sent.sent, 2, {"series": "5C"})
    taken(sent, keeper)

    assert str(Tool.objects.get().size) == "3/4 round 5C"


def test_columns_that_are_left_out_leave_nothing_in_the_book(keeper):
    sent = factories.sheet_read(
        "Tag,Kind,Series,Size,Gossip\nC-1,collet,5C,1/2,psst\n", choices=["tag", "kind", "series", "size", LEFT_OUT]
    )
    taken(sent, keeper)

    assert Tool.objects.get().notes == ""


def test_a_choice_other_than_the_heading_tells_is_remembered_with_who_made_it(keeper):
    sent = factories.sheet_in_progress("Peg no.,Kind,Series,Dia.,Gossip\n7,collet,5C,1/2,psst\n")
    in_progress.settle_columns(sent, ["tag", "kind", "series", "size", LEFT_OUT], by=keeper)

    assert KnownHeading.objects.choices() == {"peg no": "tag", "gossip": LEFT_OUT}
    assert {known.chosen_by for known in KnownHeading.objects.all()} == {keeper}


def test_a_choice_that_the_heading_tells_again_is_forgotten(keeper):
    text = "Tag,Kind,Series,Size,Drawer\nC-1,collet,5C,1/2,A1\n"
    in_progress.settle_columns(factories.sheet_in_progress(text), ["tag", "kind", "series", "size", "notes"], by=keeper)
    in_progress.settle_columns(
        factories.sheet_in_progress(text), ["tag", "kind", "series", "size", "location"], by=keeper
    )

    assert KnownHeading.objects.choices() == {}


def test_another_row_of_headings_is_matched_anew(keeper):
    sent = factories.sheet_read("Old,list\nTag,Kind\nC-1,drawbar\n")
    in_progress.put_headings(again(sent), 1)

    assert again(sent).sheet.headings == ["Old", "list"]
    assert again(sent).sent.choices is None


def test_a_book_that_changed_is_not_written_to_and_the_rows_are_read_anew(keeper):
    sent = factories.sheet_read(MIXED)
    shown = again(sent).digest()
    factories.collet("3/4", tag="C-1", location=factories.place("B9"))

    with pytest.raises(BookChanged):
        in_progress.take(again(sent), by=keeper, shown=shown)

    assert again(sent).sent.taken_at is None
    assert Tool.objects.count() == 1


def test_rows_that_came_into_the_book_are_not_kept_twice(keeper):
    sent = factories.sheet_read(MIXED)
    taken(sent, keeper)

    assert [row.line for row in again(sent).rows] == [1, 3, 4]


def test_a_sheet_of_more_than_a_month_ago_is_forgotten_with_its_rows_when_the_next_is_sent():
    sent = factories.sheet_in_progress(MIXED)
    SheetImport.objects.update(made_at=timezone.now() - timedelta(days=31))

    factories.sheet_in_progress(MIXED)

    assert not SheetImport.objects.filter(pk=sent.sent.pk).exists()


def test_a_sheet_that_was_sent_before_rows_were_kept_is_read_from_its_file(keeper):
    old = SheetImport.objects.create(name="crib.csv", content=MIXED.encode(), made_by=keeper)

    assert SheetInProgress(old).sheet.headings == ["Tag", "Kind", "Series", "Size", "Drawer"]
    assert SheetInProgress(SheetImport.objects.get()).row_count == 4


def test_a_sheet_whose_sending_was_cut_off_has_all_its_rows(monkeypatch):
    monkeypatch.setattr(in_progress, "_ROWS_AT_ONCE", 2)
    sent = factories.sheet_in_progress(MIXED).sent
    sent.rows.filter(line__gt=2).delete()
    SheetImport.objects.update(headings_line=None, read_upto=0)

    cut_off = SheetInProgress(SheetImport.objects.get())

    assert [row.line for row in cut_off.rows] == [1, 2, 3, 4, 5]
    assert (cut_off.sent.headings_line, cut_off.sent.read_upto, cut_off.row_count) == (1, 1, 4)


def test_the_rows_of_each_group_are_counted():
    groups = factories.sheet_read(MIXED).groups()

    assert {group: count for group, count in groups.items() if count} == {
        RowGroup.REFUSED: 2, RowGroup.NEW: 1, RowGroup.EMPTY: 1,
    }  # fmt: skip


def test_very_many_rows_that_are_mended_at_once_are_read_step_by_step(keeper, monkeypatch):
    monkeypatch.setattr(mending, "MOST_AT_ONCE", 2)
    sent = factories.sheet_read(
        "tag,kind,size\n" + "".join(f"C-{number},collet,half\n" for number in range(3)), by=keeper
    )

    assert mending.mend_rows(sent.sent, {line: {"2": "1/2"} for line in (2, 3)}, skipped={4}) == []

    found = again(sent)
    assert (found.is_read, [row.mended for row in found.rows]) == (False, [{}, {"2": "1/2"}, {"2": "1/2"}, {}])
    assert [row.is_left_out for row in found.rows] == [False, False, False, True]
