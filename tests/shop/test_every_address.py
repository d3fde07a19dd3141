"""Every page of the demo crib, as an administrator comes to it by the links: its weight, its names, its bones."""

import re
from collections import Counter, defaultdict
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.contrib.staticfiles import finders
from django.db import transaction
from django.test import Client
from django.urls import resolve, reverse

from inventory.models import User
from tests import factories
from tests.reading import Page
from tests.shop.test_roles import DOORS
from tests.walking import ANSWERS, starts, walk

_BACKEND = "django.contrib.auth.backends.ModelBackend"


pytestmark = [pytest.mark.django_db, pytest.mark.one_database("the fuzzer asks each address of each database")]


@pytest.fixture(scope="module")
def walked(django_db_setup, django_db_blocker, demo_book):
    """Every page once; of pages that differ in the piece alone, two."""
    with django_db_blocker.unblock(), transaction.atomic():
        client = Client()
        demo_book.put_in_place()
        factories.own_series("W20")  # the demo has none of its own, and only such a series is edited
        addresses = [*starts(), reverse("series", args=["W20", "round"])]
        administrator = User.objects.get(username="administrator")
        client.force_login(administrator, backend=_BACKEND)
        yield list(walk(client, addresses))
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def pages(walked):
    return [visit.page for visit in walked if visit.page]


def pages_with(pages, what_is_wrong):
    """The pages with something wrong, and what it is."""
    wrong_by_address = {page.address: list(what_is_wrong(page)) for page in pages}
    return {address: wrong for address, wrong in wrong_by_address.items() if wrong}


def test_every_address_that_answers_a_get_is_walked(walked):
    assert {name for method, name, _, _ in DOORS if method == "get"} == {visit.view for visit in walked}


# What reaches a phone in one round trip: ten segments of about 1,460 bytes (RFC 6928).
def test_no_page_weighs_more_than_the_first_flight_of_a_connection(walked):
    assert {visit.address: visit.weight for visit in walked if visit.page and visit.weight > 14_000} == {}


def test_no_answer_weighs_more_than_four_kilobytes(walked):
    answers = {visit.address: visit.weight for visit in walked if visit.view == "find"}

    assert set(ANSWERS) <= set(answers)
    assert {address: weight for address, weight in answers.items() if weight > 4_000} == {}


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
        if len(page.all("main")) != 1:
            yield "not one main part"
        elif page.all("nav") and page.all("main")[0]["id"] != (skip["href"] or "").removeprefix("#"):
            yield f"the first link leads to {skip['href']}"
        yield from (f"{part.text} has no name" for part in page.all("nav") if not part["aria-label"])

    assert pages_with(pages, wrong) == {}


def test_each_page_has_one_first_heading_and_leaves_out_no_level(pages):
    def wrong(page):
        levels = [int(part.tag[1]) for part in page.all("h1", "h2", "h3", "h4")]
        if levels[:1] != [1] or levels.count(1) != 1:
            yield levels
        yield from (pair for pair in zip(levels, levels[1:], strict=False) if pair[1] > pair[0] + 1)

    assert pages_with(pages, wrong) == {}


def test_whatever_names_another_part_by_its_id_names_one_that_is_there(pages):
    def wrong(page):
        ids = Counter(part["id"] for part in page.elements if part["id"])
        named = [name for part in page.elements for name in (part["aria-describedby"] or "").split()]
        named += [part["for"] for part in page.all("label")]
        named += [part["href"][1:] for part in page.all("a") if (part["href"] or "").startswith("#")]
        yield from (f"{name} twice" for name, times in ids.items() if times > 1)
        yield from (f"no {name}" for name in named if name not in ids)

    assert pages_with(pages, wrong) == {}


def test_each_field_has_a_label(pages):
    def wrong(page):
        labelled = {label["for"] for label in page.all("label")}
        for part in page.all("input", "select", "textarea"):
            is_shown = part["type"] != "hidden" and "hidden" not in part.attributes
            is_labelled = part["id"] in labelled or part["aria-label"] or any(a.tag == "label" for a in part.around())
            if is_shown and not is_labelled:
                yield part["name"]

    assert pages_with(pages, wrong) == {}


def test_figures_are_of_one_width_wherever_a_font_is_set():
    style = Path(finders.find("style.css")).read_text(encoding="utf-8")
    rules = re.findall("{([^{}]*)}", re.sub(": +", ":", style))
    fonts = [rule for rule in rules if re.search(r"\bfont:(?!inherit)", rule)]

    assert fonts
    assert [rule for rule in fonts if "font-variant-numeric:tabular-nums" not in rule] == []


# Forms ----------------------------------------------------------------------------------------------------------------

NONSENSE = "nonsense §"
# Names may be anything, and so may what a note says; a row of a sheet stands on the next page as typed.
TAKES_ANY_WORD = {
    "seat", "series_whole", "tool_move", "details_missing", "import_row", "import_answer", "setup_keep", "setup_revise",
    "shift_note",
}  # fmt: skip
# One button without a field, on a page in another state than those of the demo; test_roles presses each.
_ONE_BUTTON = {
    "counted_unretire", "jaws_unretire", "lathe_unretire", "place_unretire", "tool_unretire", "tool_found",
    "tool_return", "my_return", "setup_return", "token_revoke", "devices", "import_undo",
}  # fmt: skip


@pytest.fixture(scope="module")
def forms(pages):
    """Every form once; those with the same fields that go to the same view are one, whatever row a name numbers."""
    found = {}
    for page in pages:
        for form in page.forms():
            view = resolve(urlsplit(form.action).path).view_name
            names = frozenset(re.sub(r"\d+", "#", part["name"]) for part in form.fields)
            found.setdefault((form.method, view, names), (view, form))
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
    return nonsense(form) | {name: ["nonsense"] for name in hidden}


def _sent_by(client, form, texts):
    """The answer, and the page on which it ends; nothing of it stays in the book."""
    with transaction.atomic():
        address = form.action if form.method == "post" else urlsplit(form.action).path
        answer = getattr(client, form.method)(address, texts)
        status, is_page = answer.status_code, answer.headers["Content-Type"].startswith("text/html")
        if answer.streaming:
            list(answer.streaming_content)
        page = Page(answer.content.decode(), form.action) if is_page else None
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


def test_every_form_that_is_posted_carries_the_token_without_which_it_is_refused(forms):
    posted = [(view, form) for view, form in forms if form.method == "post"]

    assert [view for view, form in posted if "csrfmiddlewaretoken" not in form.sent()] == []


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

    assert doors - {view for view, form in forms if form.method == "post"} <= _ONE_BUTTON | {"sign_out"}
