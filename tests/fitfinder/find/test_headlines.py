"""The sentence to act on, and which way leads where a TIR is asked."""

import pytest
from msgspec.structs import replace

from fitfinder.find.headlines import SENTENCE_OF_METHOD
from fitfinder.holding.method import Method
from tests.fitfinder import on_hand


@pytest.fixture
def lathe():
    return on_hand.lathe(tir="0.0001")


def tags(grips):
    return [grip.piece.tag for grip in grips]


def test_find_has_a_sentence_for_every_way_to_hold():
    assert set(SENTENCE_OF_METHOD) == set(Method)


def test_where_nothing_holds_the_headline_names_the_missing_size(lathe):
    answer = on_hand.answer("3/4", on_hand.closer(), lathes=[lathe], series=(on_hand.series(),))

    assert answer.headline == "Nothing on hand holds it. A 3/4 round 5C would: not in the crib."


def test_where_no_series_would_hold_it_the_headline_says_so(lathe):
    assert on_hand.answer("3/4", lathes=[lathe]).headline == (
        "Nothing on hand holds it, and no size of a series known here would."
    )


def test_where_only_a_piece_in_other_hands_would_hold_it_the_headline_says_whose(lathe):
    out = on_hand.collet(tag="C-0011", why_not="out to Kim")
    answer = on_hand.answer("3/4", out, on_hand.closer(), lathes=[lathe])

    assert answer.headline == "Nothing on hand holds it now: C-0011 would hold it, but is out to Kim."


def test_before_a_chuck_is_hung_on_the_headline_says_who_has_the_collet(lathe):
    out = on_hand.collet(tag="C-0011", why_not="out to Kim")
    answer = on_hand.answer("3/4", out, on_hand.closer(), on_hand.chuck(tag="K-0064"), lathes=[lathe])

    assert answer.headline.startswith("No collet here holds it. C-0011 would hold it, but is out to Kim. Use K-0064")


def test_before_a_blank_is_bored_the_headline_says_who_has_the_collet(lathe):
    out = on_hand.collet(tag="C-0011", why_not="out to Kim")
    answer = on_hand.answer(
        "3/4", out, on_hand.blank(tag="C-0046"), on_hand.closer(), lathes=[lathe], series=(on_hand.series(),)
    )

    assert answer.headline.startswith(
        "No collet here holds it. C-0011 would hold it, but is out to Kim. Bore blank C-0046"
    )


def test_a_damaged_collet_is_not_to_be_asked_for(lathe):
    damaged = on_hand.collet(tag="C-0011", why_not="damaged")
    answer = on_hand.answer("3/4", damaged, on_hand.closer(), on_hand.chuck(tag="K-0064"), lathes=[lathe])

    assert answer.headline.startswith("No collet here holds it. Use K-0064")


def test_the_headline_says_what_to_take_and_from_where(lathe):
    collet = on_hand.collet(tag="C-0011", location="A2")
    answer = on_hand.answer("3/4", collet, on_hand.closer(), lathes=[lathe])

    assert answer.headline == "Take C-0011 from drawer A2: 3/4 round 5C holds it."


def test_the_headline_sends_nobody_to_the_drawer_for_what_he_has(lathe):
    collet = on_hand.collet(tag="C-0011", location="A2", is_with_asker=True)
    answer = on_hand.answer("3/4", collet, on_hand.closer(), lathes=[lathe])

    assert answer.headline == "Take C-0011, with you: 3/4 round 5C holds it."


def test_the_headline_at_the_limit_says_how_near(lathe):
    answer = on_hand.answer("0.7548", on_hand.collet(tag="C-0011"), on_hand.closer(), lathes=[lathe])

    assert answer.headline == "Take C-0011: 3/4 round 5C holds it, 0.0002 in from its limit."


def test_the_headline_of_a_straddling_band_says_between_what_it_holds(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(tag="C-0011"), on_hand.closer(), lathes=[lathe], grade="hot-rolled")

    assert answer.headline == "Mic it first: C-0011, 3/4 round 5C, holds it from 0.7450 to 0.7550 in."


def test_a_collet_known_to_miss_the_asked_tir_does_not_lead_where_it_can_be_dialled_in(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tag="C-0011", tir="0.003"),
        on_hand.closer(tir="0.0002"),
        on_hand.independent_chuck(tag="K-0002"),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.grips[0].piece.tag == "K-0002"
    assert answer.headline == ("Dial it in: K-0002, independent chuck. 3/4 round 5C holds it, but runs 0.0033 or more.")


def test_the_verdict_stays_that_of_the_collet_where_dialling_in_leads(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tir="0.003"),
        on_hand.closer(),
        on_hand.independent_chuck(),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.verdict == "holds"


def test_a_collet_that_meets_the_asked_tir_leads_before_dialling_in(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tag="C-0011", tir="0.0003"),
        on_hand.closer(tir="0.0002"),
        on_hand.independent_chuck(),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.grips[0].piece.tag == "C-0011"
    assert answer.headline == "Take C-0011: 3/4 round 5C holds it."


def test_a_truer_collet_at_its_limit_leads_before_a_clear_one_that_misses(lathe):
    true_to_its_limit = on_hand.reach("0.7498", "0.7598", true=("0.7498", "0.7598"))
    meets = on_hand.collet("0.7548", tag="meets", tir="0.0003")
    answer = on_hand.answer(
        "0.750",
        on_hand.collet("3/4", tag="misses", tir="0.003"),
        replace(meets, size=replace(meets.size, reach=true_to_its_limit)),
        on_hand.closer(tir="0.0002"),
        lathes=[lathe],
        tir="0.001",
    )

    assert tags(answer.grips) == ["meets", "misses"]


def test_without_anything_truer_the_headline_admits_the_miss(lathe):
    answer = on_hand.answer(
        "3/4", on_hand.collet(tir="0.003"), on_hand.closer(tir="0.0002"), lathes=[lathe], tir="0.001"
    )

    assert answer.headline.endswith("It runs 0.0033 or more: known to miss the TIR that you asked for.")
    assert not answer.is_satisfying


def test_a_universal_chuck_that_meets_the_tir_leads_before_a_collet_known_to_miss_it(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tag="C-0011", tir="0.003"),
        on_hand.closer(),
        on_hand.chuck(tag="K-0064", tir="0.0005"),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.grips[0].piece.tag == "K-0064"


def test_dialling_in_leads_before_a_universal_chuck_that_would_do(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tir="0.003"),
        on_hand.closer(),
        on_hand.chuck(tag="K-0001", tir="0.0001"),
        on_hand.independent_chuck(tag="K-0002"),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.grips[0].piece.tag == "K-0002"


def test_a_universal_chuck_that_misses_the_asked_tir_too_does_not_lead(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tag="C-0011", tir="0.003"),
        on_hand.closer(),
        on_hand.chuck(tir="0.005"),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.grips[0].piece.tag == "C-0011"


def test_hot_rolled_bar_is_led_to_a_chuck_first(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(),
        on_hand.closer(),
        on_hand.chuck(tag="K-0001"),
        lathes=[lathe],
        grade="hot-rolled",
    )

    assert (answer.verdict, answer.grips[0].piece.tag) == ("measure first", "K-0001")
    assert answer.headline == (
        "Hot rolled bar is scaled and out of round: a chuck first. Use K-0001, universal chuck, 3 jaws."
    )


def test_a_run_out_that_is_only_typical_is_told_as_such(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(), on_hand.closer(tir="0.0002"), lathes=[lathe], tir="0.001")

    assert answer.headline.endswith("It typically runs that truly, but was not measured.")


def test_a_run_out_that_is_not_known_is_told_as_such(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(), on_hand.closer(), lathes=[lathe], tir="0.001")

    assert answer.headline.endswith("How truly it runs here is not known.")


def test_a_chuck_that_is_on_the_lathe_is_quicker_for_few_parts(lathe):
    answer = on_hand.answer(
        "3/4", on_hand.collet(), on_hand.closer(), on_hand.chuck(tag="K-0001", mounted_on=lathe.id), lathes=[lathe]
    )  # fmt: skip

    # 10 min for the closer and 2 for the collet, against half a minute more for each part.
    assert answer.headline.endswith("The universal chuck K-0001 is on Lathe 1 now: quicker for up to 24 parts.")


@pytest.mark.parametrize("case", ["chuck on the shelf", "closer mounted too"])
def test_otherwise_nothing_is_quicker(case, lathe):
    on_it = lathe.id if case == "closer mounted too" else None
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(),
        on_hand.closer(mounted_on=on_it),
        on_hand.chuck(mounted_on=on_it),
        lathes=[lathe],
    )

    assert answer.quicker is None


def test_a_chuck_that_is_not_true_enough_is_not_called_quicker(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.collet(tir="0.0001"),
        on_hand.closer(tir="0.0001"),
        on_hand.chuck(mounted_on=lathe.id),
        lathes=[lathe],
        tir="0.001",
    )

    assert answer.quicker is None


@pytest.mark.parametrize(
    ("text", "grade", "expected"),
    [("0.75", "", True), ("0.755", "", True), ("3/4", "hot-rolled", False), ("2", "", False)],
    ids=["holds", "at the limit", "measure first", "nothing"],
)
def test_a_question_is_satisfied_where_a_collet_surely_holds(text, grade, expected, lathe):
    answer = on_hand.answer(text, on_hand.collet(), on_hand.closer(), lathes=[lathe], grade=grade)

    assert answer.is_satisfying is expected


def test_what_holds_it_as_it_is_comes_before_a_blank_that_cannot_be_un_bored(lathe):
    pieces = (on_hand.blank(tag="C-0046"), on_hand.closer(), on_hand.chuck(tag="K-0001"))
    answer = on_hand.answer("0.921", *pieces, lathes=[lathe], series=[on_hand.series()])

    assert answer.verdict == "blank"
    assert answer.headline == (
        "No collet here holds it. Use K-0001, universal chuck, 3 jaws. Or bore blank C-0046 to 0.9210 in. "
        "A bore can only be opened later, never closed."
    )


def test_a_blank_leads_where_the_chuck_is_known_to_miss_the_tir(lathe):
    pieces = (on_hand.blank(tag="C-0046"), on_hand.closer(), on_hand.chuck(tag="K-0001", tir="0.004"))
    answer = on_hand.answer("0.921", *pieces, lathes=[lathe], series=[on_hand.series()], tir="0.001")

    assert answer.headline.startswith("No collet here holds it. Bore blank C-0046 to 0.921")
