"""Every page of the demo crib, as an administrator comes to it by the links: its weight, its names, its bones."""

import gzip
from collections import Counter, defaultdict
from dataclasses import dataclass
from urllib.parse import parse_qs, urlsplit

import pytest
from django.db import transaction
from django.test import Client
from django.urls import resolve, reverse
from django.utils import timezone

from inventory import counting
from inventory.models import InspectionPhoto, Location, Role, Tool, User
from shop.demo import crib as demo
from tests import factories
from tests.reading import Page
from tests.shop.test_roles import DOORS

ANSWERS = (
    "/?size=0.7485",
    "/?size=1.0672",
    "/?size=.748-.756",
    "/?size=2.9",
    "/?size=12+in",
    "/?size=1/2&shape=square",
)
_BACKEND = "django.contrib.auth.backends.ModelBackend"
_MOST_OF_A_KIND = 2
"""How many pages are walked that differ in the piece, the place or the size alone."""


pytestmark = pytest.mark.django_db


@dataclass
class Visit:
    address: str
    view: str
    weight: int
    """Bytes that go over the air, headers aside."""
    page: Page | None
    """None where the answer is no page: a sheet, a photo, JSON."""


@pytest.fixture(scope="module")
def walked(django_db_setup, django_db_blocker):
    """Every page once; of pages that differ in the piece alone, two."""
    with django_db_blocker.unblock(), transaction.atomic():
        client = Client()
        starts = _starts()
        administrator = User.objects.get(username="administrator")
        client.force_login(administrator, backend=_BACKEND)
        yield list(_walk(client, starts))
        transaction.set_rollback(True)


def _starts():
    for role in Role:
        factories.user(role.value, name=role.value)
    demo.load(now=timezone.now())
    InspectionPhoto.objects.create(inspection=Tool.objects.get(tag="C-0011").inspections.first(), jpeg=b"a picture")
    sheet = "".join(f"C-9{number:03},collet,5C,round,{number % 7}/16\n" for number in range(300))
    begun = factories.sheet_read(f"tag,kind,series,shape,size\n{sheet}").sent.pk
    return [
        "/",
        *ANSWERS,
        "/plan/?size=.7485&length=9&parts=12&setups=2&tir=.001",
        reverse("count", args=[counting.begin(Location.objects.get(name="A2"), by=factories.user()).pk]),
        *(reverse(step, args=[begun]) for step in ("import_preview", "import_match", "import_ask", "import_refused")),
        reverse("import_row", args=[begun, 2]),
        reverse("setup_sheet", args=[factories.setup_sheet(Tool.objects.get(tag="C-0011")).pk]),
        reverse("labels_print") + "?drawers=A2",
        reverse("find_json") + "?size=3/4",
        reverse("plan_json") + "?size=3/4",
        reverse("rack_add") + "?series=5C&shape=round&smallest=1/16&largest=1&step=1/64&location=A9&prefix=C-",
        "/t/K-0081/",
        reverse("sign_in"),
        reverse("health"),
    ]


def _walk(client, starts):
    waiting, seen, of_a_kind = list(starts), set(starts), Counter()
    while waiting:
        address = waiting.pop(0)
        visit = _visit(client, address)
        yield visit
        for link in visit.page.links() if visit.page else ():
            if link in seen or link.startswith("/admin"):
                continue
            seen.add(link)
            kind = _kind(link)
            of_a_kind[kind] += 1
            if of_a_kind[kind] <= _MOST_OF_A_KIND:
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
    if not answer.headers["Content-Type"].startswith("text/html"):
        return Visit(address, view, len(content), None)
    html = gzip.decompress(content) if answer.headers.get("Content-Encoding") == "gzip" else content
    return Visit(address, view, len(content), Page(html.decode(), address))


@pytest.fixture(scope="module")
def pages(walked):
    return [visit.page for visit in walked if visit.page]


def told(pages, what_is_wrong):
    """The pages with something wrong, and what it is."""
    found = {page.address: list(what_is_wrong(page)) for page in pages}
    return {address: wrong for address, wrong in found.items() if wrong}


def test_every_address_that_answers_a_get_is_walked(walked):
    assert {name for method, name, _, _ in DOORS if method == "get"} == {visit.view for visit in walked}


# What reaches a phone in one round trip: ten segments of about 1,460 bytes (RFC 6928).
def test_no_page_weighs_more_than_the_first_flight_of_a_connection(walked):
    assert {visit.address: visit.weight for visit in walked if visit.page and visit.weight > 14_000} == {}


def test_no_answer_weighs_more_than_six_kilobytes_with_its_style(walked):
    answers = {visit.address: visit.weight for visit in walked if visit.view == "find"}

    assert set(ANSWERS) <= set(answers)
    assert {address: weight for address, weight in answers.items() if weight > 6_000} == {}


def test_each_page_has_a_title_of_its_own(pages):
    addresses = defaultdict(set)
    for page in pages:
        addresses[page.title].add(urlsplit(page.address).path)

    assert {title: found for title, found in addresses.items() if len(found) > 1} == {}


def test_each_page_says_its_language_and_has_one_main_part_that_the_first_link_skips_to(pages):
    def wrong(page):
        skip = next(part for part in page.all("a", "button", "input", "select", "summary") if part["type"] != "hidden")
        if page.all("html")[0]["lang"] != "en":
            yield "no language"
        if [part["id"] for part in page.all("main")] != [skip["href"].removeprefix("#")]:
            yield f"the first link leads to {skip['href']}"
        yield from (f"{part.text} has no name" for part in page.all("nav") if not part["aria-label"])

    assert told(pages, wrong) == {}


def test_each_page_has_one_first_heading_and_leaves_out_no_level(pages):
    def wrong(page):
        levels = [int(part.tag[1]) for part in page.all("h1", "h2", "h3", "h4")]
        if levels[:1] != [1] or levels.count(1) != 1:
            yield levels
        yield from (pair for pair in zip(levels, levels[1:], strict=False) if pair[1] > pair[0] + 1)

    assert told(pages, wrong) == {}


def test_whatever_names_another_part_by_its_id_names_one_that_is_there(pages):
    def wrong(page):
        ids = Counter(part["id"] for part in page.elements if part["id"])
        named = [name for part in page.elements for name in (part["aria-describedby"] or "").split()]
        named += [part["for"] for part in page.all("label")]
        named += [part["href"][1:] for part in page.all("a") if (part["href"] or "").startswith("#")]
        yield from (f"{name} twice" for name, times in ids.items() if times > 1)
        yield from (f"no {name}" for name in named if name not in ids)

    assert told(pages, wrong) == {}


def test_each_field_has_a_label(pages):
    def wrong(page):
        labelled = {label["for"] for label in page.all("label")}
        for part in page.all("input", "select", "textarea"):
            is_shown = part["type"] != "hidden" and "hidden" not in part.attributes
            is_labelled = part["id"] in labelled or part["aria-label"] or any(a.tag == "label" for a in part.around())
            if is_shown and not is_labelled:
                yield part["name"]

    assert told(pages, wrong) == {}


# Forms ----------------------------------------------------------------------------------------------------------------

NONSENSE = "nonsense §"
# A place, a seat and a row of a sheet may be called anything; the row stands on the next page with what was typed.
TAKES_ANY_WORD = {"tool_move", "details_missing", "import_row"}
# One button without a field, on a page in another state than those of the demo; test_roles presses each.
_ONE_BUTTON = {
    "counted_unretire", "jaws_unretire", "lathe_unretire", "place_unretire", "tool_unretire", "tool_found",
    "tool_return", "my_return", "setup_return", "token_revoke",
}  # fmt: skip


@pytest.fixture(scope="module")
def forms(pages):
    """Every form once; those with the same fields that go to the same view are one."""
    found = {}
    for page in pages:
        for form in page.forms():
            view = resolve(urlsplit(form.action).path).view_name
            found.setdefault((form.method, view, frozenset(part["name"] for part in form.fields)), (view, form))
    return [(view, form) for view, form in found.values() if view != "sign_out"]


def empty(form):
    typed = {part["name"]: [""] for part in form.typed}
    ticked = {part["name"] for part in form.fields if part["type"] in {"radio", "checkbox"}}
    return {name: texts for name, texts in (form.sent() | typed).items() if name not in ticked}


def nonsense(form):
    chosen = [part for part in form.fields if part.tag == "select" or part["type"] in {"radio", "checkbox"}]
    return form.sent() | {part["name"]: [NONSENSE] for part in [*form.typed, *chosen]}


def tampered(form):
    hidden = [part["name"] for part in form.fields if part["type"] == "hidden"]
    return nonsense(form) | {name: ["nonsense\x00"] for name in hidden}


def _sent_by(client, form, texts):
    """The answer, and the page on which it ends; nothing of it stays in the book."""
    with transaction.atomic():
        address = form.action if form.method == "post" else urlsplit(form.action).path
        answer = getattr(client, form.method)(address, texts)
        status, is_page = answer.status_code, answer.headers["Content-Type"].startswith("text/html")
        page = Page(answer.content.decode(), form.action) if is_page else None
        answer.close()
        transaction.set_rollback(True)
    return status, page


def _is_error(part):
    return part is not None and "error" in (part["class"] or "").split()


def _unlike_the_others(page, form, texts):
    """Where a form that came back differs from the pattern that all follow."""
    summary = [part for part in page.elements if part["role"] == "alert"]
    linked = {a["href"][1:] for a in page.all("a") if any(part in summary for part in a.around())}
    for name in linked:
        if name not in page.by_id or page.by_id[name].tag not in {"input", "select", "textarea", "fieldset"}:
            yield f"the summary leads to {name}"
    invalid = [part for part in page.elements if part["aria-invalid"] == "true"]
    for part in invalid:
        group = [part, *(around for around in part.around() if around.tag == "fieldset")]
        described = [page.by_id.get(name) for one in group for name in (one["aria-describedby"] or "").split()]
        if not any(map(_is_error, described)):
            yield f"{part['name']} does not lead to its error"
        if not any(one["id"] in linked for one in group):
            yield f"{part['name']} is not in the summary"
    if any(map(_is_error, page.elements)) and not summary:
        yield "no summary"
    if invalid:
        kept = {(part["name"], part.value) for part in page.elements if part.is_typed}
        for part in form.typed:
            typed = texts[part["name"]][0]
            if typed and (part["name"], typed) not in kept:
                yield f"{part['name']} is lost"


@pytest.mark.parametrize("fill", [empty, nonsense, tampered])
def test_every_form_that_cannot_be_followed_comes_back_in_the_same_way(fill, forms):
    client, unlike = Client(), defaultdict(list)
    client.force_login(User.objects.get(username="administrator"), backend=_BACKEND)
    for view, form in forms:
        texts = fill(form)
        status, page = _sent_by(client, form, texts)
        if status in {200, 400}:
            unlike[view] += _unlike_the_others(page, form, texts) if page else []
        else:
            assert status == 302, f"{view} answered {status}"
            is_refused = fill is nonsense and form.typed and view not in TAKES_ANY_WORD
            is_lacking = fill is empty and any("required" in part.attributes for part in form.typed)
            unlike[view] += ["taken as it was"] if is_refused or is_lacking else []

    assert {view: wrong for view, wrong in unlike.items() if wrong} == {}


def test_no_browser_holds_a_form_back_before_the_page_can_say_what_is_wrong(forms):
    checked = {"required", "pattern", "min", "max", "minlength"}
    held = {
        view
        for view, form in forms
        if "novalidate" not in form.element.attributes and any(checked & set(part.attributes) for part in form.fields)
    }

    assert held == set()


def test_every_address_that_takes_a_form_is_among_them(forms):
    doors = {name for method, name, _, _ in DOORS if method == "post"}

    assert doors - {view for view, form in forms if form.method == "post"} == _ONE_BUTTON | {"sign_out"}
