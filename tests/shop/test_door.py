"""Who gets in, and what is said to who does not."""

import re
from datetime import timedelta

import pytest
from axes.models import AccessFailureLog
from django.conf import settings
from django.db.models import F
from django.test import Client
from django.urls import URLResolver, get_resolver, reverse

from shop.door import slowed
from tests import factories

OPEN_DOORS = {
    "/health",
    "/sign-in/code/",
    "/sign-in/",
    "/admin/login/",
    "/out-of-reach/",
    "/reach.js",
    "/reach-card.js",
    "/guide/",
    "/guide/a/",
}
SAMPLES = {"int": "1", "slug": "a", "str": "a", "uuid": "00000000-0000-0000-0000-000000000000", "path": "a"}


def every_path(resolver=None, before="/"):
    """The path of each pattern, with something put in for what varies."""
    for pattern in (resolver or get_resolver()).url_patterns:
        path = before + _filled_in(str(pattern.pattern))
        if isinstance(pattern, URLResolver):
            yield from every_path(pattern, path)
        else:
            yield path


def _filled_in(route):
    route = re.sub(r"\(\?P<url>\.\*\)\$", "", route)
    route = re.sub(r"\(\?P<\w+>\[0-9\]\+\)", "1", route)
    route = re.sub(r"\(\?P<\w+>(\w+)\|[^)]*\)", r"\1", route)
    route = re.sub(r"\(\?P<\w+>[^)]*\)", "a", route).strip("^$")
    return re.sub(r"<(?:(\w+):)?\w+>", lambda found: SAMPLES.get(found[1] or "str", "a"), route)


def tried(name, password, client=None):
    return (client or Client()).post(reverse("sign_in"), {"username": name, "password": password})


@pytest.fixture
def mill_hand(db):
    return factories.user("machinist", name="mill-hand", password="right-4711-password")


def test_every_page_but_the_open_doors_asks_to_sign_in_first(client, db):
    let_in = {}
    for path in every_path():
        answer = client.get(path)
        sent_away = answer.status_code == 302 and answer["Location"].startswith(("/sign-in/", "/admin/login/"))
        refused_as_json = answer.status_code == 401 and answer["Content-Type"] == "application/json"
        if not sent_away and not refused_as_json:
            let_in[path] = answer.status_code

    assert let_in.keys() <= OPEN_DOORS
    assert "/sign-in/" in let_in


def test_signing_out_is_no_link_that_a_page_could_follow(client_of):
    assert client_of("machinist").get(reverse("sign_out")).status_code == 405


def test_the_right_password_lets_in_and_the_device_stays_signed_in_for_90_days(mill_hand):
    client = Client()

    answer = tried("mill-hand", "right-4711-password", client)

    assert answer["Location"] == reverse("find")
    assert client.cookies[settings.SESSION_COOKIE_NAME]["max-age"] == 90 * 24 * 60 * 60
    assert client.cookies[settings.SESSION_COOKIE_NAME]["httponly"]


def test_signing_in_leads_to_the_page_that_was_asked_for(mill_hand):
    answer = Client().post(
        reverse("sign_in"), {"username": "mill-hand", "password": "right-4711-password", "next": "/t/C-0011"}
    )

    assert answer["Location"] == "/t/C-0011"


def test_signing_in_never_leads_to_another_site(mill_hand):
    answer = Client().post(
        reverse("sign_in"),
        {"username": "mill-hand", "password": "right-4711-password", "next": "https://example.com/"},
    )

    assert answer["Location"] == reverse("find")


def test_a_wrong_password_is_told_in_words_and_the_name_stays_in_its_field(mill_hand):
    page = tried("mill-hand", "wrong").content.decode()

    assert "That name and password do not go together." in page
    assert 'value="mill-hand"' in page


def test_after_the_sixth_wrong_password_the_next_try_waits_and_is_told_how_long(mill_hand):
    answers = [tried("mill-hand", f"wrong {number}") for number in range(6)]

    assert [answer.status_code for answer in answers] == [200] * 5 + [429]
    assert "6 times or more from here within 15 minutes" in " ".join(answers[-1].content.decode().split())
    assert 50 <= int(answers[-1]["Retry-After"]) <= 60


def test_while_a_name_waits_the_right_password_is_not_looked_at_either(mill_hand):
    for number in range(6):
        tried("mill-hand", f"wrong {number}")

    assert tried("mill-hand", "right-4711-password").status_code == 429


def test_a_name_that_waits_locks_nobody_else_out(mill_hand):
    factories.user("keeper", name="crib-hand", password="right-4712-password")
    for number in range(6):
        tried("mill-hand", f"wrong {number}")

    assert tried("crib-hand", "right-4712-password").status_code == 302


def later(**of_time):
    """As if what was tried until now had been tried so much earlier."""
    AccessFailureLog.objects.update(attempt_time=F("attempt_time") - timedelta(**of_time))


def test_what_is_tried_while_a_name_waits_makes_it_wait_no_longer(mill_hand):
    for number in range(6):
        tried("mill-hand", f"wrong {number}")
    later(seconds=30)
    for number in range(20):
        assert tried("mill-hand", f"wrong {number}").status_code == 429
    later(seconds=31)

    assert tried("mill-hand", "right-4711-password").status_code == 302


def test_after_a_pause_one_try_is_looked_at_and_not_two(mill_hand):
    for number in range(6):
        tried("mill-hand", f"wrong {number}")
    later(seconds=61)

    tried("mill-hand", "wrong again")

    assert AccessFailureLog.objects.count() == 7
    assert tried("mill-hand", "right-4711-password").status_code == 429
    assert AccessFailureLog.objects.count() == 7


def test_a_neighbour_at_the_same_address_keeps_nobody_out_of_a_phone_of_their_own(mill_hand):
    phone = Client()
    tried("mill-hand", "right-4711-password", phone)
    phone.post(reverse("sign_out"))
    for number in range(60):
        tried("mill-hand", f"wrong {number}")

    assert tried("mill-hand", "right-4711-password").status_code == 429
    assert tried("mill-hand", "right-4711-password", phone).status_code == 302


def test_a_phone_that_was_signed_in_before_it_was_counted_is_remembered_as_well(mill_hand):
    phone = Client()
    phone.force_login(mill_hand, backend="django.contrib.auth.backends.ModelBackend")
    phone.get(reverse("find"))
    phone.post(reverse("sign_out"))
    for number in range(6):
        tried("mill-hand", f"wrong {number}")

    assert tried("mill-hand", "right-4711-password", phone).status_code == 302


def test_on_a_known_phone_as_well_nobody_guesses_without_end_nor_with_a_cookie_of_their_own(mill_hand):
    phone = Client()
    tried("mill-hand", "right-4711-password", phone)
    phone.post(reverse("sign_out"))

    answers = [tried("mill-hand", f"wrong {number}", phone).status_code for number in range(6)]

    assert answers == [200] * 5 + [429]
    phone.cookies["gripbook_device"] = "made-up:by:oneself"
    assert [tried("mill-hand", f"wrong {n}", phone).status_code for n in range(6)] == [200] * 5 + [429]


def test_a_phone_is_known_for_those_who_signed_in_on_it_and_for_nobody_else(mill_hand):
    factories.user("keeper", name="crib-hand", password="right-4712-password")
    phone = Client()
    tried("crib-hand", "right-4712-password", phone)
    for number in range(6):
        tried("mill-hand", f"wrong {number}")

    assert tried("mill-hand", "right-4711-password", phone).status_code == 429


def test_from_many_addresses_one_name_is_not_guessed_faster_and_its_own_phone_opens(mill_hand):
    phone = Client()
    tried("mill-hand", "right-4711-password", phone)
    answers = [
        tried("mill-hand", f"wrong {number}", Client(REMOTE_ADDR=f"10.0.0.{number}")).status_code
        for number in range(30)
    ]

    assert answers == [200] * 19 + [429] * 11
    assert AccessFailureLog.objects.count() == 20
    assert tried("mill-hand", "right-4711-password", phone).status_code == 302


def test_one_address_does_not_try_one_password_on_every_name(mill_hand):
    answers = [tried(f"somebody{number}", "the-usual-password").status_code for number in range(45)]

    assert answers == [200] * 39 + [429] * 6
    assert tried("mill-hand", "right-4711-password", Client(REMOTE_ADDR="10.0.0.9")).status_code == 302


def test_of_what_was_tried_no_name_is_written_down(mill_hand):
    tried("a-password-where-a-name-belongs", "x")

    held = AccessFailureLog.objects.values().get()
    assert not any("belongs" in str(value) for value in held.values())


def test_a_new_password_ends_the_waiting(mill_hand, client_of):
    for number in range(6):
        tried("mill-hand", f"wrong {number}")
    slowed.forget("mill-hand")

    assert tried("mill-hand", "right-4711-password").status_code == 302


def test_the_administration_has_no_door_of_its_own(client, db):
    assert client.get("/admin/login/?next=/admin/")["Location"] == "/sign-in/?next=/admin/"


@pytest.mark.parametrize(("role", "status"), [("machinist", 302), ("keeper", 302), ("administrator", 200)])
def test_only_an_administrator_administers(client_of, role, status):
    assert client_of(role).get("/admin/").status_code == status


def test_the_administration_wears_our_face_and_leads_to_people(client_of):
    page = client_of("administrator").get("/admin/inventory/user/").content.decode()

    assert "administration.css" in page
    assert f'href="{reverse("people")}"' in page


def test_the_policy_lets_no_inline_script_or_foreign_file_run(client, db):
    policy = client.get(reverse("sign_in"))["Content-Security-Policy"]

    assert "unsafe" not in policy
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy


def test_a_page_carries_no_style_of_its_own(client, db):
    answer = client.get(reverse("sign_in"))

    assert "style-src 'self'" in answer["Content-Security-Policy"].split("; ")
    assert "<style" not in answer.content.decode()


def test_a_changed_password_keeps_this_device_in_and_puts_the_others_out(mill_hand):
    here, elsewhere = Client(), Client()
    for device in (here, elsewhere):
        tried("mill-hand", "right-4711-password", device)
    new = "another-4713-password"

    here.post(
        reverse("password"),
        {"old_password": "right-4711-password", "new_password1": new, "new_password2": new},
    )

    assert here.get(reverse("password")).status_code == 200
    assert elsewhere.get(reverse("password")).status_code == 302


def test_while_there_is_nobody_the_sign_in_page_says_how_the_first_one_is_made(client, db):
    page = client.get(reverse("sign_in")).content.decode()

    assert "Nobody can sign in yet" in page
    assert "manage.py createsuperuser" in page


def test_once_there_is_somebody_the_sign_in_page_only_asks_who(client, mill_hand):
    assert "Nobody can sign in yet" not in client.get(reverse("sign_in")).content.decode()


def test_whoever_is_sent_back_from_a_page_is_told_why(client_of):
    page = client_of("machinist").get("/admin/", follow=True).content.decode()

    assert "You are signed in as" in page
    assert "who may not open that page" in page
