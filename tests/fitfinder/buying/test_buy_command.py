"""`manage.py buy`, from rows of the book to what it prints."""

import json
from datetime import date
from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone

from inventory.models import Ask, Condition, KeptBar, Want
from tests import factories


@pytest.fixture
def shop(db):
    """A lathe that takes 5C, and one price for all round 5C."""
    factories.lathe("Lathe 1")
    factories.closer()
    factories.price(cents=2850)


def buy(*arguments):
    printed = StringIO()
    call_command("buy", *arguments, stdout=printed)
    return printed.getvalue()


def buy_json(*arguments):
    return json.loads(buy(*arguments, "--json"))


def refused(*arguments):
    printed, complained = StringIO(), StringIO()
    with pytest.raises(SystemExit) as stopped:
        call_command("buy", *arguments, stdout=printed, stderr=complained)
    return stopped.value.code, printed.getvalue(), complained.getvalue()


def sizes(answer):
    return [line["size"]["in"] for line in answer["lines"]]


def ask(read_as="0.8125 in round, measured", question="size=13%2F16", **fields):
    values = {"verdict": "chuck", "asked_on": date(2026, 3, 18), "times": 3, **fields}
    return Ask.objects.create(read_as=read_as, question=question, **values)


def test_the_json_has_all_that_other_programs_were_promised(shop):
    factories.kept_bar("3/4", weight=5)

    answer = buy_json()

    assert (answer["cost"], answer["bound"], answer["proved"], answer["greedy_cost"]) == (
        "28.50",
        "28.50",
        True,
        "28.50",
    )
    assert (answer["met"], answer["uncovered"]) == (5.0, [])
    line = answer["lines"][0]
    assert (line["series"], line["shape"], line["price"]) == ("5C", "round", "28.50")
    assert line["size"] == {"nm": 19050000, "in": "0.7500", "mm": "19.050"}
    assert line["covers"] == ["3/4 in round, nominal, cold drawn steel, carbon to 0.28 % (1018, 12L14)"]


def test_what_stays_uncovered_says_why(shop):
    factories.kept_bar("2")

    answer = buy_json()

    assert [item["demand"][:10] for item in answer["uncovered"]] == ["2 in round"]
    assert (
        answer["uncovered"][0]["why"]
        == "no size of any series here is sure to hold all of it: it may be off by 0.0030 in"
    )


def test_hex_in_millimetres_is_bought_as_its_own_size(shop):
    factories.price(shape="hex", cents=3500)
    factories.kept_bar("13 mm", shape="hex", grade="")

    assert [(line["shape"], line["size"]["mm"]) for line in buy_json()["lines"]] == [("hex", "13.000")]


def test_a_budget_is_kept(shop):
    factories.kept_bar("3/4", weight=5)
    factories.kept_bar("1/2", weight=9)

    answer = buy_json("--budget", "$30")

    assert (sizes(answer), answer["cost"], answer["met"]) == (["0.5000"], "28.50", 9.0)


@pytest.mark.parametrize("condition", [Condition.GOOD, Condition.WORN])
def test_bar_that_a_usable_piece_holds_is_not_bought_for(shop, condition):
    factories.kept_bar("3/4")
    factories.collet("3/4", condition=condition)

    assert buy_json()["lines"] == []


@pytest.mark.parametrize(
    "fields",
    [
        {"condition": Condition.DAMAGED},
        {"condition": Condition.SCRAPPED},
        {"missing_since": date(2026, 3, 1)},
        {"retired_at": timezone.now()},
    ],
    ids=["damaged", "scrapped", "missing", "retired"],
)
def test_a_piece_that_cannot_be_used_does_not_count(shop, fields):
    factories.kept_bar("3/4")
    factories.collet("3/4", **fields)

    assert sizes(buy_json()) == ["0.7500"]


def test_a_piece_that_is_out_comes_back_and_is_not_bought_again(shop):
    factories.kept_bar("3/4")
    factories.loan(factories.collet("3/4"))

    assert buy_json()["lines"] == []


@pytest.mark.parametrize(("state", "count"), [("wanted", 1), ("ordered", 0), ("received", 1), ("dropped", 1)])
def test_a_size_that_is_on_order_is_not_bought_again(shop, state, count):
    factories.kept_bar("3/4")
    factories.want(factories.size("3/4"), state=state)

    assert len(buy_json()["lines"]) == count


def test_what_was_last_paid_is_the_price_where_none_is_entered(shop):
    factories.kept_bar("3/4")
    factories.collet("3/4", cost_cents=2000, condition=Condition.DAMAGED)
    factories.collet("3/4", cost_cents=2650, condition=Condition.DAMAGED)

    line = buy_json()["lines"][0]

    assert (line["price"], line["price_basis"]) == ("26.50", "last paid")


def test_an_entered_price_goes_before_what_was_last_paid(shop):
    factories.kept_bar("3/4")
    factories.collet("3/4", cost_cents=2650, condition=Condition.DAMAGED)
    factories.price("3/4", cents=3000)

    assert buy_json()["cost"] == "30.00"


def test_a_size_of_another_series_is_only_bought_where_a_lathe_takes_it(shop):
    factories.kept_bar("18.45 mm", grade="")
    factories.price(series="ER32", cents=900)

    answer = buy_json()

    assert answer["lines"] == []
    assert answer["uncovered"][0]["why"].startswith("19 mm round ER32 would hold it, but no closer or collet chuck")


def test_a_set_on_the_list_names_its_sizes(shop):
    factories.kept_bar("1/4")
    factories.kept_bar("1/2")
    factories.price_set("1/4", "1/2", "3/4", name="Three", cents=5000)

    line = buy_json()["lines"][0]

    assert (line["kind"], line["size"], line["set"]["name"]) == ("set", None, "Three")
    assert [size["in"] for size in line["set"]["sizes"]] == ["0.2500", "0.5000", "0.7500"]


def test_what_people_asked_for_is_demand_too_with_how_often_as_its_weight(shop):
    ask()

    answer = buy_json()

    assert (sizes(answer), answer["met"]) == (["0.8125"], 3.0)


def test_what_was_dismissed_is_no_demand(shop):
    ask(dismissed_at=timezone.now())

    assert buy_json()["lines"] == []


def test_bar_that_is_kept_and_asked_for_counts_once(shop):
    factories.kept_bar("0.8125", grade="", weight=2)
    ask()

    assert buy_json()["met"] == 2.0


def test_a_grade_that_the_tables_have_lost_is_told(shop):
    KeptBar.objects.create(size="3/4", grade="oak")

    answer = buy_json()

    assert answer["uncovered"][0]["demand"] == "3/4 round oak"
    assert answer["uncovered"][0]["why"].startswith("it cannot be read any more: “oak” is no stock grade")


def test_an_empty_book_buys_nothing(db):
    answer = buy_json()

    assert (answer["lines"], answer["cost"], answer["proved"]) == ([], "0.00", True)


def test_the_terminal_gets_the_list_the_proof_and_the_time(shop):
    factories.kept_bar("3/4")
    factories.kept_bar("2")

    text = buy()

    assert text.startswith("Buy 1 thing for $28.50")
    assert "Proved: no choice among these prices" in text
    assert "Stays without: 2 in round" in text
    assert "Worked out in" in text


@pytest.mark.parametrize("text", ["a lot", "-5", "1.234", "12..5"])
def test_a_budget_that_cannot_be_read_is_refused_with_a_sentence(db, text):
    code, _, complaint = refused(f"--budget={text}")

    assert code == 2
    assert complaint.startswith(f"budget: “{text}” is not an amount of money.")


def test_a_budget_that_cannot_be_read_is_an_object_for_a_program(db):
    code, printed, _ = refused("--budget=a lot", "--json")

    error = json.loads(printed)["error"]
    assert (code, error["field"], error["read"]) == (2, "budget", "a lot")


def test_buying_changes_nothing_in_the_book(shop):
    factories.kept_bar("3/4")

    buy()

    assert Want.objects.count() == 0
