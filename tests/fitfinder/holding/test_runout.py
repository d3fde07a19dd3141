"""How truly a grip runs: the worst case of its links."""

import pytest

from fitfinder.holding import runout
from fitfinder.holding.chains import Chain
from fitfinder.holding.runout import MEASURED, TYPICAL, UNKNOWN
from inventory.measures.lengths import Length, parse
from tests.fitfinder import on_hand


def along(collet, *links, lathe=None, typical="0.0005"):
    chain = Chain(lathe=lathe or on_hand.lathe(tir="0.0001"), links=links)
    return chain.runout_to(collet, typical=on_hand.length(typical))


def test_measured_links_add_up():
    run = along(on_hand.collet(tir="0.0003"), on_hand.closer(tir="0.0002"))

    assert (run.total, run.basis) == (parse("0.0006"), MEASURED)


def test_a_good_collet_without_a_reading_counts_as_typical():
    run = along(on_hand.collet(), on_hand.closer(tir="0.0002"))

    assert (run.total, run.basis) == (parse("0.0008"), TYPICAL)


def test_a_reading_beats_what_is_typical():
    assert along(on_hand.collet(tir="0.0009"), typical="0.0005").total == parse("0.001")


def test_one_unknown_link_leaves_the_sum_unknown():
    run = along(on_hand.collet(tir="0.0003"), on_hand.closer())

    assert (run.total, run.basis) == (None, UNKNOWN)
    assert run.known == parse("0.0004")


def test_a_nose_that_nobody_measured_leaves_the_sum_unknown():
    assert along(on_hand.collet(tir="0.0003"), lathe=on_hand.lathe(tir=None)).total is None


def test_a_worn_collet_without_a_reading_is_unknown_and_never_typical():
    assert along(on_hand.collet(condition="worn")).basis == UNKNOWN


def test_a_worn_collet_with_a_reading_counts_as_read():
    assert along(on_hand.collet(condition="worn", tir="0.0011")).total == parse("0.0012")


def test_a_reading_taken_in_the_holder_counts_the_holder_once():
    closer = on_hand.closer(tir="0.0002")
    run = along(on_hand.collet(tir="0.0006", tir_in_holder=closer.id), closer)

    assert run.total == parse("0.0007")
    assert closer.tag not in [part.name for part in run.parts]


def test_a_reading_taken_in_another_holder_does_not_cover_this_one():
    closer, other = on_hand.closer(tir="0.0002"), on_hand.closer()
    run = along(on_hand.collet(tir="0.0006", tir_in_holder=other.id), closer)

    assert run.total == parse("0.0009")


def test_a_reading_taken_on_the_lathe_counts_its_nose_once():
    lathe = on_hand.lathe(tir="0.0001")

    assert along(on_hand.collet(tir="0.0006", tir_on_lathe=lathe.id), lathe=lathe).total == parse("0.0006")
    assert along(on_hand.collet(tir="0.0006", tir_on_lathe=lathe.id + 1000), lathe=lathe).total == parse("0.0007")


def test_a_drawbar_does_not_run_out():
    run = along(on_hand.collet(tir="0.0003"), on_hand.drawbar(), on_hand.collet_chuck(tir="0.0004"))

    assert run.total == parse("0.0008")


def test_the_sum_restarts_where_something_is_dialled_in():
    run = runout.restarted("dialled in", parse("0.0005"))

    assert (run.total, run.basis) == (parse("0.0005"), TYPICAL)


def test_dialled_in_without_a_figure_is_unknown():
    assert runout.restarted("dialled in", None).total is None


def test_the_axis_is_off_by_half_rounded_up():
    assert runout.restarted("dialled in", Length(5)).axis_off == Length(3)


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        pytest.param("0.0006", True, id="just as asked"),
        pytest.param("0.0007", True, id="better than asked"),
        pytest.param("0.0005", False, id="worse than asked"),
        pytest.param(None, None, id="nothing asked"),
    ],
)
def test_a_known_sum_meets_what_was_asked_or_misses_it(asked, expected):
    run = along(on_hand.collet(tir="0.0005"))

    assert run.meets(on_hand.length(asked)) is expected


def test_an_unknown_sum_leaves_it_open():
    assert along(on_hand.collet(condition="worn")).meets(parse("0.001")) is None


def test_what_is_known_of_an_unknown_sum_can_be_too_much_already():
    run = along(on_hand.collet(tir="0.002"), on_hand.closer())

    assert run.meets(parse("0.001")) is False


def test_outside_the_true_zone_the_marked_run_out_is_not_promised():
    collet = on_hand.collet(tir="0.0003")

    assert on_hand.grip("0.749", holding=collet, asked="0.001").meets_tir is True
    assert on_hand.grip("0.7465", holding=collet, asked="0.001").meets_tir is None


def test_outside_the_true_zone_a_known_miss_stays_a_miss():
    collet = on_hand.collet(tir="0.002")

    assert on_hand.grip("0.7465", holding=collet, asked="0.001").meets_tir is False
