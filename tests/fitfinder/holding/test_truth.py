"""How far the work may run out between set-ups."""

import pytest

from fitfinder.holding.method import Method
from inventory.measures.lengths import parse
from inventory.reference import practice
from tests.fitfinder import on_hand
from tests.fitfinder.holding.small_shop import CENTERED, job, way

# 0.0001 of the nose and 0.0004 of the chuck at each gripping.
TRUE = (on_hand.chuck(tir="0.0004"), on_hand.independent_chuck(), *CENTERED)


@pytest.mark.parametrize("method", Method)
def test_with_one_set_up_nothing_is_gripped_again_and_no_way_fails(method):
    assert way(method, job("1", tir="0.00001"), *TRUE).true_enough is True


@pytest.mark.parametrize(
    ("texts", "between"),
    [
        ({"setups": 1}, "0.0005"),
        ({"setups": 2}, "0.0010"),
        ({"setups": 2, "regrip": "turned"}, "0.0005"),
        ({"setups": 3, "regrip": "turned"}, "0.0010"),
    ],
)
def test_a_universal_chuck_brings_its_run_out_in_at_each_gripping(texts, between):
    assert way("universal chuck", job("1", **texts), *TRUE).tir == parse(between)


@pytest.mark.parametrize(
    ("method", "figure"), [("independent chuck", "independent 4-jaw"), ("between centers", "between centers")]
)
def test_what_is_dialled_in_or_returns_to_its_centers_does_not_add_up(method, figure):
    assert way(method, job("1", setups=4), *TRUE).tir == practice.run_out(figure).typical


@pytest.mark.parametrize(("asked", "enough"), [("0.0009", False), ("0.001", True), ("0.0011", True)])
def test_a_way_is_true_enough_up_to_just_what_was_asked(asked, enough):
    assert way("universal chuck", job("1", setups=2, tir=asked), *TRUE).true_enough is enough


def test_with_nothing_asked_how_true_is_enough_stays_open():
    assert way("universal chuck", job("1", setups=2), *TRUE).true_enough is None


def test_a_worn_chuck_without_a_reading_is_not_known_to_be_true():
    found = way("universal chuck", job("1", setups=2, tir="0.01"), on_hand.chuck(condition="worn"))

    assert (found.tir, found.true_enough) == (None, None)


# A bore for what is held by it, and a series to say which collet is missing.
@pytest.mark.parametrize("method", Method)
def test_how_truly_a_way_holds_is_told_though_nothing_of_it_is_here(method):
    asked = job("1", bore="1/2") if method is Method.MANDREL else job("1")

    assert way(method, asked, series=[on_hand.series()]).tir is not None
