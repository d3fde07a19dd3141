"""What a browser or a program sends that no text may hold is refused with a sentence that names where it stood."""

import re

import pytest
from django.conf import settings
from django.http import HttpRequest
from django.test import Client, RequestFactory
from django.urls import reverse

from inventory.measures import signs
from inventory.models import Kind, Tool, Want
from inventory.transfer import sheets
from inventory.transfer.texts import readable
from shop.incoming import KnownDevice
from shop.wsgi import application
from tests import factories
from tests.shop.test_trouble import words

ADDRESSES = [
    "/?size=1&lathe=%00", "/find.json?size=%00", "/plan/?size=1&lathe=%00", "/tooling/?text=%00", "/labels/?tags=%00",
    "/mine/?of=%00", "/demand/add/?size=%00", "/orders/print/?supplier=%00", "/desk/due/?page=%00",
]  # fmt: skip


@pytest.fixture
def keepers_browser(client_of):
    return client_of("keeper")


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_parameter_with_a_nul_is_refused_by_its_name(client_of, address):
    answer = client_of("administrator").get(address)

    name = address.partition("=%00")[0].rpartition("&")[2].rpartition("?")[2]
    assert answer.status_code == 400
    said = answer.json()["error"]["message"] if ".json" in address else words(answer)
    assert f"The parameter “{name}” holds a NUL." in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a\x07b", "“why” holds a control character (U+0007)."),
        ("a\x9bb", "“why” holds a control character (U+009B)."),
        ("a\uffffb", "“why” holds a control character (U+FFFF)."),
        ("a" * 50_001, "“why” is 50,001 characters long; at most 50,000 are read."),
    ],
)
def test_a_field_is_refused_by_its_name(keepers_browser, text, said):
    answer = keepers_browser.post(reverse("want_thing"), {"what": "Cutting oil", "why": text})

    assert answer.status_code == 400
    assert f"The field {said}" in words(answer)
    assert not Want.objects.exists()


def test_letters_of_any_script_line_ends_and_tabs_are_taken(keepers_browser):
    answer = keepers_browser.post(reverse("want_thing"), {"what": "Łódź №1 \U0001f529", "why": "для\tzwei"})

    assert answer.status_code == 302
    assert Want.objects.get().what == "Łódź №1 \U0001f529"


@pytest.mark.parametrize("header", ["user-agent", "accept", "authorization", "x-anything"])
def test_a_header_is_refused_by_its_name(keepers_browser, header):
    answer = keepers_browser.get("/find.json?size=1", headers={header: "a\x01b"})

    assert answer.status_code == 400
    assert answer.json()["error"]["field"].lower() == header
    assert "a control character (U+0001)" in answer.json()["error"]["message"]


@pytest.mark.parametrize("sent", ["=utf-7", "=rot13", "=no-such", "=zlib_codec", "*=no-such''x"])
def test_a_form_in_another_encoding_is_refused(db, sent):
    """By the application that a server runs: the client of the tests makes another kind of request."""
    kind = f"text/plain; charset{sent}"
    environ = RequestFactory().get("/health", {"a": "b"}).environ | {"CONTENT_TYPE": kind}
    told = []

    application(environ, lambda status, headers: told.append(status))

    assert told == ["400 Bad Request"]


def test_a_cookie_that_cannot_be_read_is_as_good_as_none(client, db):
    client.cookies[settings.SESSION_COOKIE_NAME] = "\0"  # written as "\000", as browsers and attackers can

    answer = client.get(reverse("desk"))

    assert answer["Location"].startswith(reverse("sign_in"))


def test_a_referer_that_is_no_address_does_not_break_the_page_of_an_error(client_of):
    for referer in ("http://[bad", "http://a:99999999/"):
        assert client_of("machinist").get("/nowhere/", headers={"referer": referer}).status_code == 404


def test_a_lathe_of_any_name_is_remembered_by_the_device(keepers_browser):
    lathe = factories.lathe("Łódź №1")
    factories.collet("3/4")

    answer = keepers_browser.get("/?whole=0&over=3&parts=4&lathe=Łódź №1")

    for cookie in answer.cookies.values():
        cookie.OutputString().encode("latin-1")  # what a server can send
    assert re.search(f'<option value="{lathe.name}"[^>]* selected', keepers_browser.get("/").content.decode())


def test_a_name_of_300_signs_is_told_and_not_tried(db):
    answer = Client().post(reverse("sign_in"), {"username": "a" * 300, "password": "b"})

    assert answer.status_code == 200
    assert "No name here is longer than 150 characters; 300 were read." in words(answer)


@pytest.mark.parametrize(("sent", "address"), [
    ("junk", "10.1.1.1"), ("10.9.9.9", "10.9.9.9"), ("1.2.3.4, 10.9.9.9:4711", "10.9.9.9"), ("[::1]:80", "::1"),
    ("", "10.1.1.1"), ("1.2.3.4, junk", "10.1.1.1"),
])  # fmt: skip
def test_a_named_proxy_says_which_device_asked(settings, sent, address):
    settings.TRUSTED_PROXIES = ["10.1.1.1"]
    request = HttpRequest()
    request.META = {"REMOTE_ADDR": "10.1.1.1", "HTTP_X_FORWARDED_FOR": sent}

    assert KnownDevice(lambda asked: asked.META["REMOTE_ADDR"])(request) == address


def test_whoever_else_claims_to_be_a_proxy_is_not_believed(settings):
    settings.TRUSTED_PROXIES = ["10.1.1.1"]
    request = HttpRequest()
    request.META = {"REMOTE_ADDR": "10.2.2.2", "HTTP_X_FORWARDED_FOR": "10.3.3.3", "HTTP_X_FORWARDED_PROTO": "https"}

    assert KnownDevice(lambda asked: asked.META)(request) == {"REMOTE_ADDR": "10.2.2.2"}


def test_a_cell_that_cannot_be_kept_is_refused_and_its_row_alone():
    sheet = "Tag,Kind,Series,Size,Notes\nC-1,collet,5C,3/4,ring\x07ing\nC-2,collet,5C,1/2,\n"
    content = sheet.encode() + b"C-3,collet,5C,1/4," + b"x" * 33_000 + b"\n"

    rows = [line for _, line in sheets.read(content, name="crib.csv").rows()]

    assert rows[0][4] == "ring\N{REPLACEMENT CHARACTER}ing"
    assert rows[0][4].why.startswith("holds a control character (U+0007).")
    assert rows[2][4].why.startswith("is 33,000 characters long;")


@pytest.mark.django_db
def test_a_refused_cell_is_told_with_its_row(keeper):
    sent = factories.sheet_read(
        "Tag,Kind,Series,Size,Notes\nC-1,collet,5C,3/4,ring\0ing\nC-2,collet,5C,1/2,\n", by=keeper
    )

    refused = sent.sent.rows.get(verdict="refused")

    assert refused.line == 2
    assert "holds a NUL" in refused.outcome


def test_half_a_pair_in_a_cell_is_told_by_that_name():
    assert "half of a surrogate pair (U+D800)" in getattr(readable("a\ud800b"), "why", "")


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_control_character_in_an_old_book_does_not_keep_the_order_sheet_back(client_of, form):
    factories.want_of(what="Cutting oil", why="bell\x07\uffff")

    answer = client_of("purchasing").get(reverse("orders_sheet", args=[form]))

    assert answer.status_code == 200
    content = b"".join(answer) if answer.streaming else answer.content
    rows = sheets.read(content, name=f"orders.{form}").lines
    assert "bell\N{REPLACEMENT CHARACTER}" in rows[0][3]


def test_a_smallest_size_above_the_known_largest_is_told_beside_its_field(keepers_browser):
    factories.piece(Kind.LATHE_DOG, tag="D-1", outside_largest="1/4")

    answer = keepers_browser.post(reverse("details_missing"), {"tag": "D-1", "outside_min": "1/2"})

    assert answer.status_code == 200
    assert "is above the largest size" in words(answer)
    assert Tool.objects.get(tag="D-1").outside_smallest is None


def test_signs_that_no_text_may_have():
    bad = [
        sign
        for sign in map(chr, [*range(0x300), *range(0xD7FF, 0xE001), 0xFFFD, 0xFFFE, 0xFFFF])
        if signs.bad_sign(sign)
    ]

    assert len(bad) == 32 - 3 + 33 + 2048 + 2
    assert not {"\t", "\n", "\r", " ", "\xa0", "é"} & set(bad)
