"""What holds for each page: nothing to scroll sideways to, room for a glove, readable without sight."""

import re
from datetime import UTC, datetime

import pytest
from playwright.sync_api import expect

from inventory.models import SheetImport
from tests.browser.conftest import follow
from tests.browser.seeing import Seeing

pytestmark = pytest.mark.browser

# So many tests share the pages, as long ones leave one of two processes idle at the end.
PARTS = 4
ANSWERS = {
    "holds": "/?size=0.7485",
    "at the limit": "/?size=1.0672",
    "mic it first": "/?size=.748-.756",
    "no collet here holds it": "/?size=2.9",
    "nothing holds it": "/?size=20+in",
}
# All have one template: that with many fields, one with a choice, and those whose results and refusals are the longest.
SUMS = (
    "dial-in/?reading1=.012&reading2=.002&reading3=0&reading4=.004",
    "morse/?code=MT3&from_gauge=1",
    "deflection/?force=100&length=6&diameter=1&modulus=30e6&held=centers",
    "weight/?shape=hex&size=4&length=24&density=0.2836",
)
A_WHILE_AGO = datetime(2026, 3, 18, 6, 40, tzinfo=UTC)
PAGES = {
    "find": "/",
    "find, asked back": "/?size=12",
    "find, unfolded": "/?change=1&size=3/4&tir=.0005",
    **ANSWERS,
    "square": "/?size=1/2&shape=square",
    "from a label": "/?size=3/4&grade=cold-drawn",
    "a TIR is asked": "/?size=3/4&tir=.0005&lathe=Lathe+1",
    "plan, the question": "/plan/",
    "plan": "/plan/?size=.7485&length=9&parts=12&setups=2&tir=.001",
    "plan, nothing can": "/plan/?size=20+in",
    "plan, a casting on one way": "/plan/independent-chuck/?size=6&shape=casting",
    "pocket card": "/card/",
    "pocket card, open": "/card/open/",
    "which center": "/plan/center/?lathe=Lathe+1&bore=2-3/4&speed=800",
    "which holder": "/plan/holder/?shank=1/2&operation=turning",
    "setup sheets": "/plan/sheets/",
    "a setup sheet": "/plan/sheets/1/",
    "a setup sheet by hand": "/plan/sheets/add/",
    "an operation of a sheet": "/plan/sheets/1/operations/add/?does=knurling",
    "working minutes": "/plan/minutes/",
    "plan, one way": "/plan/between-centers/?size=.7485&length=9&parts=12",
    "tooling": "/tooling/",
    "tooling, narrowed": "/tooling/?series=5C&shape=hex",
    "piece": "/t/C-0011/",
    "piece, details missing": "/t/K-0086/",
    "piece, out": "/t/C-0010/",
    "piece, missing": "/t/C-0036/",
    "inspect": "/t/C-0022/inspect/",
    "wear": "/t/C-0022/wear/",
    "wear, no forecast": "/t/N-0098/wear/",
    "due": "/desk/due/",
    "shift to shift": "/desk/shift/",
    "notes of the shifts": "/desk/shift/notes/",
    "tomorrow's jobs": "/desk/lay-out/",
    "reserve for a job": "/plan/sheets/1/reserve/",
    "what a job took": "/plan/sheets/1/job/",
    "limits": "/desk/due/limits/",
    "limits of 5C": "/desk/due/limits/series/5C/",
    "kinds": "/tooling/add/",
    "add a collet": "/tooling/add/collet/",
    "add a chuck": "/tooling/add/universal-chuck/",
    "edit": "/t/K-0081/edit/",
    "labels": "/labels/",
    "labels of pieces": "/labels/?tags=C-0011",
    "labels, refused": "/labels/print/?columns=9&rows=20&tags=C-0011",
    "labels, a sheet": "/labels/print/?drawers=E2&tags=C-0001",
    "counted": "/tooling/counted/",
    "enter what is counted": "/tooling/counted/add/",
    "which collet": "/tooling/which-collet/",
    "which collet, it can be": "/tooling/which-collet/?body=1.249&thread=1.238-20",
    "which collet, none": "/tooling/which-collet/?body=1.1&length=2",
    "add a tool-post holder": "/tooling/add/tool-post-holder/",
    "add a reamer": "/tooling/add/reamer/",
    "edit, a bored blank": "/t/C-0049/edit/",
    "bored blank": "/?size=.4",
    "put on a lathe": "/t/K-0083/mount/",
    "jaws": "/t/K-0081/jaws/add/",
    "details missing": "/tooling/details-missing/",
    "desk": "/desk/",
    "connect a phone": "/desk/phone/",
    "my pieces": "/mine/",
    "places": "/places/",
    "add a place": "/places/add/",
    "counts": "/counts/",
    "move a piece": "/t/C-0011/move/",
    "history of a piece": "/t/C-0011/history/",
    "missing": "/buying/",
    "what is short": "/buying/short/",
    "blank or buy": "/buying/blanks/",
    "order list": "/buying/orders/",
    "ask for something": "/buying/want/thing/",
    "on order, to print": "/buying/orders/print/",
    "for the meeting": "/buying/meeting/",
    "for the meeting, nothing to show": "/buying/meeting/?from=2001-01-01&to=2001-03-31",
    "numbers": "/numbers/",
    "numbers, found": "/numbers/?q=5C",
    "a table": "/numbers/?table=er_runout",
    "seats": "/seats/",
    "series": "/series/",
    "a series": "/series/5C/round/",
    "a whole series": "/series/of/5C/",
    "a series of its own": "/series/add/?like=ER32/round",
    "a seat": "/seats/of/D1-4/",
    "measuring allowance": "/series/measuring/",
    "board": "/buying/board/5C/round/",
    "board, a missing size tapped": "/buying/board/5C/round/?pick=10318750",
    "board, no lathe takes it": "/buying/board/ER16/round/?lathe=Lathe+2&tolerance=.001",
    "bar that is kept": "/buying/demand/",
    "add a bar": "/buying/demand/add/",
    "prices": "/buying/prices/",
    "add a set": "/buying/prices/set/",
    "what to buy": "/buying/buy/",
    "what to buy for a budget": "/buying/buy/?budget=100",
    "lathes": "/lathes/",
    "add a lathe": "/lathes/add/",
    "import": "/desk/import/",
    "export": "/desk/export/",
    "password": "/password/",
    "guide": "/guide/",
    **{f"guide for the {slug}": f"/guide/{slug}/" for slug in ("machinist", "keeper", "purchasing", "owner")},
    "arithmetic": "/arithmetic/",
    "arithmetic, asked": "/arithmetic/deflection/",
    "arithmetic, refused": "/arithmetic/tir/?tir=.015&offset=.008",
    **{f"arithmetic, {address.partition('/')[0]}": f"/arithmetic/{address}" for address in SUMS},
}


# WCAG 2.1: 1.4.10 Reflow (320 CSS pixels), 1.4.4 Resize Text (200 %), 2.5.5 Target Size, and what axe looks for.
@pytest.mark.parametrize("part", range(PARTS))
def test_each_page_can_be_read_and_tapped_by_everybody_and_complains_of_nothing(signed_in, part):
    seeing = Seeing(signed_in("keeper", device_scale_factor=2))
    for name, address in list(PAGES.items())[part::PARTS]:
        response = seeing.page.goto(address)
        assert response.ok, f"{name} at {address} answered {response.status}"
        if name in ANSWERS:  # its verdict is said in words
            expect(seeing.page.get_by_role("main")).to_contain_text(re.compile(name, re.IGNORECASE))
        seeing.check(name)

    assert seeing.complaints == []
    assert seeing.wrong == {}


def pages_on_the_way(page, send_sheet):
    """Leads to the pages that a keeper comes to by acting, the sign-in page last; yields their names."""
    page.goto("/t/C-0011/")
    follow(page.get_by_role("link", name="What is in drawer E2"))
    page.get_by_role("heading", name="Not in it").wait_for()
    yield "place"
    follow(page.get_by_role("link", name="Issue all that is here"))
    yield "issue all that is in a place"
    page.go_back()
    follow(page.get_by_role("button", name="Count it"))
    page.get_by_role("heading", name="To look for").wait_for()
    yield "count"
    follow(page.get_by_role("button", name="Drop the count"))
    yield "count, dropped"
    page.goto("/tooling/counted/")
    follow(page.get_by_role("link", name="Center drill No. 3"))
    page.get_by_role("heading", name="Center drill No. 3").wait_for()
    yield "counted, one thing"
    page.goto("/buying/orders/")
    follow(page.get_by_role("link", name="Receive 7/8 round 5C"))
    page.get_by_role("heading", name="Receive 7/8 round 5C").wait_for()
    yield "receive"
    follow(page.get_by_role("link", name="Its line"))
    page.get_by_role("link", name="Receive it").wait_for()
    yield "a line of the order list"
    page.goto("/lathes/")
    follow(page.get_by_role("link", name="Lathe 1", exact=True))
    yield "lathe"
    follow(page.get_by_role("link", name="Mount a piece"))
    yield "mount on a lathe"
    page.goto("/lathes/")
    follow(page.get_by_role("link", name="Lathe 1", exact=True))
    follow(page.get_by_role("link", name="What fits its tailstock?"))
    yield "tailstock"
    send_sheet(page)
    send_sheet(page, matched=False)
    yield "import, its headings"
    follow(page.get_by_role("button", name="See what it would do"))
    follow(page.get_by_role("link", name="Units and dates"))
    yield "import, units and dates"
    follow(page.get_by_role("button", name="See what it would do"))
    yield "import, what it would do"
    follow(page.get_by_role("link", name=re.compile("^Correct row")).first)
    yield "import, a row"
    follow(page.get_by_role("link", name="To all rows"))
    page.goto("/desk/import/")
    yield "import, sheets begun"
    follow(page.get_by_role("link", name="Go on with").first)
    follow(page.get_by_role("button", name="Enter 3 rows"))
    page.get_by_text("2 added, 1 updated").first.wait_for()
    yield "import, taken"
    entered = SheetImport.objects.exclude(taken_at=None)
    entered.update(taken_at=None, recorded_at=A_WHILE_AGO)  # as a power cut would leave it
    page.reload()
    page.get_by_role("button", name="Go on entering").wait_for()
    yield "import, only a part is entered"
    follow(page.get_by_role("button", name="Sign out"))
    page.get_by_role("button", name="Sign in").wait_for()
    yield "sign in"


def test_so_does_each_page_that_is_reached_by_acting(signed_in, send_sheet):
    seeing = Seeing(signed_in("keeper", device_scale_factor=2))
    for name in pages_on_the_way(seeing.page, send_sheet):
        seeing.check(name)

    assert seeing.complaints == []
    assert seeing.wrong == {}
    assert name == "sign in"
