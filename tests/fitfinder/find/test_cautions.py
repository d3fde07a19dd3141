"""What can hurt, told where the numbers call for it and nowhere else."""

import pytest
from msgspec.structs import replace

from fitfinder.holding.rules import cautions
from inventory.measures import masses
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand


def cautions_of(text, *pieces, lathes=(), **asked):
    """The texts told with the leading way, of pieces and lathes whose speeds are known."""
    pieces = [replace(piece, max_rpm=piece.max_rpm or 3000) for piece in pieces]
    lathes = [replace(lathe, fastest_rpm=2500) for lathe in lathes]
    return [caution.text for caution in on_hand.answer(text, *pieces, lathes=lathes, **asked).grips[0].cautions]


def lb(number):
    return masses.parse(f"{number} lb")


def test_a_plain_hold_carries_no_caution():
    assert cautions_of("3/4", on_hand.collet(), on_hand.closer(), lathes=[on_hand.lathe()]) == []


def test_at_the_limit_the_bar_is_miked_along_its_length():
    (text,) = cautions_of("0.7548", on_hand.collet(tag="C-0011"), on_hand.closer(), lathes=[on_hand.lathe()])

    assert text.startswith("0.0002 in from the limit of C-0011")


def test_a_bar_exactly_at_the_limit_is_said_to_be_there():
    (text,) = cautions_of("0.755", on_hand.collet(tag="C-0011"), on_hand.closer(), lathes=[on_hand.lathe()])

    assert text.startswith("Exactly at the limit of C-0011")


def test_measure_first_says_what_the_collet_may_be_closed_on():
    texts = cautions_of(
        "3/4", on_hand.collet(tag="C-0011"), on_hand.closer(), lathes=[on_hand.lathe()], grade="hot-rolled"
    )

    assert "C-0011 only on stock from 0.7450 to 0.7550 in" in texts[0]


def test_bar_that_may_be_as_large_as_the_jaws_reach_is_told_that_they_are_at_their_end():
    chuck = on_hand.chuck(tag="K-0001", outside=("1/8", "2"))

    texts = cautions_of("1.990-2.000", chuck, lathes=[on_hand.lathe()])

    assert any(text.startswith("The jaws of K-0001 are at the end of their range") for text in texts)


def test_a_bar_that_does_not_pass_is_short_work():
    texts = cautions_of("3/4", on_hand.collet(), on_hand.closer(through="1/2"), lathes=[on_hand.lathe()])

    assert len(texts) == 1
    assert texts[0].startswith("Short work only")


def test_a_bar_of_which_it_is_not_known_whether_it_passes_is_not_called_short_work():
    assert cautions_of("3/4", on_hand.collet(), on_hand.closer(through=None), lathes=[on_hand.lathe()]) == []


@pytest.mark.parametrize(("pounds", "is_told"), [(24, False), (25, False), (26, True)])
def test_a_chuck_above_the_working_rule_is_not_lifted_alone(pounds, is_told):
    texts = cautions_of("2", on_hand.chuck(weight_ug=lb(pounds)), lathes=[on_hand.lathe()])

    assert any("not one person" in text for text in texts) is is_told


def test_a_heavy_chuck_that_is_on_the_lathe_already_needs_no_lifting():
    lathe = on_hand.lathe()

    assert cautions_of("2", on_hand.chuck(weight_ug=lb(80), mounted_on=lathe.id), lathes=[lathe]) == []


def test_what_has_to_come_off_first_is_told_as_that():
    lathe = on_hand.lathe()
    (text,) = cautions_of(
        "3/4",
        on_hand.collet(),
        on_hand.closer(),
        on_hand.chuck(tag="K-0064", mounted_on=lathe.id, weight_ug=lb(42)),
        lathes=[lathe],
    )

    assert text.startswith("K-0064, which comes off first, weighs 42.0 lb (19.1 kg): not one person over the bed.")


def test_two_heavy_pieces_are_told_in_one_sentence():
    lathe = on_hand.lathe()
    on_it = on_hand.chuck(tag="K-0064", mounted_on=lathe.id, weight_ug=lb(42), outside=("1/8", "1/4"))
    (text,) = cautions_of("3/4", on_hand.independent_chuck(tag="K-0082", weight_ug=lb(66)), on_it, lathes=[lathe])

    assert text.startswith(
        "K-0082 weighs 66.0 lb (29.9 kg), and K-0064, which comes off first, 42.0 lb (19.1 kg): not one person"
    )


def test_a_chuck_that_nobody_weighed_is_not_called_heavy():
    assert cautions_of("2", on_hand.chuck(weight_ug=None), lathes=[on_hand.lathe()]) == []


def test_a_threaded_nose_can_let_go_in_reverse():
    lathe = on_hand.lathe("Lathe 2", nose="1-1/2-8")
    (text,) = cautions_of("2", on_hand.chuck(tag="K-0001", mount="1-1/2-8"), lathes=[lathe])

    assert text.startswith("Lathe 2 has a threaded nose: K-0001 can unscrew.")


def test_a_camlock_nose_is_not_warned_about():
    assert cautions_of("2", on_hand.chuck(), lathes=[on_hand.lathe(nose="D1-4")]) == []


def test_the_speed_marked_on_a_chuck_is_told():
    (text,) = cautions_of("2", on_hand.chuck(tag="K-0001", max_rpm=2000), lathes=[on_hand.lathe()])

    assert text == "K-0001 is marked 2000 rpm at most."


def test_only_the_way_that_leads_speaks_for_the_answer():
    answer = on_hand.answer(
        "0.7548",
        on_hand.collet("0.7548", tag="clear"),
        on_hand.collet("3/4", tag="at its limit"),
        on_hand.closer(max_rpm=3000),
        lathes=[replace(on_hand.lathe(), fastest_rpm=2500)],
    )

    assert answer.grips[1].cautions
    assert answer.cautions == (cautions.DEFER,)


def test_every_answer_defers_to_the_makers_manuals():
    assert on_hand.answer("3/4").cautions == (cautions.DEFER,)


def test_every_caution_has_a_source():
    answer = on_hand.answer(
        "2", on_hand.chuck(weight_ug=lb(80), max_rpm=2000, mount="1-1/2-8"),
        lathes=[on_hand.lathe(nose="1-1/2-8")],
    )  # fmt: skip

    assert len(answer.cautions) == 4
    assert all(caution.source for caution in answer.cautions)


@pytest.mark.parametrize(("condition", "tir", "is_told"), [("good", "0.0012", True), ("good", "0.0010", False)])
def test_a_collet_over_its_limit_that_is_called_good_says_so(condition, tir, is_told):
    collet = replace(on_hand.collet(tag="C-0011", tir=tir, condition=condition), tir_limit=parse("0.0010"))
    texts = cautions_of("3/4", collet, on_hand.closer(), lathes=[on_hand.lathe()])

    told = "C-0011 reads 0.0012 in TIR, over its limit of 0.0010 in, and is still called good: inspect it."
    assert (told in texts) is is_told
