"""The owner's sheet comes in: sent, looked through, taken."""

import pytest
from playwright.sync_api import expect

pytestmark = pytest.mark.browser


@pytest.fixture
def preview(signed_in, send_sheet):
    page = signed_in("keeper")
    send_sheet(page)
    return page


def row(page, tag):
    return page.get_by_role("region", name="Rows of the sheet").get_by_role("listitem").filter(has_text=tag)


def test_the_preview_counts_what_would_become_of_the_rows(preview):
    expect(preview.get_by_role("main")).to_contain_text("4 rows: 2 new, 1 changed, 0 the same, 1 refused")


def test_the_preview_says_of_each_row_what_it_would_do_and_why(preview):
    expect(row(preview, "C-0911")).to_contain_text("new")
    expect(row(preview, "C-0011")).to_contain_text("was A2")
    expect(row(preview, "C-0913")).to_contain_text("half an inch")


def test_nothing_is_in_the_book_before_it_is_taken(preview):
    assert preview.goto("/t/C-0911/").status == 404


def test_the_good_rows_are_taken_and_the_refused_ones_named(preview):
    preview.get_by_role("button", name="Take 3 rows").click()

    expect(preview.get_by_role("status")).to_have_text("2 added, 1 updated.")
    expect(preview.get_by_role("listitem").filter(has_text="Row 4")).to_contain_text("half an inch")


def test_the_finder_offers_a_collet_that_came_with_the_sheet(preview):
    preview.get_by_role("button", name="Take 3 rows").click()
    preview.get_by_role("status").wait_for()
    preview.goto("/?size=7%2F16")

    expect(preview.get_by_role("heading", level=1)).to_have_text("7/16 round, 5C")
    expect(preview.get_by_role("link", name="C-0911", exact=True)).to_be_visible()


def test_the_refused_rows_come_back_as_a_sheet_with_the_reasons(preview):
    with preview.expect_download() as download:
        preview.get_by_role("link", name="The refused rows as a sheet, with the reasons").click()

    text = download.value.path().read_text(encoding="utf-8-sig")
    assert "C-0913" in text
    assert "C-0911" not in text


def test_a_sheet_is_taken_by_a_browser_that_runs_no_script(signed_in, send_sheet):
    page = signed_in("keeper", java_script_enabled=False)
    send_sheet(page)
    page.get_by_role("button", name="Take 3 rows").click()

    expect(page.get_by_role("status")).to_have_text("2 added, 1 updated.")
