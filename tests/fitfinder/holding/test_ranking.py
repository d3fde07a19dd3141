"""The order of the ways to hold, best first."""

import pytest

from fitfinder.holding.chains import Chain
from fitfinder.holding.collets import ranking
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand

LATHE = on_hand.lathe(tir="0.0001")
ON_LATHE = Chain(lathe=LATHE)
UNCHECKED = Chain(lathe=LATHE, is_checked=False)


def tagged(tag, text="0.75", *, of="3/4", chain=ON_LATHE, asked=None, verdict=None, **fields):
    changes = {"verdict": verdict} if verdict else {}
    holding = on_hand.collet(of, tag=tag, **fields)
    return on_hand.grip(text, holding=holding, chain=chain, asked=asked, **changes)


def order(*grips, asked=False):
    ranked = ranking.best_first(grips, middle_nm=parse("0.75").nm, asked=asked)
    return [grip.piece.tag for grip in ranked]


# Each pair differs in one thing; the tags alone would put the worse one first.
PAIRS = [
    pytest.param(tagged("B"), tagged("A", chain=UNCHECKED), id="checked before unchecked"),
    pytest.param(
        tagged("B", verdict=Verdict.AT_THE_LIMIT),
        tagged("A", verdict=Verdict.HOLDS, chain=UNCHECKED),
        id="checked at the limit before unchecked that holds",
    ),
    pytest.param(tagged("B"), tagged("A", verdict=Verdict.AT_THE_LIMIT), id="holds before at the limit"),
    pytest.param(
        tagged("B", verdict=Verdict.AT_THE_LIMIT),
        tagged("A", verdict=Verdict.MEASURE_FIRST),
        id="at the limit before measure first",
    ),
    pytest.param(tagged("B", condition="worn", tir="0.0001"), tagged("A", "0.7465"), id="true zone before condition"),
    pytest.param(tagged("B"), tagged("A", condition="worn", tir="0.0001"), id="good before worn"),
    pytest.param(tagged("B", of="0.7505", mounted_on=LATHE.id), tagged("A"), id="mounted before nearest"),
    pytest.param(
        tagged("B"),
        tagged("A", chain=Chain(lathe=LATHE, links=(on_hand.closer(),))),
        id="fewer pieces to fit first",
    ),
    pytest.param(tagged("B"), tagged("A", of="0.751"), id="nearest to nominal"),
    pytest.param(tagged("B", tir="0.0002"), tagged("A", tir="0.0003"), id="truest of what is the same"),
    pytest.param(tagged("B"), tagged("A", typical=None), id="known before unknown"),
    pytest.param(tagged("A"), tagged("B"), id="the tag at last"),
]


@pytest.mark.parametrize(("better", "worse"), PAIRS)
def test_the_better_way_comes_first(better, worse):
    wanted = [better.piece.tag, worse.piece.tag]

    assert order(worse, better) == wanted
    assert order(better, worse) == wanted


def test_where_a_tir_is_asked_known_comes_before_typical_before_unknown_before_a_miss():
    grips = [
        tagged("A-misses", tir="0.002", asked="0.001"),
        tagged("B-unknown", typical=None, asked="0.001"),
        tagged("C-typical", asked="0.001"),
        tagged("D-measured", tir="0.0007", asked="0.001"),
    ]

    assert order(*grips, asked=True) == ["D-measured", "C-typical", "B-unknown", "A-misses"]


def test_the_asked_tir_comes_before_condition_and_after_the_verdict():
    worn = tagged("C", condition="worn", tir="0.0003", asked="0.001")
    good = tagged("A", tir="0.002", asked="0.001")
    at_the_limit = tagged("B", tir="0.0001", asked="0.001", verdict=Verdict.AT_THE_LIMIT)

    assert order(good, worn, at_the_limit, asked=True) == ["C", "A", "B"]


def test_three_pieces_of_a_size_stand_and_the_rest_are_counted():
    kept, more = ranking.shortlist([tagged(f"T-{number}") for number in range(5)])

    assert [grip.piece.tag for grip in kept] == ["T-0", "T-1", "T-2"]
    assert more == 2


def test_ten_sizes_stand_and_the_rest_are_counted():
    grips = [tagged(f"T-{number}", of=f"0.75{number:02d}") for number in range(12)]
    kept, more = ranking.shortlist(grips)

    assert [grip.piece.tag for grip in kept] == [f"T-{number}" for number in range(10)]
    assert more == 2


def test_a_further_piece_of_a_size_that_stands_is_kept_after_ten_sizes():
    grips = [tagged(f"T-{number}", of=f"0.75{number:02d}") for number in range(11)]
    kept, more = ranking.shortlist([*grips, tagged("again", of="0.7500")])

    assert kept[-1].piece.tag == "again"
    assert more == 1
