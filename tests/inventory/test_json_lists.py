"""`/tools.json`, `/loans.json` and `/sheets.json`: what is in the book, for other programs."""

from datetime import UTC, date, datetime

import pytest
from django.test import Client

from inventory.models import ReadToken, Tool
from inventory.web import json_pages
from tests import factories

LISTS = ["/tools.json", "/loans.json", "/sheets.json"]
THREE_QUARTERS = {"nm": 19_050_000, "in": "0.7500", "mm": "19.050"}


@pytest.fixture
def read(administrator):
    """Asks as a program does, with a read token; gives the JSON and refuses anything but 200."""
    token = ReadToken.objects.make(name="saw", by=administrator)

    def read(address, *, status=200):
        answer = Client().get(address, headers={"Authorization": f"Bearer {token}"})
        assert answer.status_code == status
        return answer.json()

    return read


def tags(listed):
    return [item["tag"] for item in listed["items"]]


@pytest.fixture
def two_a_page(monkeypatch):
    monkeypatch.setattr(json_pages, "PER_PAGE", 2)


@pytest.mark.parametrize("address", LISTS)
def test_without_a_token_a_list_is_401_as_json(address, db):
    answer = Client().get(address)

    assert (answer.status_code, answer.json()["error"]["field"]) == (401, "authorization")


@pytest.mark.parametrize("address", LISTS)
def test_a_list_of_nothing_is_one_empty_page(address, read):
    assert read(address) == {"items": [], "next": None}


def test_a_piece_has_its_lengths_exactly_and_in_both_units(read):
    factories.collet("3/4", tag="C-0011", location=factories.place("A2"), tir="0.0005", cost_cents=2805)

    (piece,) = read("/tools.json")["items"]

    assert (piece["tag"], piece["series"], piece["shape"], piece["location"]) == ("C-0011", "5C", "round", "A2")
    assert (piece["size"], piece["cost"]) == (THREE_QUARTERS, "28.05")
    assert piece["clamps_from"]["nm"] < piece["size"]["nm"] < piece["clamps_to"]["nm"]
    assert (piece["tir"]["in"], piece["pilot"], piece["out"]) == ("0.0005", None, None)


def test_a_piece_that_is_no_collet_has_what_it_mounts_on_holds_and_weighs(read):
    factories.chuck(tag="K-0081", outside=("1/8", "6"), weight_ug=20_000_000_000)

    (piece,) = read("/tools.json")["items"]

    assert (piece["mount"], piece["jaws"], piece["size"]) == ("D1-4", 3, None)
    assert (piece["outside_min"]["in"], piece["outside_max"]["in"]) == ("0.1250", "6.0000")
    assert piece["weight"] == {"kg": 20.0, "lb": 44.092}


def test_a_piece_that_is_out_says_who_has_it_since_when_and_until_when(read):
    dana = factories.user("machinist", name="Dana")
    factories.loan(
        factories.collet(tag="C-0011"), to=dana, at=datetime(2026, 11, 20, 15, tzinfo=UTC), due_on=date(2026, 12, 1)
    )

    (piece,) = read("/tools.json")["items"]

    assert piece["out"] == {"who": "Dana", "since": "2026-11-20", "due": "2026-12-01", "lathe": None}


def test_pieces_are_narrowed_as_in_the_list_of_pieces(read):
    factories.collet("3/4", tag="C-0011", location=factories.place("B7"))
    factories.collet("1/2", tag="C-0012")
    factories.chuck(tag="K-0081", mounted_on=factories.lathe("Lathe 1"), mounted_at="spindle")
    factories.collet("1/4", tag="C-0099", retired_at=datetime(2026, 11, 1, tzinfo=UTC))
    asked = ("", "?kind=collet", "?size=1/2", "?location=b7", "?lathe=lathe 1", "?tag=c-0012", "?state=retired")

    assert [tags(read(f"/tools.json{one}")) for one in asked] == [
        ["C-0011", "C-0012", "K-0081"],
        ["C-0011", "C-0012"],
        ["C-0012"],
        ["C-0011"],
        ["K-0081"],
        ["C-0012"],
        ["C-0099"],
    ]


def test_the_pages_follow_each_other_and_the_last_leads_nowhere(two_a_page, read):
    for number in (5, 3, 1, 4, 2):
        factories.collet(tag=f"C-000{number}")

    first = read("/tools.json?kind=collet")
    second = read(first["next"])
    last = read(second["next"])

    assert [tags(page) for page in (first, second, last)] == [["C-0005", "C-0003"], ["C-0001", "C-0004"], ["C-0002"]]
    assert (first["next"], last["next"]) == ("/tools.json?kind=collet&page=2", None)


def test_what_is_entered_meanwhile_moves_nothing_to_another_page(two_a_page, read):
    for tag in ("C-0005", "C-0006", "C-0007"):
        factories.collet(tag=tag)
    first = read("/tools.json")
    factories.collet(tag="A-0001")

    assert tags(first) + tags(read(first["next"])) == ["C-0005", "C-0006", "C-0007", "A-0001"]


def test_a_page_has_two_hundred_at_most(read):
    of_size = factories.size()
    Tool.objects.bulk_create(Tool(tag=f"C-{number:04}", kind="collet", size=of_size) for number in range(201))

    assert [len(read(f"/tools.json?page={page}")["items"]) for page in (1, 2)] == [200, 1]


@pytest.mark.parametrize("address", LISTS)
def test_a_page_that_there_is_not_is_400_and_says_what_is_accepted(address, read):
    for page in ("0", "2", "-1", "one", "1.5", "", "9" * 30, "²"):
        error = read(f"{address}?page={page}", status=400)["error"]

        assert (error["field"], error["read"]) == ("page", page)
        assert error["message"] == f"“{page}” is no page of this list. There is one page: write 1."


@pytest.mark.parametrize(
    ("address", "field", "accepted"),
    [
        ("/tools.json?lathe=Lathe 9", "lathe", "It has: Lathe 1."),
        ("/tools.json?size=large", "size", "large"),
        ("/tools.json?kind=spoon", "kind", "spoon"),
        ("/loans.json?state=lost", "state", "Write out, returned or all."),
        ("/loans.json?lathe=9", "lathe", "It has: Lathe 1."),
        ("/sheets.json?state=old", "state", "Write current, draft, in use, archived or all."),
    ],
)
def test_what_cannot_be_read_is_400_naming_the_field(address, field, accepted, read):
    factories.lathe("Lathe 1")

    error = read(address, status=400)["error"]

    assert (error["field"], error["read"]) == (field, address.partition("=")[2])
    assert accepted in error["message"]


def test_loans_are_those_that_are_out_unless_others_are_asked_for(read):
    dana, lathe = factories.user("machinist", name="Dana"), factories.lathe("Lathe 1")
    out = factories.loan(factories.collet("3/4", tag="C-0011"), to=dana, due_on=date(2026, 1, 2))
    back = factories.loan(factories.collet("1/2", tag="C-0012"), to=dana)
    type(back).objects.filter(pk=back.pk).update(returned_at=back.issued_at, returned_by=dana)
    type(out).objects.filter(pk=out.pk).update(lathe=lathe)

    (loan,) = read("/loans.json")["items"]

    assert (loan["tag"], loan["what"], loan["who"], loan["lathe"]) == (
        "C-0011",
        "3/4 round 5C collet",
        "Dana",
        "Lathe 1",
    )
    assert (loan["due"], loan["overdue"], loan["returned"]) == ("2026-01-02", True, None)
    assert tags(read("/loans.json?lathe=lathe 1")) == ["C-0011"]
    assert tags(read("/loans.json?state=returned")) == ["C-0012"]
    assert tags(read("/loans.json?state=all")) == ["C-0011", "C-0012"]


def test_a_setup_sheet_has_its_number_its_stock_its_pieces_and_what_it_cuts_in_order(read):
    closer, collet = factories.closer(tag="H-0061"), factories.collet("3/4", tag="C-0011")
    sheet = factories.setup_sheet(
        closer, collet, title="Pin", number="MW-4471", revision="C", lathe=factories.lathe("Lathe 1"),
        stock="3/4 in round", stock_smallest=collet.size.nominal, stock_largest=collet.size.nominal,
    )  # fmt: skip
    sheet.operations.create(order=1, does="facing", tool_words="left-hand", rpm=800, position="2")

    (item,) = read("/sheets.json")["items"]

    assert (item["number"], item["revision"], item["name"], item["lathe"]) == ("MW-4471", "C", "Pin", "Lathe 1")
    assert (item["state"], item["stock"]["largest"]) == ("draft", THREE_QUARTERS)
    assert [piece["tag"] for piece in item["pieces"]] == ["H-0061", "C-0011"]
    assert [(cut["does"], cut["tool"], cut["rpm"]) for cut in item["operations"]] == [("facing", "left-hand", 800)]


def test_setup_sheets_are_narrowed_by_state_number_and_lathe(read):
    long_ago, keeper = datetime(2026, 11, 1, tzinfo=UTC), factories.user()
    factories.setup_sheet(by=keeper, title="Draft", number="A-1")
    factories.setup_sheet(by=keeper, title="Used", number="A-1", revision="B", frozen_at=long_ago, frozen_by=keeper)
    factories.setup_sheet(by=keeper, title="Old", put_away_at=long_ago, lathe=factories.lathe("Lathe 1"))
    asked = ("", "?state=draft", "?state=in use", "?state=archived", "?state=all", "?number=a-1&revision=b")

    assert [[item["name"] for item in read(f"/sheets.json{one}")["items"]] for one in asked] == [
        ["Draft", "Used"],
        ["Draft"],
        ["Used"],
        ["Old"],
        ["Draft", "Used", "Old"],
        ["Used"],
    ]
    assert [item["name"] for item in read("/sheets.json?state=all&lathe=lathe 1")["items"]] == ["Old"]


def test_a_loan_names_its_job_and_a_piece_the_job_that_it_is_reserved_for(read):
    piece, keeper = factories.collet("3/4", tag="C-0011"), factories.user()
    sheet = factories.setup_sheet(piece, by=keeper, title="Pin", number="MW-4471")
    loan = factories.loan(piece)
    type(loan).objects.filter(pk=loan.pk).update(sheet=sheet)
    factories.reservation(piece, sheet=sheet, by=keeper)
    job = {"id": sheet.pk, "number": "MW-4471", "revision": None, "name": "Pin"}

    assert read("/loans.json")["items"][0]["job"] == job
    assert read("/tools.json")["items"][0]["reserved"]["job"] == job


@pytest.mark.parametrize("address", LISTS)
def test_a_full_page_costs_no_more_statements_than_a_short_one(address, read, django_assert_max_num_queries):
    for number in range(8):
        piece = factories.collet(tag=f"C-000{number}")
        factories.loan(piece)
        factories.setup_sheet(piece, by=factories.user("machinist", name=f"p{number}"))

    with django_assert_max_num_queries(10):
        read(address)
