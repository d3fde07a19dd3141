"""A walk through the whole site by its links, as an administrator sees the demo crib."""

import gzip
from collections import Counter
from dataclasses import dataclass
from urllib.parse import parse_qs, urlsplit

from django.urls import resolve, reverse
from django.utils import timezone

from inventory.keeping import counting
from inventory.models import InspectionPhoto, Location, SetupPhoto, SetupSheet, Tool
from tests import factories
from tests.reading import Page

ANSWERS = (
    "/?size=0.7485",
    "/?size=1.0672",
    "/?size=.748-.756",
    "/?size=2.9",
    "/?size=12+in",
    "/?size=1/2&shape=square",
)
_MOST_OF_A_KIND = 2
"""How many pages are walked that differ in the piece, the place or the size alone."""
_MOST_OF_A_VIEW = 15
"""There are a hundred seats, and hundreds of ways to narrow one list; they are counted apart."""


@dataclass
class Visit:
    address: str
    view: str
    weight: int
    """Bytes that go over the air, headers aside."""
    page: Page | None
    """None where the answer is no page: a sheet, a photo, JSON."""


def starts():
    """The addresses that no link leads to, and those from which the rest is reached; the demo must be there."""
    InspectionPhoto.objects.create(inspection=Tool.objects.get(tag="C-0011").inspections.first(), jpeg=b"a picture")
    sheet = "".join(f"C-9{number:03},collet,5C,round,{number % 7}/16\n" for number in range(300))
    draft = SetupSheet.objects.filter(frozen_at=None, operations__isnull=False).first()
    photo = SetupPhoto.objects.create(sheet=draft, jpeg=b"a picture")
    sent_sheet = factories.sheet_read(f"tag,kind,series,shape,size\n{sheet}").sent.pk
    return [
        "/",
        *ANSWERS,
        "/?size=7/8",  # it is out: a ladder, and a button to ask for it
        "/plan/?size=.7485&length=9&parts=12&setups=2&tir=.001",
        reverse(
            "count", args=[counting.begin(Location.objects.get(name="E2"), by=factories.user(), at=timezone.now()).pk]
        ),
        *(
            reverse(step, args=[sent_sheet])
            for step in ("import_preview", "import_match", "import_ask", "import_refused")
        ),
        reverse("import_row", args=[sent_sheet, 2]),
        reverse("setup_sheet", args=[factories.setup_sheet(Tool.objects.get(tag="C-0011")).pk]),
        reverse("setup_sheet", args=[draft.pk]),
        reverse("setup_edit", args=[draft.pk]),
        reverse("setup_operation", args=[draft.pk, draft.operations.first().pk]),
        reverse("setup_photo", args=[photo.pk]),
        *(reverse(page, args=["H-0078"]) for page in ("tool", "tool_hold")),
        reverse("tool", args=["C-0010"]),
        reverse("labels_print") + "?drawers=E2",
        reverse("find_json") + "?size=3/4",
        reverse("plan_json") + "?size=3/4",
        *(reverse(f"{listed}_json") for listed in ("tools", "loans", "sheets")),
        reverse("rack_add") + "?series=5C&shape=round&smallest=1/16&largest=1&step=1/64&location=A9&prefix=C-",
        "/t/K-0081/",
        reverse("sign_in"),
        reverse("sign_in_code"),
        reverse("confirm"),
        reverse("health"),
        reverse("reach_script"),
        reverse("reach_card_script"),
        reverse("out_of_reach"),
    ]


def walk(client, starts, *, but=()):
    """Each page once, from these addresses on, but for those that begin like one of `but`."""
    waiting, seen, of_a_kind, of_a_view = list(starts), set(starts), Counter(), Counter()
    while waiting:
        address = waiting.pop(0)
        visit = _visit(client, address)
        yield visit
        for link in visit.page.links() if visit.page else ():
            if link in seen or link.startswith(("/admin", *but)):
                continue
            seen.add(link)
            kind = _kind(link)
            of_a_kind[kind] += 1
            view, is_narrowed = kind[0], "?" in link
            if of_a_kind[kind] <= _MOST_OF_A_KIND and of_a_view[view, is_narrowed] < _MOST_OF_A_VIEW:
                of_a_view[view, is_narrowed] += 1
                waiting.append(link)


def _kind(address):
    """What is the same for pages that differ in the piece, the place or the size alone."""
    split = urlsplit(address)
    match = resolve(split.path)
    by_row = {"pk", "tag", "line"}
    named = tuple((name, value) for name, value in match.kwargs.items() if name not in by_row)
    asked = tuple(sorted(parse_qs(split.query)))
    return (match.view_name, asked) if asked else (match.view_name, named)


def _visit(client, address):
    answer = client.get(address, headers={"accept-encoding": "gzip"})
    assert answer.status_code == 200, f"{address} answered {answer.status_code}"
    content = b"".join(answer.streaming_content) if answer.streaming else answer.content
    view = answer.resolver_match.view_name
    is_file = answer.headers.get("Content-Disposition", "").startswith("attachment")
    if is_file or not answer.headers["Content-Type"].startswith("text/html"):
        return Visit(address, view, len(content), None)
    html = gzip.decompress(content) if answer.headers.get("Content-Encoding") == "gzip" else content
    return Visit(address, view, len(content), Page(html.decode(), address))
