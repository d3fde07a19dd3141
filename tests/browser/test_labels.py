"""Sheets of labels as Chromium prints them."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import follow

pytestmark = pytest.mark.browser

PT = 72
MM = PT / 25.4
PAPERS = {"a4": (210, 297), "letter": (215.9, 279.4), "large": (100, 50), "small": (60, 30)}
SHEET = "/labels/print/?drawers=E2&edges=on&paper="
# In millimetres, at 96 pixels an inch: each label's edge, and whatever stands in it.
MEASURED = """() => [...document.querySelectorAll('.paper')].map(paper => {
    const corner = paper.getBoundingClientRect(), mm = 25.4 / 96;
    const box = part => { const b = part.getBoundingClientRect(); return {
        left: (b.left - corner.left) * mm, top: (b.top - corner.top) * mm,
        right: (b.right - corner.left) * mm, bottom: (b.bottom - corner.top) * mm}; };
    // Of a name the ink counts, not the room that its face keeps above and below; a user unit is a millimetre.
    const pen = document.createElement('canvas').getContext('2d');
    const ink = name => {
        const style = getComputedStyle(name), x = +name.getAttribute('x'), y = +name.getAttribute('y');
        pen.font = `${style.fontWeight} 1000px ${style.fontFamily}`;
        const drawn = pen.measureText(name.textContent), size = parseFloat(style.fontSize) / 1000;
        return {left: x, right: x + name.getComputedTextLength(), top: y - drawn.actualBoundingBoxAscent * size,
            bottom: y + drawn.actualBoundingBoxDescent * size}; };
    return {
        width: corner.width * mm,
        labels: [...paper.querySelectorAll('rect')].map(box),
        parts: [...[...paper.querySelectorAll('g:not([font-weight]) text, path')].map(box),
            ...[...paper.querySelectorAll('[font-weight] text')].map(ink)],
        names: [...paper.querySelectorAll('[font-weight] text')].map(t => parseFloat(getComputedStyle(t).fontSize)),
    };
})"""


def is_inside(part, label):
    slack = 0.1
    return (
        part["left"] >= label["left"] - slack
        and part["top"] >= label["top"] - slack
        and part["right"] <= label["right"] + slack
        and part["bottom"] <= label["bottom"] + slack
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_in_print_all_that_stands_on_a_label_is_inside_its_edges(signed_in, paper):
    page = signed_in("keeper")
    page.goto(SHEET + paper)
    page.emulate_media(media="print")

    sheets = page.evaluate(MEASURED)

    assert sheets
    for sheet in sheets:
        assert sheet["parts"]
        strays = [part for part in sheet["parts"] if not any(is_inside(part, label) for label in sheet["labels"])]
        assert strays == []
        # 14 points are 4.94 mm, and a line of type is at least as high.
        assert min(sheet["names"]) >= 4.9


@pytest.mark.parametrize(("paper", "margin_left", "margin_top", "width"), [("a4", 8, 14, 95), ("letter", 8, 14, 97.95)])
def test_in_print_the_grid_is_where_the_margins_and_gaps_put_it(signed_in, paper, margin_left, margin_top, width):
    page = signed_in("keeper")
    page.goto(SHEET + paper)
    page.emulate_media(media="print")

    first, second, *_ = page.evaluate(MEASURED)[0]["labels"]

    edge = 0.2  # the line itself
    assert first["left"] == pytest.approx(margin_left, abs=edge)
    assert first["top"] == pytest.approx(margin_top, abs=edge)
    assert first["right"] - first["left"] == pytest.approx(width, abs=2 * edge)
    assert second["left"] == pytest.approx(margin_left + width + 4, abs=edge)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_printed_pages_have_the_size_of_the_paper_and_are_as_many_as_the_sheets(signed_in, paper):
    page = signed_in("keeper")
    page.goto(SHEET + paper)

    printed = page.pdf(prefer_css_page_size=True).decode("latin-1")

    sizes = re.findall(r"/MediaBox ?\[0 0 ([0-9.]+) ([0-9.]+)\]", printed)
    assert len(sizes) == page.locator(".paper").count()
    for size in sizes:
        assert tuple(map(float, size)) == pytest.approx([side * MM for side in PAPERS[paper]], abs=1)


def test_a_label_is_reached_from_the_page_of_a_place(signed_in):
    page = signed_in("machinist")
    page.goto("/t/C-0011/")
    follow(page.get_by_role("link", name="What is in drawer E2"))
    follow(page.get_by_role("link", name="Print its label"))
    follow(page.get_by_role("button", name="See the labels"))

    expect(page.get_by_role("heading", level=1)).to_have_text("1 label on 1 sheet")
    expect(page.get_by_role("img")).to_have_attribute("aria-label", "Sheet 1, 1 label: E2")
