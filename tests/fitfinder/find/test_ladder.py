"""What to do when the right collet is not in its drawer: who has it, what is on its way, what else there is."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from fitfinder.find.question import Question
from fitfinder.find.telling import answer_json, answer_text
from fitfinder.holding.ladder import Rung
from fitfinder.holding.method import Method
from fitfinder.plan.question import JobQuestion
from fitfinder.plan.telling import as_json, as_text
from inventory.measures.lengths import parse
from inventory.models import Kind, Want
from tests import factories

pytestmark = pytest.mark.one_database("rules of an answer; test_every_piece.py tries its reader on each database")

DUE = date(2026, 12, 4)


@pytest.fixture
def lathe(db):
    found = factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tag="H-0061")
    return found


@pytest.fixture
def kim(db):
    return factories.user("machinist", name="kim")


def find(size="3/4", *, by=None, **texts):
    return Question.from_texts({"size": size, **texts}).answer(asker_id=by.pk if by else None)


def rungs(answer):
    return [(step.rung, step.tag) for step in answer.ladder]


def test_what_a_colleague_has_comes_first_and_the_blank_last(lathe, kim):
    factories.loan(factories.collet(tag="C-0011"), to=kim, due_on=DUE)
    factories.want(factories.size(), state=Want.State.ORDERED, expected_on=DUE)
    factories.chuck(tag="K-0081", mounted_on=lathe)
    factories.blank(tag="C-0046")

    answer = find()

    assert rungs(answer) == [
        (Rung.COLLEAGUE, "C-0011"),
        (Rung.ON_ORDER, ""),
        (Rung.ON_THE_LATHE, "K-0081"),
        (Rung.BLANK, "C-0046"),
    ]
    assert answer.ladder[0].sentence == (
        f"Fetch C-0011 from kim, out since {timezone.localdate()}, due back 2026-12-04: 3/4 round, 5C would hold it."
    )


def test_find_and_the_plan_tell_the_same_ladder(lathe, kim):
    factories.loan(factories.collet(tag="C-0011"), to=kim)
    factories.want(factories.size())
    factories.chuck(tag="K-0081", mounted_on=lathe)
    factories.blank(tag="C-0046")

    plan = JobQuestion.from_texts({"size": "3/4"}).plan(asker_id=None)

    assert rungs(plan) == rungs(find())


def test_a_collet_that_is_here_needs_no_ladder(lathe):
    factories.collet("3/4")
    factories.want(factories.size())

    assert (find().ladder, find().wants) == ((), ())
    assert JobQuestion.from_texts({"size": "3/4"}).plan(asker_id=None).ladder == ()


def test_a_holder_that_a_colleague_has_is_fetched_too(db, kim):
    factories.lathe("Lathe 1")
    factories.loan(factories.closer(tag="H-0061"), to=kim, due_on=DUE)
    factories.collet(tag="C-0011")

    answer = find()
    (entry,) = answer_json(answer)["left_out"]

    assert rungs(answer) == [(Rung.COLLEAGUE, "H-0061")]
    assert (entry["tag"], entry["who"], entry["due"]) == ("C-0011", "kim", "2026-12-04")


def test_what_is_damaged_or_lost_is_no_rung(lathe):
    factories.collet(tag="C-0011", condition="damaged")
    factories.collet(tag="C-0012", notes="lost")

    assert find().ladder == ()


def test_another_lathe_that_was_not_asked_about_is_a_rung(lathe):
    factories.lathe("Lathe 2", nose="L00")
    factories.collet("3/4", tag="C-0011")

    answer = find(lathe="Lathe 2")

    assert rungs(answer) == [(Rung.ANOTHER_LATHE, "C-0011")]
    assert "on Lathe 1" in str(answer.ladder[0])


@pytest.mark.parametrize(
    ("state", "expected", "words"),
    [
        (Want.State.WANTED, None, "to order"),
        (Want.State.APPROVED, DUE, "approved, expected 2026-12-04"),
        (Want.State.ORDERED, DUE, "on order, expected 2026-12-04"),
    ],
)
def test_a_want_that_stands_is_told_with_when_it_is_expected(state, expected, words, lathe):
    factories.want(factories.size(), state=state, expected_on=expected)

    answer = find()

    assert answer.headline.endswith(f" A 3/4 round 5C was asked on {timezone.localdate()}, {words}.")
    assert f"Asked for: 3/4 round 5C, asked on {timezone.localdate()}, {words}" in answer_text(answer)
    (want,) = answer_json(answer)["wants"]
    assert (want["state"], want["expected"], want["series"]) == (state, expected and "2026-12-04", "5C")
    assert want["size"]["nm"] == parse("3/4").nm


@pytest.mark.parametrize("state", [Want.State.RECEIVED, Want.State.DROPPED])
def test_a_want_that_is_over_is_not_told(state, lathe):
    factories.want(factories.size(), state=state)

    assert answer_json(find())["wants"] == []


def test_a_want_of_a_size_that_would_not_hold_it_is_not_told(lathe):
    factories.want(factories.size("1/2"))
    factories.want(factories.size("3/4", shape="hex"), by=factories.user("keeper"))

    assert find().wants == ()


def test_of_several_wants_that_is_a_rung_which_comes_first(lathe):
    factories.want(factories.size(), state=Want.State.APPROVED)
    soon = factories.size("0.7500", series="16C")
    factories.want(soon, state=Want.State.ORDERED, expected_on=timezone.localdate() + timedelta(days=2))

    (step,) = find().ladder

    assert step.want.series == "16C"


def test_the_page_says_when_it_comes_and_does_not_offer_to_ask_again(lathe, client_of):
    factories.want(factories.size(), state=Want.State.APPROVED, expected_on=DUE)

    page = client_of("machinist").get(reverse("find"), {"size": "3/4"}).content.decode()

    assert f"Asked on {timezone.localdate()}, approved, expected 2026-12-04." in page
    assert "Ask purchasing for it" not in page


def test_what_was_not_asked_for_can_be(lathe, client_of):
    factories.want(factories.size("1/2"))

    page = client_of("machinist").get(reverse("find"), {"size": "3/4"}).content.decode()

    assert "Ask purchasing for it" in page


def test_hex_bar_in_millimetres_can_be_asked_for(lathe, client_of):
    answer = find("14 mm", shape="hex")

    assert (answer.gap.series, answer.gap.size.mm_text) == ("5C", "14.000")


def test_the_page_of_the_plan_tells_the_ladder(lathe, kim, client_of):
    factories.loan(factories.collet(tag="C-0011"), to=kim)

    page = client_of("machinist").get(reverse("plan"), {"size": "3/4"}).content.decode()

    assert "Not in the drawer: in this order" in page
    assert "1. Fetch C-0011 from kim" in page


def test_before_a_blank_is_bored_the_plan_says_whom_to_ask(lathe, kim):
    factories.loan(factories.collet(tag="C-0011"), to=kim)
    factories.blank(tag="C-0046")

    way = JobQuestion.from_texts({"size": "3/4"}).plan(asker_id=None).by(Method.COLLET)

    assert str(way.reasons[0]).startswith("before a blank is bored: C-0011 would hold it, but is out to kim since")


def lost(size="3/4", tag="C-0012", **fields):
    return factories.collet(size, tag=tag, missing_since=date(2026, 10, 5), **fields)


LOST = "C-0012 would hold it, but is missing since 2026-10-05."


@pytest.mark.parametrize("others", ["", "holder", "chuck"])
def test_what_is_lost_is_said_in_the_sentence_where_it_would_have_been(others, lathe):
    lost()
    if others == "holder":
        factories.collet_chuck(tag="H-0099", mount="D1-4", takes="ER40")
        factories.collet("20 mm", series="ER40", tag="C-0099")
    if others == "chuck":
        factories.chuck(tag="K-0081")

    answer = find()

    assert "C-0012" in answer.headline
    assert "is missing since 2026-10-05." in answer.headline
    assert answer.headline.count("C-0012") == 1
    assert all(grip.piece.tag != "C-0012" for grip in answer.grips)


def test_what_is_lost_is_not_said_where_another_piece_does_as_well(lathe):
    lost()
    lost("49/64", tag="C-0013")
    factories.collet(tag="C-0011")

    assert "missing since" not in find().headline


def test_a_note_that_says_lost_is_said_in_the_sentence_too(lathe):
    factories.collet(tag="C-0012", notes="Lost since summer")
    factories.chuck(tag="K-0081")

    assert "C-0012 would hold it, but is lost, as its note says." in find().headline


def test_a_lost_chuck_is_said_where_none_of_its_kind_is_told(lathe):
    factories.chuck(tag="K-0081", missing_since=date(2026, 10, 5))
    factories.chuck(tag="K-0082", kind=Kind.INDEPENDENT_CHUCK, jaws=4)
    assert "K-0081 would hold it, but is missing since 2026-10-05." in find("4").headline

    factories.chuck(tag="K-0083", outside=("1", "5"))
    assert "K-0081" not in find("4").headline


@pytest.mark.parametrize("kind", ["collet", "chuck"])
def test_the_plan_says_what_is_lost_beside_the_way_that_takes_another(kind, lathe):
    factories.collet_chuck(tag="H-0099", mount="D1-4", takes="ER40")
    factories.collet("20 mm", series="ER40", tag="C-0099")
    factories.chuck(tag="K-0081")
    if kind == "collet":
        lost()
    else:
        factories.chuck(tag="C-0012", missing_since=date(2026, 10, 5))

    plan = JobQuestion.from_texts({"size": "3/4"}).plan(asker_id=None)
    of_kind = Method.COLLET if kind == "collet" else Method.UNIVERSAL_CHUCK

    assert [way.method for way in plan.ways if way.lost] == [of_kind]
    assert f"{plan.by(of_kind).lost}." == LOST
    assert as_text(plan).count("C-0012") == 1
    assert sum(LOST.rstrip(".") in reason for way in as_json(plan)["ways"] for reason in way["reasons"]) == 1


def test_a_chain_with_an_unknown_link_is_never_told_without_its_doubt(lathe):
    factories.collet("7/8", series="16C", tag="C-0099")
    factories.closer(tag="H-0099", takes="16C", mount=None)

    answer = find("7/8")

    assert answer.verdict == "holds"
    assert answer.headline.endswith("Not checked: H-0099 has details missing.")
