"""What may be wrong with a page, looked for in all ways in one visit: to open it costs more than to look at it."""

from axe_core_python.sync_playwright import Axe

from tests.browser.conftest import PHONE

NARROW = {"width": 320, "height": 640}
# A window of 1280 by 1024 pixels, enlarged to 200 %.
ENLARGED = {"width": 640, "height": 512}
LARGE_LETTERS = "document.documentElement.style.fontSize = '200%'"
# WCAG 2.1, 2.5.5 (Target Size): 44 by 44 CSS pixels, but for a link in a sentence; for a glove what acts has 48.
# A box to tick or choose is as large as its label.
SMALL_TARGETS = """() => {
    const around = part => getComputedStyle(part).display === 'inline' ? around(part.parentElement) : part;
    const in_a_sentence = link => {
        const words = around(link).cloneNode(true);
        words.querySelectorAll('a, button, .hidden').forEach(part => part.remove());
        return getComputedStyle(link).display === 'inline' && words.textContent.trim().length > 2;
    };
    return [...document.querySelectorAll('a[href], button, input:not([type=hidden]), select, textarea, summary')]
        .filter(part => part.checkVisibility() && !part.closest('svg') && !part.matches('.skip'))
        .filter(part => part.localName !== 'a' || !in_a_sentence(part))
        .map(part => ['radio', 'checkbox'].includes(part.type) ? part.closest('label') : part)
        .map(part => [part, [...part.getClientRects()]])
        .map(([part, boxes]) => [part, ...['width', 'height'].map(side => Math.max(...boxes.map(box => box[side])))])
        .filter(([part, width, height]) => width < 44 || height < (part.matches('.button, button') ? 48 : 44))
        .map(([part, width, height]) => [part.outerHTML.slice(0, 90), width, height]);
}"""
OVERHANGING = """() => document.documentElement.scrollWidth <= innerWidth ? [] :
    [...document.querySelectorAll('body *')]
    .filter(part => part.getBoundingClientRect().right > innerWidth + 0.5)
    .map(part => part.outerHTML.slice(0, 90))"""
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
# WCAG 2.1, levels A and AA. A dark page is the same page in other colors, so these alone are looked at again.
WCAG = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa"]}, "resultTypes": ["violations"]}
COLORS = {
    "runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]},
    "resultTypes": ["violations"],
}
_AXE = Axe().axe_script


class Seeing:
    """A window, and what was wrong with the pages that it was led to: their complaints, and what is seen on them."""

    def __init__(self, page):
        self.page, self.complaints, self.wrong = page, [], {}
        # What is told at a lower level is advice, which Chromium keeps from a page's console unless asked.
        page.on(
            "console",
            lambda message: message.type in {"error", "warning"} and self.complaints.append((page.url, message.text)),
        )
        page.on("pageerror", lambda error: self.complaints.append((page.url, str(error))))
        # Aborted is what was still on its way when the window went on to the next page.
        page.on(
            "requestfailed",
            lambda request: (
                request.failure != "net::ERR_ABORTED" and self.complaints.append((page.url, request.failure))
            ),
        )

    def check(self, name):
        """At the page that stands in the window, which has a phone's size before and afterwards."""
        unfold(self.page)
        self._note(f"{name}, wider than a phone", self.page.evaluate(OVERHANGING))
        self._note(f"{name}, too small to tap", self.page.evaluate(SMALL_TARGETS))
        self.page.evaluate(_AXE)
        self._note(f"{name}, light", self._violations(WCAG))
        self.page.emulate_media(color_scheme="dark")
        self._note(f"{name}, dark", self._violations(COLORS))
        self.page.emulate_media(color_scheme="light")
        for size, how in ((NARROW, "narrow"), (ENLARGED, "enlarged")):
            self.page.set_viewport_size(size)
            self._note(f"{name}, {how}", self._lost())
        self.page.set_viewport_size(PHONE)
        self.page.evaluate(LARGE_LETTERS)
        self._note(f"{name}, large letters", self._lost())

    def _note(self, where, wrong):
        if wrong:
            self.wrong[where] = wrong

    def _lost(self):
        self.page.evaluate("scrollTo(0, 0)")  # axe has scrolled, and a head that stays lies over what is scrolled
        return self.page.evaluate(LOST)

    def _violations(self, options):
        result = self.page.evaluate("options => axe.run(options)", options)
        assert result["passes"]
        return [
            (violation["id"], node["html"][:120], node.get("failureSummary", ""))
            for violation in result["violations"]
            for node in violation["nodes"]
        ]


def unfold(page):
    page.evaluate("document.querySelectorAll('details').forEach(part => { part.open = true })")
