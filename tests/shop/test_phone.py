"""The page that connects a phone: an address that other machines of the shop can open, as a code."""

from django.urls import reverse

from shop.server import network


def phone(client, **headers):
    return client.get(reverse("phone"), **headers).content.decode()


def test_the_address_stands_as_a_code_and_as_text(client_of):
    page = phone(client_of("machinist"))

    assert 'aria-label="The code of http://testserver"' in page
    assert "<b>http://testserver/</b>" in page


def test_a_phone_is_not_sent_to_the_computers_own_address(client_of):
    page = phone(client_of("machinist"), headers={"host": "localhost:8000"})

    assert "http://localhost:8000" not in page
    assert f"http://{network.local_address()}:8000" in page


def test_an_address_that_was_set_for_the_site_comes_first(client_of, settings):
    settings.PUBLIC_URL = "https://gripbook.example"

    assert "<b>https://gripbook.example/</b>" in phone(client_of("machinist"))


def test_only_an_administrator_is_led_to_people(client_of):
    assert reverse("people") in phone(client_of("administrator"))
    assert reverse("people") not in phone(client_of("keeper"))
