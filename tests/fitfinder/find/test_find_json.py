"""`/find.json`: the same answer for other programs."""

import json
from io import StringIO

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from inventory.models import ReadToken
from tests import factories


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1")
    factories.closer()
    factories.collet("3/4", tag="C-0011")


@pytest.fixture
def token(administrator):
    return ReadToken.objects.make(name="saw", by=administrator)


def find(client, size="3/4", *, token=None, **question):
    headers = {"Authorization": f"Bearer {token}"} if token else {}
    return client.get(reverse("find_json"), {"size": size, **question}, headers=headers)


def test_whoever_is_signed_in_gets_the_answer(shop, client_of):
    answer = find(client_of("machinist"))

    assert answer.status_code == 200
    assert answer.json()["verdict"] == "holds"


def test_a_read_token_gets_the_answer(shop, token):
    answer = find(Client(), token=token)

    assert (answer.status_code, answer.json()["grips"][0]["tag"]) == (200, "C-0011")


def test_it_is_the_answer_that_the_command_prints(shop, client_of):
    out = StringIO()
    call_command("fit", "3/4", "--grade", "cold-drawn", "--tir", ".001", "--json", stdout=out)

    answer = find(client_of("machinist"), grade="cold-drawn", tir=".001").json()

    assert answer == json.loads(out.getvalue())


def test_without_either_it_is_401_as_json(shop):
    answer = find(Client())

    assert (answer.status_code, answer["Content-Type"]) == (401, "application/json")
    assert "Bearer" in answer.json()["error"]["message"]
    assert answer["WWW-Authenticate"] == "Bearer"


def test_a_token_that_was_never_made_is_refused(shop, token):
    assert find(Client(), token=f"{token}x").status_code == 401


@pytest.mark.parametrize("header", ["", "Bearer", "Bearer ", "Basic c2F3OnNhdw=="])
def test_a_header_without_a_token_is_refused(header, shop):
    answer = Client().get(reverse("find_json"), {"size": "3/4"}, headers={"Authorization": header})

    assert answer.status_code == 401


def test_a_revoked_token_is_refused(shop, token):
    ReadToken.objects.update(revoked_at=timezone.now())

    assert find(Client(), token=token).status_code == 401


def test_a_read_token_opens_no_page(shop, token):
    answer = Client().get(reverse("find"), headers={"Authorization": f"Bearer {token}"})

    assert answer.status_code == 302


@pytest.mark.parametrize(
    ("question", "field"),
    [
        ({"size": "three quarters"}, "size"),
        ({"size": ""}, "size"),
        ({"size": "3/4", "grade": "wood"}, "grade"),
        ({"size": "3/4", "shape": "oval"}, "shape"),
        ({"size": "3/4", "lathe": "Lathe 9"}, "lathe"),
        ({"size": "3/4", "tir": "little"}, "tir"),
        ({"size": "3/4", "unit": "cubit"}, "unit"),
    ],
)
def test_what_cannot_be_read_is_400_naming_the_field(question, field, shop, client_of):
    answer = find(client_of("machinist"), **question)

    assert answer.status_code == 400
    assert answer.json()["error"]["field"] == field


@pytest.mark.parametrize("size", ["3/4-10", "M12x1.75", "1/2 NPT", "3/4 knurled", "20 mm chrome plated", "3/4 to 10"])
def test_what_no_size_of_a_bar_tells_is_400_and_says_what_to_measure(size, shop, client_of):
    answer = find(client_of("machinist"), size)

    assert (answer.status_code, answer.json()["error"]["field"]) == (400, "size")
    assert answer.json()["error"]["read"] == size


def test_a_unit_in_the_address_is_never_asked_back(shop, client_of):
    client = client_of("machinist")

    assert find(client, "40", unit="in").json()["stock"]["largest"]["in"] == "40.0000"
    assert find(client, "40").json()["error"]["suggest"] == "40 mm"


def test_nothing_on_hand_is_an_answer_too(shop, client_of):
    answer = find(client_of("machinist"), "2 in")

    assert (answer.status_code, answer.json()["verdict"]) == (200, "nothing")


def test_what_is_out_to_the_one_who_asks_counts_as_here(shop, client_of, machinist):
    factories.loan(factories.collet("1/2", tag="C-0012"), to=machinist)

    assert find(client_of(machinist), "1/2").json()["verdict"] == "holds"
    assert find(client_of("machinist"), "1/2").json()["verdict"] == "nothing"


def test_asking_changes_nothing_so_it_is_only_read(shop, client_of):
    assert client_of("machinist").post(reverse("find_json"), {"size": "3/4"}).status_code == 405
