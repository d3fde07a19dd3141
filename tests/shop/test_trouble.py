"""What is said when something goes wrong: what is kept, and a way on."""

import re
from html import unescape
from unittest.mock import patch

import pytest
from django.contrib.auth.decorators import login_not_required
from django.db import OperationalError, connection
from django.test import Client
from django.urls import include, path, reverse

from shop.urls import handler400, handler403, handler404, handler500  # noqa: F401 (of the site that is made below)
from tests import factories


@login_not_required
def fail(request):
    raise ZeroDivisionError("a fault of our own")


@login_not_required
def wait_too_long(request):
    raise OperationalError(request.GET["said"])


urlpatterns = [path("fail/", fail), path("busy/", wait_too_long), path("", include("shop.urls"))]


@pytest.fixture
def faulty(settings, db):
    """A browser, at a site of which two addresses fail."""
    settings.ROOT_URLCONF = "tests.shop.test_trouble"
    return Client(raise_request_exception=False)


@pytest.fixture
def machinists_browser(client_of):
    return client_of("machinist")


@pytest.fixture
def without_database(db):
    """A signed-in browser of a site whose database stopped answering."""
    client = Client(raise_request_exception=False)
    client.force_login(factories.user("machinist"), backend="django.contrib.auth.backends.ModelBackend")
    with patch.object(connection, "cursor", side_effect=OperationalError("no route to the host")):
        yield client


def words(answer) -> str:
    main = answer.content.decode().partition("<main")[2].partition(">")[2].partition("</main>")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())


def test_whoever_has_another_role_reads_who_may_and_that_nothing_was_kept(machinists_browser):
    answer = machinists_browser.get(reverse("tool_add"))

    assert answer.status_code == 403
    assert "This is for crib keepers and administrators." in words(answer)
    assert "Nothing was saved or changed." in words(answer)


def test_a_page_that_is_too_old_is_told_in_the_look_of_the_others(db):
    answer = Client(enforce_csrf_checks=True).post(reverse("sign_in"), {"username": "a", "password": "b"})

    assert answer.status_code == 403
    assert "This page was too old" in words(answer)
    assert '<link rel="stylesheet"' in answer.content.decode()


def test_a_tag_that_is_not_in_the_book_is_offered_to_be_looked_up(machinists_browser):
    answer = machinists_browser.get(reverse("tool", args=["C-0O11"]))

    page = answer.content.decode()
    assert answer.status_code == 404
    assert f'action="{reverse("tool_list")}"' in page
    assert 'name="text" value="C-0O11"' in page


def test_a_tag_in_an_address_is_only_text(machinists_browser):
    answer = machinists_browser.get("/t/<b>x/")

    assert "<b>x" not in answer.content.decode()
    assert "&lt;b&gt;x" in answer.content.decode()


def test_nobody_in_particular_is_led_from_nowhere_to_the_sign_in(client, db):
    answer = client.get("/nowhere/")

    assert answer.status_code == 404
    assert f'href="{reverse("sign_in")}">Sign in' in answer.content.decode()


@pytest.mark.parametrize(
    ("address", "page"),
    [("/t/C-0001/issue/", "/t/C-0001/"), ("/buying/want/", "/buying/"), ("/sign-out/", "/")],
)
def test_an_address_for_a_button_leads_to_the_page_of_the_button(machinists_browser, address, page):
    answer = machinists_browser.get(address)

    assert answer.status_code == 405
    assert answer["Allow"]
    assert f'href="{page}">To that page' in answer.content.decode()


def test_what_is_too_large_is_refused_before_it_is_read(machinists_browser):
    answer = machinists_browser.post(
        reverse("password"), b"", content_type="application/octet-stream", headers={"content-length": str(33 * 1024**2)}
    )

    assert answer.status_code == 413
    assert "at most 32 MB" in words(answer)


def test_a_form_with_too_many_fields_is_too_large_as_well(machinists_browser, settings):
    settings.DATA_UPLOAD_MAX_NUMBER_FIELDS = 3

    answer = machinists_browser.post(reverse("password"), {f"field{number}": "" for number in range(4)})

    assert answer.status_code == 413


def test_a_name_that_the_computer_was_not_told_of_is_answered_with_what_to_do(client, db):
    answer = client.get("/", headers={"host": "crib.example.com"})

    assert answer.status_code == 400
    assert "ALLOWED_HOSTS" in words(answer)


def test_a_fault_of_our_own_is_called_that_and_shows_nothing_of_it(faulty):
    answer = faulty.get("/fail/")

    assert answer.status_code == 500
    assert "a fault of Gripbook, not of yours" in words(answer)
    assert "ZeroDivision" not in answer.content.decode()


def test_a_press_that_failed_leads_back_to_its_page_and_to_no_other_site(faulty):
    def back(referer):
        page = faulty.post("/fail/", headers={"host": "testserver", "referer": referer}).text
        return re.search(r'class="button" href="([^"]*)"', page)[1]

    assert back("http://testserver/t/C-0011/?a=1") == "/t/C-0011/?a=1"
    assert back("http://example.com/t/C-0011/") == "/"


# Messages of SQLite 3 (result codes SQLITE_BUSY and SQLITE_LOCKED) and of PostgreSQL (SQLSTATE 40P01 and 55P03).
@pytest.mark.parametrize(
    "said",
    [
        "database is locked",
        "database table is locked: inventory_tool",
        "deadlock detected\nDETAIL:  Process 1 waits for ShareLock on transaction 2",
        "canceling statement due to lock timeout",
    ],
)
def test_a_book_that_is_locked_is_busy_and_asked_again_soon(faulty, said):
    answer = faulty.get("/busy/", {"said": said})

    assert (answer.status_code, answer["Retry-After"]) == (503, "5")
    assert "The book is busy" in words(answer)


def test_a_database_that_cannot_be_reached_is_told_on_a_page_with_its_look(without_database):
    answer = without_database.get(reverse("tool_list"))

    assert (answer.status_code, answer["Retry-After"]) == (503, "30")
    assert "The book cannot be reached" in words(answer)
    assert '<link rel="stylesheet"' in answer.content.decode()
    assert "no route" not in answer.content.decode()


@pytest.mark.parametrize(
    "ask", [{"path": "/find.json?size=1"}, {"path": "/", "headers": {"accept": "application/json"}}]
)
def test_a_program_is_told_in_json_that_the_database_cannot_be_reached(without_database, ask):
    answer = without_database.get(**ask)

    assert (answer.status_code, answer["Retry-After"]) == (503, "30")
    assert answer.json()["error"]["message"] == "The database cannot be reached."


def test_a_program_is_told_in_json_that_there_is_nothing(client, db):
    answer = client.get("/nowhere.json")

    assert answer.status_code == 404
    assert answer.json()["error"]["message"] == "There is no page at this address."
