"""The desk, and the read tokens behind it."""

from datetime import date

import pytest
from django.urls import reverse

from inventory.models import Kind, ReadToken
from tests import factories


def desk(client):
    return client.get(reverse("desk")).content.decode()


@pytest.fixture
def administrators_browser(client_of, administrator):
    return client_of(administrator)


def test_a_desk_on_which_nothing_waits_says_so(client_of):
    factories.collet()

    page = desk(client_of("keeper"))

    assert "Everything is returned." in page
    assert "The finder can consider every piece." in page


def test_the_desk_of_an_empty_book_begins_with_how_to_begin(client_of):
    page = desk(client_of("keeper"))

    assert "Nothing is in Gripbook yet" in page
    assert "Everything is returned." not in page
    assert page.index(reverse("import_sheet")) < page.index("Everything else</h2>")


def test_the_desk_begins_with_what_waits(client_of):
    factories.loan(factories.collet())

    page = desk(client_of("keeper"))

    assert '<h2 id="out">Out <small>1</small></h2></summary>' in page
    assert '<h2 id="overdue">Overdue <small>0</small></h2></summary>' in page


def test_the_desk_lists_what_waits_for_somebody(client_of, machinist):
    factories.loan(factories.collet(tag="C-0001"), to=machinist)
    factories.closer(tag="H-0001", through=None)
    factories.collet(tag="C-0002", missing_since=date(2026, 2, 1))
    factories.collet(tag="C-0003", condition="damaged", finding="cracked")

    page = desk(client_of("keeper"))

    for words in ("C-0001", f">{machinist}</a>", "H-0001", "since 2026-02-01", "C-0003", "cracked"):
        assert words in page


def test_a_long_list_leads_to_all_of_it(client_of):
    for _ in range(21):
        factories.piece(Kind.LATHE_DOG)

    page = desk(client_of("machinist"))

    assert f'{reverse("tool_list")}?state=details">All 21' in page


def test_a_full_desk_takes_no_more_queries(client_of, django_assert_num_queries, django_assert_max_num_queries):
    client = client_of("machinist")

    def fill(pieces):
        for _ in range(pieces):
            factories.loan(factories.closer(through=None))
            factories.counted(A4=1, B1=1)
            factories.collet(condition="damaged", missing_since=date(2026, 2, 1))

    fill(1)
    with django_assert_max_num_queries(32) as few:
        desk(client)
    fill(10)
    with django_assert_num_queries(len(few)):
        desk(client)


def test_only_administrators_see_people_and_tokens(client_of, administrators_browser):
    assert reverse("tokens") in desk(administrators_browser)
    assert reverse("people") in desk(administrators_browser)
    assert reverse("tokens") not in desk(client_of("keeper"))
    assert reverse("people") not in desk(client_of("keeper"))


def test_a_new_tokens_text_is_shown_once_and_lets_in(administrators_browser):
    answer = administrators_browser.post(reverse("tokens"), {"name": "Board by the crib"})

    text = answer.context["text"]
    assert text in answer.content.decode()
    assert ReadToken.objects.is_good(text)
    assert text not in administrators_browser.get(reverse("tokens")).content.decode()
    assert "no-store" in answer["Cache-Control"]


def test_a_token_without_a_name_is_not_made(administrators_browser):
    administrators_browser.post(reverse("tokens"), {"name": " "})

    assert not ReadToken.objects.exists()


def test_a_revoked_token_lets_nobody_in(administrators_browser, administrator):
    text = ReadToken.objects.make(name="Board", by=administrator)

    administrators_browser.post(reverse("token_revoke", args=[ReadToken.objects.get().pk]))

    assert not ReadToken.objects.is_good(text)


def test_an_administrator_enters_a_person_with_a_role(administrators_browser):
    password = "turning-left-handed-7"

    administrators_browser.post(
        reverse("admin:inventory_user_add"),
        {"username": "sam", "role": "administrator", "password1": password, "password2": password},
    )

    sam = type(factories.user()).objects.get(username="sam")
    assert sam.may_administer
    assert sam.is_staff


def test_an_administrator_changes_the_role_of_a_person(administrators_browser, machinist):
    address = reverse("admin:inventory_user_change", args=[machinist.pk])
    joined = machinist.date_joined

    administrators_browser.post(
        address,
        {
            "username": machinist.username,
            "role": "administrator",
            "is_active": "on",
            "date_joined_0": f"{joined:%Y-%m-%d}",
            "date_joined_1": f"{joined:%H:%M:%S}",
        },
    )

    machinist.refresh_from_db()
    assert machinist.may_administer
    assert machinist.is_superuser
