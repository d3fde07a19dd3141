"""The people of the shop: entered, given a role, closed and let in again by an administrator."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from inventory.models import User
from shop.door.people import PersonForm
from tests import factories

PASSWORD = "turning-left-handed-7"


@pytest.fixture
def administrator(db):
    return factories.user("administrator", name="boss")


@pytest.fixture
def browser(client_of, administrator):
    return client_of(administrator)


def entered(browser, **changed):
    typed = {"username": "sam", "role": "keeper", "password": PASSWORD} | changed
    return browser.post(reverse("person_add"), typed, follow=True).content.decode()


def changed(browser, person, **typed):
    typed = {"username": person.username, "role": person.role, "is_active": "on"} | typed
    answer = browser.post(reverse("person_edit", args=[person.pk]), typed, follow=True).content.decode()
    person.refresh_from_db()
    return answer


def signs_in(name, password=PASSWORD):
    return Client().post(reverse("sign_in"), {"username": name, "password": password}).status_code == 302


def test_a_persons_page_says_where_they_are_signed_in_and_who_was_refused(browser):
    person = factories.user("keeper", name="sam")
    person.set_password(PASSWORD)
    person.save()
    page = reverse("person_edit", args=[person.pk])
    assert "never yet" in browser.get(page).content.decode()

    phone = Client(REMOTE_ADDR="10.1.2.3", HTTP_USER_AGENT="Phone of the shop")
    phone.post(reverse("sign_in"), {"username": "sam", "password": PASSWORD})
    Client(REMOTE_ADDR="10.9.9.9").post(reverse("sign_in"), {"username": "sam", "password": "guessed"})

    words = browser.get(page).content.decode()
    assert "Phone of the shop" in words and "from 10.1.2.3" in words
    assert "typed under this name once" in words and "from 10.9.9.9" in words


def test_a_person_is_entered_with_a_role_and_signs_in(browser):
    page = entered(browser)

    assert User.objects.get(username="sam").may_keep
    assert signs_in("sam")
    assert "sam may sign in now" in page
    assert PASSWORD not in page


def test_an_administrator_is_entered_with_all_rights(browser):
    entered(browser, role="administrator")

    assert User.objects.get(username="sam").is_superuser


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"username": ""}, "Name to sign in with"),
        ({"username": "boss"}, "already exists"),
        ({"password": "short"}, "at least 12 characters"),
        ({"password": ""}, "Password"),
        ({"role": "captain"}, "Role"),
    ],
)
def test_a_person_that_cannot_be_entered_is_told_why_and_what_was_typed_stays(browser, typed, said):
    page = entered(browser, first_name="Samantha", **typed)

    assert said in page
    assert "Not saved yet" in page
    assert 'value="Samantha"' in page
    assert User.objects.count() == 1


def test_the_list_says_of_each_the_role_and_whether_they_ever_signed_in(browser):
    factories.user("purchasing", name="pat")

    page = browser.get(reverse("people")).content.decode()

    assert '<th scope="row">pat</th>' in page
    assert "purchasing" in page
    assert "never signed in yet" in page


def test_who_is_alone_is_told_to_enter_the_others(browser):
    assert "Only you can sign in." in browser.get(reverse("people")).content.decode()


def test_a_role_is_changed(browser):
    person = factories.user("machinist", name="sam")

    changed(browser, person, role="purchasing")

    assert person.may_buy


def test_a_closed_sign_in_lets_nobody_in_and_puts_its_phones_out(browser, client_of):
    person = factories.user("machinist", name="sam", password=PASSWORD)
    phone = client_of(person)

    changed(browser, person, is_active="")

    assert not signs_in("sam")
    assert phone.get(reverse("desk")).status_code == 302


def test_a_new_password_ends_a_lock(browser):
    person = factories.user("machinist", name="sam", password="forgotten-4711")
    for number in range(6):
        signs_in("sam", f"wrong {number}")

    changed(browser, person, password=PASSWORD)

    assert signs_in("sam")


def test_without_a_new_password_the_old_one_stays(browser):
    person = factories.user("machinist", name="sam", password=PASSWORD)

    changed(browser, person, first_name="Samuel")

    assert signs_in("sam")


@pytest.mark.parametrize("typed", [{"role": "keeper"}, {"is_active": ""}])
def test_an_administrator_does_not_lock_the_last_door_from_outside(browser, administrator, typed):
    page = changed(browser, administrator, **typed)

    assert "another" in page
    assert administrator.may_administer
    assert administrator.is_active


@pytest.mark.parametrize(("typed", "field"), [({"role": "keeper"}, "role"), ({"is_active": ""}, "is_active")])
def test_of_two_who_shut_each_other_out_at_once_one_stays(administrator, typed, field):
    other = factories.user("administrator", name="chief")
    # By the time that the second press is judged the first one is kept.
    User.objects.filter(pk=administrator.pk).update(is_active=False)

    form = PersonForm(
        {"username": "chief", "role": "administrator", "is_active": "on"} | typed, instance=other, by=administrator
    )

    assert form.errors == {field: ["chief is the last administrator who may sign in. Enter another one first."]}


def test_an_administrator_may_close_another_one(browser):
    other = factories.user("administrator", name="chief")

    changed(browser, other, is_active="")

    assert not other.is_active


def test_the_administration_does_not_shut_out_the_last_one_either(browser, administrator):
    day = {"date_joined_0": "2026-03-18", "date_joined_1": "12:00:00"}

    page = browser.post(
        reverse("admin:inventory_user_change", args=[administrator.pk]),
        {"username": "boss", "role": "keeper", "is_active": "on"} | day,
    ).content.decode()

    administrator.refresh_from_db()
    assert "boss is the last administrator who may sign in." in page
    assert administrator.may_administer


def test_nobody_is_deleted(browser):
    person = factories.user("machinist", name="sam")

    assert browser.post(reverse("admin:inventory_user_delete", args=[person.pk]), {"post": "yes"}).status_code == 403
    assert User.objects.filter(pk=person.pk).exists()


def test_people_are_put_in_order_by_the_heads_of_their_table(browser):
    factories.user("purchasing", name="pat")
    factories.user("keeper", name="ann")

    def order(asked):
        page = browser.get(reverse("people"), {"order": asked}).content.decode()
        return [name for name in re.findall(r'<th scope="row">(\w+)</th>', page) if name in ("ann", "pat")]

    assert (order("name"), order("-name"), order("role")) == (["ann", "pat"], ["pat", "ann"], ["ann", "pat"])


def test_the_rules_for_a_password_are_a_list_and_not_its_marks(client_of):
    page = client_of("keeper").get(reverse("password")).content.decode()

    assert "<ul><li>" in page
    assert "&lt;li&gt;" not in page


@pytest.mark.parametrize("asks", ["id__in=" + "9" * 25, "date_joined__year=-1", "last_login__year=" + "9" * 25])
def test_columns_that_the_list_of_people_does_not_offer_cannot_be_asked_for(client_of, asks):
    browser = client_of("administrator")

    assert browser.get(f"{reverse('admin:inventory_user_changelist')}?{asks}").status_code == 400


def test_an_empty_column_in_the_address_of_a_person_is_left_out(client_of):
    browser, person = client_of("administrator"), factories.user("machinist")

    assert browser.get(reverse("admin:inventory_user_change", args=[person.pk]), {"_to_field": ""}).status_code == 200
