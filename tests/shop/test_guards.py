"""What stands behind the door: first passwords, idle devices, the password again, a second factor, closed sign-ins."""

import subprocess
import sys
from datetime import datetime, timedelta

import pyotp
import pytest
from django.conf import settings
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inventory.models import Deed, ReadToken, User
from shop.backup.making import make
from tests import factories
from tests.commands import run
from tests.shop.test_door import tried
from tests.shop.test_failures import MANAGE, environment_of
from tests.shop.test_trouble import words

PASSWORD = "a-shop-full-of-chips"


@pytest.fixture
def clock(monkeypatch):
    """Sets the clock of the machine on by so much."""
    began = timezone.now()
    return lambda later: monkeypatch.setattr(timezone, "now", lambda: began + later)


@pytest.fixture
def administrators_browser(administrator):
    client = Client()
    tried(administrator.username, PASSWORD, client)
    return client


class TestFirstPassword:
    def test_is_changed_at_the_first_sign_in_before_anything_else(self, administrators_browser):
        sent = {"username": "sam", "role": "keeper", "password": "millrace-4711-sam"}
        administrators_browser.post(reverse("person_add"), sent)
        sam = Client()
        tried("sam", "millrace-4711-sam", sam)

        assert sam.get(reverse("find"))["Location"] == reverse("password")
        assert sam.post(reverse("want_thing"), {"what": "Oil"})["Location"] == reverse("password")
        new = "my-own-4712-password"
        typed = {"old_password": "millrace-4711-sam", "new_password1": new, "new_password2": new}
        sam.post(reverse("password"), typed)
        assert sam.get(reverse("find")).status_code == 200

    @pytest.mark.parametrize(("password", "said"), [("short-4711x", "at least 12"), ("password123456", "too common")])
    def test_is_long_and_not_common(self, administrators_browser, password, said):
        page = administrators_browser.post(
            reverse("person_add"), {"username": "sam", "role": "keeper", "password": password}
        )

        assert said in words(page)

    def test_of_the_demo_needs_no_change(self, db):
        factories.user("keeper", name="keeper")
        client = Client()
        tried("keeper", PASSWORD, client)

        assert client.get(reverse("find")).status_code == 200


class TestIdle:
    @pytest.mark.parametrize(("role", "unused", "is_out"), [
        ("machinist", timedelta(days=29), False), ("machinist", timedelta(days=31), True),
        ("administrator", timedelta(hours=11), False), ("administrator", timedelta(hours=13), True),
    ])  # fmt: skip
    def test_a_device_that_is_not_used_is_signed_out(self, role, unused, is_out, clock, db):
        person, client = factories.user(role), Client()
        tried(person.username, PASSWORD, client)
        clock(unused)

        answer = client.get(reverse("desk"))

        assert (answer.status_code == 302) == is_out
        assert bool(Session.objects.exists()) != is_out

    def test_one_that_is_used_now_and_then_stays(self, machinist, clock):
        client = Client()
        tried(machinist.username, PASSWORD, client)
        for days in (20, 40, 60):
            clock(timedelta(days=days))
            assert client.get(reverse("desk")).status_code == 200

    def test_a_note_of_use_that_somebody_else_wrote_counts_for_nothing(self, machinist, clock):
        client = Client()
        tried(machinist.username, PASSWORD, client)
        client.cookies["gripbook_seen"] = f"{int(datetime.now().timestamp()) + 10**8}:forged"
        clock(timedelta(days=31))

        assert client.get(reverse("desk")).status_code == 302


class TestPasswordAgain:
    @pytest.mark.parametrize("name", ["people", "person_add", "tokens", "backup", "second_factor", "admin:index"])
    def test_is_asked_after_a_quarter_of_an_hour(self, administrators_browser, administrator, clock, name):
        clock(timedelta(minutes=16))

        asked = administrators_browser.get(reverse(name))

        assert asked["Location"].startswith(reverse("confirm"))
        wrong = administrators_browser.post(asked["Location"], {"password": "no", "next": reverse(name)})
        assert "That is not your password" in words(wrong)
        right = administrators_browser.post(asked["Location"], {"password": PASSWORD, "next": reverse(name)})
        assert right["Location"] == reverse(name)
        assert administrators_browser.get(reverse(name)).status_code == 200

    def test_nothing_is_done_before_it(self, administrators_browser, clock):
        clock(timedelta(minutes=16))

        administrators_browser.post(reverse("tokens"), {"name": "screen"})

        assert not ReadToken.objects.exists()

    def test_it_never_leads_to_another_site(self, administrators_browser):
        sent = {"password": PASSWORD, "next": "//evil.example/"}

        assert administrators_browser.post(reverse("confirm"), sent)["Location"] == reverse("desk")


class TestSecondFactor:
    @pytest.fixture
    def secret(self, administrators_browser):
        page = administrators_browser.get(reverse("second_factor"))
        secret = page.context["secret"]
        sent = {"sealed": page.context["sealed"], "code": pyotp.TOTP(secret).now()}
        assert administrators_browser.post(reverse("second_factor"), sent).status_code == 302
        return secret

    def test_the_password_alone_opens_no_longer(self, administrator, secret):
        client = Client()

        half = tried(administrator.username, PASSWORD, client)

        assert half["Location"].startswith(reverse("sign_in_code"))
        assert client.get(reverse("desk"))["Location"].startswith(reverse("sign_in"))

    def test_the_code_opens_and_once_only(self, administrator, secret):
        for is_open in (True, False):
            client, code = Client(), pyotp.TOTP(secret).now()
            tried(administrator.username, PASSWORD, client)
            answer = client.post(reverse("sign_in_code"), {"code": code, "next": reverse("desk")})
            assert (answer.status_code == 302) == is_open

    def test_guessed_codes_lock_the_name(self, administrator, secret):
        client = Client()
        tried(administrator.username, PASSWORD, client)
        for _ in range(6):
            client.post(reverse("sign_in_code"), {"code": "000000"})

        assert client.post(reverse("sign_in_code"), {"code": pyotp.TOTP(secret).now()}).status_code != 302

    def test_a_lost_phone_is_told_at_the_machine(self, administrator, secret):
        assert run("second_factor_off", administrator.username)[0] == 0
        assert tried(administrator.username, PASSWORD)["Location"] == reverse("find")
        assert {"factor on", "factor off"} <= set(Deed.objects.values_list("act", flat=True))


class TestDevices:
    def test_are_listed_and_ended_one_by_one(self, machinist):
        here, phone = Client(headers={"user-agent": "Desk browser"}), Client(headers={"user-agent": "Phone browser"})
        for device in (here, phone):
            tried(machinist.username, PASSWORD, device)
        page = here.get(reverse("devices"))
        name = next(one.name for one in page.context["devices"] if one.browser == "Phone browser")

        here.post(reverse("devices"), {"device": name})

        assert "Phone browser" in words(page)
        assert phone.get(reverse("desk")).status_code == 302
        assert here.get(reverse("desk")).status_code == 200

    def test_of_another_person_are_not_ended(self, machinist, keeper):
        mine, theirs = Client(), Client()
        tried(machinist.username, PASSWORD, mine)
        tried(keeper.username, PASSWORD, theirs)
        name = theirs.get(reverse("devices")).context["devices"][0].name

        mine.post(reverse("devices"), {"device": name})

        assert theirs.get(reverse("desk")).status_code == 200


def test_a_sign_in_that_is_opened_again_revives_no_device_and_no_token(administrator):
    other = factories.user("administrator")
    client = Client()
    tried(other.username, PASSWORD, client)
    text = ReadToken.objects.make(name="screen", by=other)
    assert ReadToken.objects.is_good(text)

    for is_active in (False, True):
        other.is_active = is_active
        other.save()

    assert client.get(reverse("desk")).status_code == 302
    assert not ReadToken.objects.is_good(text)


def test_a_token_dies_when_its_maker_is_administrator_no_more(administrator):
    other = factories.user("administrator")
    text = ReadToken.objects.make(name="screen", by=other)
    User.objects.filter(pk=other.pk).update(role="machinist", is_staff=False, is_superuser=False)

    assert not ReadToken.objects.is_good(text)


def test_no_page_with_a_person_on_it_is_kept_by_a_browser(client_of):
    assert client_of("machinist").get(reverse("my_pieces"))["Cache-Control"] == "no-store"


def test_what_was_administered_stands_on_a_page(administrators_browser, administrator):
    person = factories.user("machinist", name="sam")
    administrators_browser.post(
        reverse("person_edit", args=[person.pk]), {"username": "sam", "role": "keeper", "password": ""}
    )
    administrators_browser.post(reverse("tokens"), {"name": "stock room screen"})
    b"".join(administrators_browser.post(reverse("backup")).streaming_content)

    page = words(administrators_browser.get(reverse("administration")))

    assert "Sign-in closed : sam" in page or "Sign-in closed: sam" in page
    assert "sam: machinist → crib keeper" in page
    assert "stock room screen" in page
    assert "Backup taken" in page
    assert f"by {administrator.username}, from 127.0.0.1" in page
    narrowed = words(administrators_browser.get(reverse("administration"), {"act": "token", "order": "-when"}))
    assert "stock room screen" in narrowed and "sam: machinist" not in narrowed
    assert "Nothing is like that" in words(administrators_browser.get(reverse("administration"), {"text": "nobody"}))


def test_a_backup_at_the_machine_is_kept_as_such(administrator, tmp_path):
    run("backup", str(tmp_path / "book.zip"))

    assert Deed.objects.filter(act="backup", by=None, about="book.zip").exists()
    assert make(tmp_path / "again.zip").rows_of("inventory.deed") >= 2


def test_under_https_cookies_are_for_this_host_alone(tmp_path):
    code = "from shop import settings as s; print(s.SESSION_COOKIE_NAME, s.CSRF_COOKIE_NAME, s.SESSION_COOKIE_SECURE)"
    made = {**environment_of(tmp_path / "book.sqlite3"), "HTTPS": "on"}

    told = subprocess.run([sys.executable, "-c", code], env=made, cwd=MANAGE.parent, capture_output=True, text=True)

    assert told.stdout.split() == ["__Host-gripbook_session", "__Host-gripbook_csrf", "True"]
    assert not settings.SESSION_COOKIE_NAME.startswith("__Host-")
