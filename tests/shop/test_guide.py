"""The guides: what they quote stands on the pages that they send to, and they are light."""

import gzip
import re
from html import unescape
from pathlib import Path

import pytest
from django.conf import settings
from django.urls import reverse
from PIL import Image

from inventory.models import User
from shop.guide import GUIDES
from shop.guide.moments import READ, TAPPED
from shop.guide.views import WIDTH
from shop.guide.words import WORDS
from tests.demo_pages import address_of

pytestmark = pytest.mark.one_database("what guides quote of pages that test_every_address.py opens on each database")

PICTURES = Path(settings.BASE_DIR) / "shop" / "static" / "guide"
README = (Path(settings.BASE_DIR) / "README.md").read_text(encoding="utf-8")
CONTROL = re.compile(r"<(a|button|label|summary|legend)\b[^>]*>(.*?)</\1>", re.DOTALL)
VALUE = re.compile(r'<input type="submit" value="([^"]+)"')
PICTURE = re.compile(r'<img class="screen" src="([^"]+)"')
SLUGS = [guide.slug for guide in GUIDES]


@pytest.fixture
def page_of(demo, client_of):
    """Gives the page of the demo crib that `at` means, as somebody of this role sees it; each is fetched once."""
    browsers, pages = {}, {}

    def page_of(at, role):
        if role not in browsers:
            browsers[role] = client_of(User.objects.get(role=role))
        if (at, role) not in pages:
            answer = browsers[role].get(address_of(at))
            assert answer.status_code == 200, at
            pages[at, role] = answer.content.decode()
        return pages[at, role]

    return page_of


def words(html: str) -> str:
    """What is seen of it: not the words that are for ears only."""
    shown = re.sub(r"<style.*?</style>|<(\w+) class=\"hidden\">.*?</\1>", " ", html, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", shown)).split())


def controls_of(page: str) -> set[str]:
    return {words(inside).rstrip(":") for _, inside in CONTROL.findall(page)} | set(VALUE.findall(page))


def stands_on(page: str, label: str) -> bool:
    """Whether it is a link, a button or a field there; “…” is for what differs from shop to shop."""
    shape = re.compile(".+".join(map(re.escape, label.split("…"))))
    return any(shape.fullmatch(control) for control in controls_of(page))


def test_whatever_a_guide_says_to_tap_stands_on_the_page_that_it_sends_to(page_of):
    gone = [
        (guide.slug, line.at, label)
        for guide in GUIDES
        for moment in guide.moments
        for line in moment.lines
        for label in TAPPED.findall(line.text)
        if not stands_on(page_of(line.at, guide.role), label)
    ]

    assert gone == []


def test_whatever_a_guide_says_to_read_stands_on_the_page_that_it_sends_to(page_of):
    gone = [
        (guide.slug, line.at, read)
        for guide in GUIDES
        for moment in guide.moments
        for line in moment.lines
        for read in READ.findall(line.text)
        if read.casefold() not in words(page_of(line.at, guide.role)).casefold()
    ]

    assert gone == []


def test_the_check_sees_a_label_that_is_gone(page_of):
    page = page_of("/", "machinist")

    assert stands_on(page, "Find what holds it")
    assert stands_on(page, "Find … holds it")
    assert not stands_on(page, "Find what grips it")


@pytest.mark.parametrize("slug", SLUGS)
def test_a_guide_opens_to_whoever_is_signed_in_and_to_nobody_in_particular(slug, client, client_of, db):
    for browser in (client, client_of("machinist")):
        assert browser.get(reverse("guide_for", args=[slug])).status_code == 200


def test_there_is_no_guide_for_anybody_else(client, db):
    assert client.get(reverse("guide_for", args=["stranger"])).status_code == 404


@pytest.mark.parametrize(
    ("role", "first"),
    [("machinist", "machinist"), ("keeper", "keeper"), ("purchasing", "purchasing"), ("administrator", "owner")],
)
def test_the_guide_for_one_s_role_comes_first(role, first, client_of):
    page = client_of(role).get(reverse("guide")).content.decode()

    assert re.findall(r'href="/guide/(\w+)/"', page)[0] == first


def test_every_word_of_the_glossary_is_explained_on_the_first_page(client, db):
    page = words(client.get(reverse("guide")).content.decode())

    assert len(WORDS) >= 12
    assert all(meaning in page for _, meaning in WORDS)


@pytest.mark.parametrize("address", ["/", "/?size=1/2", "/desk/", "/nowhere/", "/sign-in/"])
def test_every_page_leads_to_the_guide(address, client_of):
    browser = client_of(None if address == "/sign-in/" else "machinist")

    assert 'href="/guide/"' in browser.get(address).content.decode()


@pytest.mark.parametrize("slug", ["", *SLUGS])
def test_a_guide_without_its_pictures_is_light(slug, client, db):
    page = client.get(f"/guide/{slug}/" if slug else "/guide/").content

    assert len(gzip.compress(page)) < 14_000


@pytest.mark.parametrize("guide", GUIDES, ids=SLUGS)
def test_each_moment_is_two_or_three_screens_at_most(guide):
    said = [" ".join([moment.title, moment.in_hand, *(line.text for line in moment.lines)]) for moment in guide.moments]

    # Some 45 letters stand in a line on a phone, and some 30 lines on its screen.
    assert max(map(len, said)) < 2 * 45 * 30


@pytest.mark.parametrize("guide", GUIDES, ids=SLUGS)
def test_each_picture_is_small_as_large_as_is_said_and_kept_by_the_browser(guide, client, db):
    page = client.get(reverse("guide_for", args=[guide.slug])).content.decode()

    sources = PICTURE.findall(page)
    assert len(sources) == len(guide.pictures) > 0
    for source, picture in zip(sources, guide.pictures, strict=True):
        file = PICTURES / f"{picture.name}.webp"
        with Image.open(file) as opened:
            assert opened.size == (WIDTH, picture.height)
        assert file.stat().st_size <= 25_000
        answer = client.get(source)
        assert "immutable" in answer["Cache-Control"]
        answer.close()


def test_no_picture_is_kept_that_no_guide_shows():
    shown = {f"{picture.name}.webp" for guide in GUIDES for picture in guide.pictures}

    assert {file.name for file in PICTURES.iterdir()} == shown


def test_each_picture_is_told_in_words_for_whoever_does_not_see_it():
    assert all(len(picture.says) > 60 for guide in GUIDES for picture in guide.pictures)


@pytest.mark.parametrize("guide", GUIDES, ids=SLUGS)
def test_the_readme_has_the_guides_in_short(guide):
    readme = " ".join(README.split())

    assert guide.in_short in readme
    assert f"/guide/{guide.slug}/" in readme


@pytest.mark.django_db
def test_the_front_of_the_guide_says_where_a_read_token_comes_from(client):
    page = client.get(reverse("guide")).content.decode()

    assert f'href="{reverse("tokens")}"' in page and "/sheets.json" in page
