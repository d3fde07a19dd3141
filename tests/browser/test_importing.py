"""The owner's sheet comes in: sent, looked through, taken."""

import pytest
from playwright.sync_api import expect

from inventory.transfer import in_progress
from tests.browser.conftest import follow

pytestmark = pytest.mark.browser


def row(page, tag):
    return page.get_by_role("row").filter(has_text=tag)


def test_the_preview_says_of_each_row_what_it_would_do_and_why_and_enters_nothing(signed_in, send_sheet):
    page = signed_in("keeper")
    send_sheet(page)

    expect(page.get_by_role("main")).to_contain_text("All 4")
    expect(row(page, "C-0911")).to_contain_text("new")
    expect(row(page, "C-0011")).to_contain_text("E2 → E3")
    expect(row(page, "C-0913")).to_contain_text("half an inch")
    assert page.goto("/t/C-0911/").status == 404


def test_the_good_rows_are_taken_and_found_and_the_refused_ones_come_back_with_the_reasons(signed_in, send_sheet):
    page = signed_in("keeper")
    send_sheet(page)
    with page.expect_download() as download:
        page.get_by_role("link", name="These rows as a sheet, with the reasons").click()
    follow(page.get_by_role("button", name="Enter 3 rows"))

    expect(page.get_by_role("status")).to_have_text("2 added, 1 updated.")
    expect(page.get_by_role("listitem").filter(has_text="Row 4")).to_contain_text("half an inch")
    page.goto("/?size=7%2F16")
    expect(page.get_by_role("heading", level=1)).to_have_text("7/16 round, 5C")
    expect(page.get_by_role("link", name="C-0911", exact=True)).to_be_visible()
    text = download.value.path().read_text(encoding="utf-8-sig")
    assert "C-0913" in text
    assert "C-0911" not in text


ODD = "Peg,What,Series,Dia.,Gossip\nC-0921,collet,5C,7/16,psst\nC-0922,collet,5C,half an inch,psst\n"


@pytest.fixture
def page(signed_in):
    """Without scripts, which is harder; test_moments enters a sheet with them too."""
    return signed_in("keeper", java_script_enabled=False)


def test_a_heading_is_matched_a_cell_mended_and_the_sheet_taken(page, send_sheet):
    send_sheet(page, ODD, matched=False)
    expect(page.get_by_label("Dia.")).to_have_value("size")
    page.get_by_label("Peg").select_option(label="Tag")
    page.get_by_label("Gossip").select_option(label="left out")
    follow(page.get_by_role("button", name="See what it would do"))
    page.get_by_label("Size").fill("15/32")
    follow(page.get_by_role("button", name="Use these answers"))
    expect(page.get_by_role("status")).to_have_text("1 question answered.")
    follow(page.get_by_role("button", name="Enter 2 rows"))

    expect(page.get_by_role("status")).to_have_text("2 added, 0 updated.")
    page.goto("/t/C-0922/")
    expect(page.get_by_role("main")).to_contain_text("15/32")
    expect(page.get_by_role("main")).not_to_contain_text("psst")


def test_a_row_is_left_out_and_put_back(page, send_sheet):
    send_sheet(page)
    page.get_by_label("Leave row 4 out").check()
    follow(page.get_by_role("button", name="Use these answers"))
    expect(page.get_by_role("main")).to_contain_text("Not entered 1")
    follow(page.get_by_role("button", name="Put row 4 back"))

    expect(page.get_by_role("status")).to_contain_text("Row 4 still cannot be read")


def test_two_columns_cannot_be_one_field(page, send_sheet):
    send_sheet(page, ODD, matched=False)
    page.get_by_label("Peg").select_option(label="Tag")
    page.get_by_label("Gossip").select_option(label="Tag")
    follow(page.get_by_role("button", name="See what it would do"))

    expect(page.get_by_role("alert")).to_contain_text("“Peg” and “Gossip” cannot both be Tag")
    expect(page.get_by_label("Gossip")).to_have_value("tag")


def test_what_the_sheet_leaves_open_is_asked_with_its_examples(page, send_sheet):
    send_sheet(page, "Tag,Kind,Series,Size,Checked\nC-0931,collet,5C,1/2,3/4/2026\n", matched=False)
    follow(page.get_by_role("button", name="See what it would do"))
    expect(page.get_by_role("main")).to_contain_text("3/4/2026: 4 March 2026, or 3 April 2026?")
    page.get_by_text("the day comes first").click()
    follow(page.get_by_role("button", name="See what it would do"))

    expect(row(page, "C-0931")).to_contain_text("inspected on 2026-04-03")


def test_a_begun_sheet_is_gone_on_with_on_another_device(page, send_sheet, signed_in):
    send_sheet(page, ODD, matched=False)
    other = signed_in("administrator")
    other.goto("/desk/import/")
    expect(other.get_by_role("main")).to_contain_text("Sent by keeper")
    follow(other.get_by_role("link", name="Go on with crib.csv"))

    expect(other.get_by_role("heading", level=1)).to_have_text("Match headings")


def test_a_long_sheet_shows_its_progress_and_goes_on_by_itself(page, send_sheet, monkeypatch):
    # Each step reads one batch of rows, as on a slow machine.
    monkeypatch.setattr(in_progress, "STEP_SECONDS", 0)
    long = "Tag,Kind,Series,Size\n" + "".join(f"L-{number:04d},collet,5C,1/2\n" for number in range(450))
    send_sheet(page, long)

    expect(page.get_by_role("main")).to_contain_text("New 450")
