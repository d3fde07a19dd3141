"""Where the numbers come from, and the seats."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.figures.series import in_words, keep, values_of
from inventory.models import WorkingMinutes
from inventory.reference import tables
from inventory.reference.catalog import NONE_ON_FILE, TABLES
from inventory.reference.collets import builtin_series, collet_series
from tests import factories


@pytest.fixture
def browser(client_of):
    return client_of("machinist")


def numbers(client, **query):
    return unescape(client.get(reverse("numbers"), query).content.decode())


def test_every_table_of_figures_is_listed():
    # Citations, the words of a label, and what nothing vouches for, which is told beside its figure.
    kept_elsewhere = {"sources", "grades", "unwitnessed", "none_on_file"}

    assert {table.key for table in TABLES} == {path.stem for path in tables.DATA.glob("*.csv")} - kept_elsewhere


@pytest.mark.parametrize("table", TABLES, ids=lambda one: one.key)
def test_every_row_of_a_table_is_told_with_its_source_and_basis(table):
    rows = list(tables.rows(table.key))
    told = [line for line in table.lines if line.basis != NONE_ON_FILE]

    assert len(told) == len(rows)
    assert [(line.source, line.basis) for line in told] == [(row.source, row.basis) for row in rows]
    assert all(line.name and line.value for line in table.lines)


def test_what_is_not_known_is_left_out_and_never_told_as_zero():
    (line,) = [line for table in TABLES if table.key == "collets" for line in table.lines if line.name == "R8 hex"]

    assert "smallest" not in line.value and "passes" not in line.value


@pytest.mark.parametrize("asked", ["W25", "square ER holes", "TG100 run-out", "DA180 run-out"])
def test_what_nobody_has_a_figure_of_is_said_where_it_is_looked_for(browser, asked):
    assert "None on file." in numbers(browser, q=asked)


def test_what_is_not_on_file_has_no_figure_here():
    for row in tables.rows("none_on_file"):
        assert row.text("table") in {table.key for table in TABLES} and row.text("why")
    assert not any(one.code in ("W20", "W25") for one in collet_series())
    assert all(builtin_series(code, "round").typical_tir is None for code in ("TG75", "TG150", "DA300", "DA180"))


def test_a_table_is_shown_with_every_row(browser):
    said = numbers(browser, table="er_runout")

    assert said.count("ISO 15488 Table 4") == 6 and "DIN 6499, from memory" in said


def test_all_words_of_a_search_have_to_be_there(browser):
    said = numbers(browser, q="a108 hex 1.5")

    assert '<th scope="row">cold-drawn hex</th>' in said and "round</th>" not in said


def test_what_goes_by_the_name_stands_before_what_mentions_it(browser):
    said = numbers(browser, q="5C")

    assert said.index("5C round</th>") < said.index("more that mention it") < said.index("3C round</th>")


def test_where_nothing_goes_by_the_word_nothing_is_folded_away(browser):
    assert "that mention" not in numbers(browser, q="geometry")


def test_a_search_that_finds_nothing_says_so(browser):
    assert "0 rows with “unobtainium”." in numbers(browser, q="unobtainium")


def test_a_long_list_is_cut_and_the_rest_is_counted(browser):
    said = numbers(browser, q="in")

    assert "more: say another word." in said and said.count('<tr><th scope="row">') == 200


def test_what_was_searched_is_never_markup(browser):
    assert "<script>x" not in browser.get(reverse("numbers"), {"q": "<script>x"}).content.decode()


def test_the_shops_own_figure_stands_beside_the_built_in_one_with_who(browser, keeper):
    row = factories.size("3/4").series.shapes.get(shape="round")
    assert "No figure was changed" in numbers(browser)

    keep(row, values_of(row) | {"opens_by": row.opens_by * 2}, by=keeper)

    said = numbers(browser, q="5C")
    built_in = in_words(builtin_series("5C", "round").opens_by)
    assert f"opens by 0.0100 in (0.254 mm), built in {built_in}" in said and str(keeper) in said


def test_a_seat_that_is_only_a_name_of_the_shop_says_so(browser):
    lathe = factories.lathe("Lathe 1", nose="OWN 7")
    factories.closer(mount="OWN 7", tag="H-0001")

    said = unescape(browser.get(reverse("seats")).content.decode())
    assert "<b>OWN 7</b></a><span>2</span><small>in no table here" in said
    assert "OWN 7, a name of this shop" in unescape(browser.get(reverse("tool", args=["H-0001"])).content.decode())
    assert "OWN 7, a name of this shop" in unescape(browser.get(reverse("lathe", args=[lathe.pk])).content.decode())


def test_a_seat_of_the_tables_is_told_with_its_standard(browser):
    factories.lathe("Lathe 1", nose="D1-4")

    assert "ASME B5.9 type D1 / ISO 702-2" in unescape(browser.get(reverse("seats")).content.decode())


def test_threaded_noses_are_told_to_have_their_register_checked(browser):
    assert "check the register" in browser.get(reverse("seats")).content.decode()


def test_the_shops_own_minutes_stand_with_its_own_figures(browser, keeper):
    WorkingMinutes.objects.create(step="collet change", hundredths=250, changed_by=keeper)

    said = numbers(browser, q="collet change")
    assert "<b>collet change</b></a><span>2.50 min</span>" in said and str(keeper) in said
