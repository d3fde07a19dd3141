"""Enlarged to twice its size, on the narrowest phone, or with the letters alone enlarged, nothing is lost."""

import pytest

from tests.browser.conftest import PHONE
from tests.browser.test_every_page import PAGES, unfold

pytestmark = pytest.mark.browser

NARROW = {"width": 320, "height": 640}
# A window of 1280 by 1024 pixels, enlarged to 200 %.
ENLARGED = {"width": 640, "height": 512}
# What is wider than the page, cut off, or lies over something else. The space around a link in a line may overlap.
LOST = """() => {
    const said = part => part.outerHTML.slice(0, 90), lost = [];
    if (document.documentElement.scrollWidth > innerWidth) {
        lost.push('scrolls sideways', ...[...document.querySelectorAll('body *')].filter(
            part => !part.closest('.scroll') && part.getBoundingClientRect().right > innerWidth + 0.5).map(said));
    }
    for (const part of document.querySelectorAll('body *')) {
        const clips = ['hidden', 'clip'].includes(getComputedStyle(part).overflowX) && part.checkVisibility();
        if (clips && part.scrollWidth > part.clientWidth + 1 && !part.closest('.hidden, svg')) {
            lost.push('cut off: ' + said(part));
        }
    }
    const controls = 'a[href], button, input:not([type=hidden]), select, textarea, summary';
    const tapped = [...document.querySelectorAll(controls)]
        .filter(part => part.checkVisibility() && !part.closest('nav.places, svg, .hidden, .skip'))
        .map(part => [part, [...part.getClientRects()], getComputedStyle(part)])
        .flatMap(([part, boxes, style]) => boxes.map(box => {
            const around = style.display === 'inline' ? parseFloat(style.paddingTop) : 0;
            return [part, box.left, box.right, box.top + around, box.bottom - around];
        }))
        .sort((one, other) => one[3] - other[3]);
    tapped.forEach(([part, left, right, top, bottom], index) => {
        for (const [other, ...box] of tapped.slice(index + 1)) {
            if (box[2] > bottom - 1) break;
            const across = Math.min(right, box[1]) - Math.max(left, box[0]);
            if (across > 1 && !part.contains(other) && !other.contains(part)) {
                lost.push(said(part) + ' and over it ' + said(other));
            }
        }
    });
    return lost;
}"""
LARGE_LETTERS = "document.documentElement.style.fontSize = '200%'"


# WCAG 2.1: 1.4.10 Reflow (320 CSS pixels) and 1.4.4 Resize Text (200 %).
def test_nothing_is_lost_on_a_narrow_phone_nor_enlarged_nor_with_large_letters(signed_in):
    # Styles are set by hand below, which the pages' own policy would not let pass.
    page, lost = signed_in("keeper", device_scale_factor=2, bypass_csp=True), {}
    for name, address in PAGES.items():
        page.set_viewport_size(NARROW)
        page.goto(address)
        unfold(page)
        lost[f"{name}, narrow"] = page.evaluate(LOST)
        page.set_viewport_size(ENLARGED)
        lost[f"{name}, enlarged"] = page.evaluate(LOST)
        page.set_viewport_size(PHONE)
        page.evaluate(LARGE_LETTERS)
        lost[f"{name}, large letters"] = page.evaluate(LOST)

    assert {name: parts for name, parts in lost.items() if parts} == {}
