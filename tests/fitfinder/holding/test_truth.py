"""How far the work may run out between set-ups."""

import itertools

import pytest

from fitfinder.holding.method import Method
from fitfinder.holding.rules.truth import Counted, Regrip, between_setups
from fitfinder.holding.runout import MEASURED, Part, Runout
from inventory.measures.lengths import Length, parse
from inventory.reference import practice
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by

# 0.0001 of the nose and 0.0004 of the chuck at each gripping.
TRUE = (on_hand.chuck(tir="0.0004"), on_hand.independent_chuck(), *CENTERED)


@pytest.mark.parametrize("method", Method)
def test_with_one_set_up_nothing_is_gripped_again_and_no_way_fails(method):
    assert way_by(method, job("1", tir="0.00001"), *TRUE).true_enough is True


@pytest.mark.parametrize(("tir", "meets"), [("0.0005", True), ("0.0004", False)])
def test_with_one_set_up_the_tir_is_asked_of_its_gripping(tir, meets):
    way = way_by("universal chuck", job("1", tir=tir), *TRUE)

    assert way.runs_as_asked is meets
    assert f"{tir} in TIR in one gripping" in way.job.words
    assert f"{tir} in TIR between them" in job("1", tir=tir, setups="2").words


def test_what_misses_the_tir_of_its_one_gripping_ranks_behind_what_meets_it():
    rig = (on_hand.chuck(tir="0.0030", tag="K-1"), on_hand.independent_chuck(tag="K-2"))

    assert small_shop.lead(job("1", length="2"), *rig).tags[0] == "K-1"
    assert small_shop.lead(job("1", length="2", tir="0.0010"), *rig).tags[0] == "K-2"


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
    assert way_by("universal chuck", job("1", **texts), *TRUE).tir == parse(between)


@pytest.mark.parametrize(
    ("method", "figure"),
    [
        ("independent chuck", "independent 4-jaw"),
        ("faceplate", "faceplate"),
        ("soft jaws", "soft jaws"),
        ("split bushing", "split bushing"),
    ],
)
def test_what_is_dialled_in_or_bored_in_place_comes_in_at_each_gripping_too(method, figure):
    once = practice.run_out(figure).typical

    assert way_by(method, job("1", setups=2), *TRUE).tir == once * 2
    assert way_by(method, job("1", setups=2, regrip="turned"), *TRUE).tir == once


def test_put_back_between_centers_work_returns_to_its_axis():
    assert way_by("between centers", job("1", setups=4), *TRUE).tir == parse("0.0001")


@pytest.mark.parametrize(("head", "between"), [("0.0002", "0.0004"), ("0.0005", "0.0010")])
def test_turned_end_for_end_the_center_in_the_headstock_comes_in_twice(head, between):
    plate, _, *rest = CENTERED
    center = small_shop.center(Kind.DEAD_CENTER, mount="MT5", tir=head)

    assert way_by("between centers", job("1", setups=2, both_ends="yes"), plate, center, *rest).tir == parse(between)


def test_a_soft_center_cut_in_place_runs_out_nothing():
    _, _, *rest = CENTERED
    way = way_by("soft center", job("1", setups=2, both_ends="yes", tir="0.0001"), on_hand.chuck(), *rest)

    assert (way.tir, way.true_enough) == (Length(0), True)


def test_a_worn_center_without_a_reading_leaves_it_open():
    plate, _, *rest = CENTERED
    worn = small_shop.center(Kind.DEAD_CENTER, mount="MT5", condition="worn")
    way = way_by("between centers", job("1", setups=2, both_ends="yes", tir="0.01"), plate, worn, *rest)

    assert (way.tir, way.true_enough) == (None, None)


def test_on_its_mandrel_the_run_out_to_the_bore_comes_in_once():
    arbor = small_shop.mandrel(tir="0.0004")
    once = way_by("mandrel", job("1", bore="1/2"), arbor, *TRUE).tir

    assert way_by("mandrel", job("1", bore="1/2", setups=2), arbor, *TRUE).tir == once


def test_why_it_runs_out_between_set_ups_is_a_value():
    between = way_by("universal chuck", job("1", setups=2), *TRUE).between

    assert (between.regrip, between.counted, between.is_on_turned) == (Regrip.ADDS, Counted.TWICE, False)
    assert str(between) == "gripped again on the same surface, its run-out comes in twice: up to 0.0010 in TIR"


def test_every_reason_has_its_words():
    for regrip, setups, turned, ends in itertools.product(Regrip, (2, 3), ("same", "turned"), ("", "yes")):
        asked = job("1", setups=setups, regrip=turned, both_ends=ends)

        assert between_setups(asked, regrip, Runout.of(Part("it", parse("0.001"), MEASURED))).why


@pytest.mark.parametrize(("asked", "enough"), [("0.0009", False), ("0.001", True), ("0.0011", True)])
def test_a_way_is_true_enough_up_to_just_what_was_asked(asked, enough):
    assert way_by("universal chuck", job("1", setups=2, tir=asked), *TRUE).true_enough is enough


def test_with_nothing_asked_how_true_is_enough_stays_open():
    assert way_by("universal chuck", job("1", setups=2), *TRUE).true_enough is None


def test_a_worn_chuck_without_a_reading_is_not_known_to_be_true():
    way = way_by("universal chuck", job("1", setups=2, tir="0.01"), on_hand.chuck(condition="worn"))

    assert (way.tir, way.true_enough) == (None, None)


ASKS_FOR_MORE = {Method.MANDREL: {"bore": "1/2"}}
"""What a way asks of work besides that it is 1 in round."""


# A series, to say which collet is missing.
@pytest.mark.parametrize("method", Method)
def test_how_truly_a_way_holds_is_told_though_nothing_of_it_is_here(method):
    asked = job("1", **ASKS_FOR_MORE.get(method, {}))

    assert way_by(method, asked, series=[on_hand.series()]).tir is not None


def test_turned_end_for_end_on_a_soft_center_it_keeps_its_axis():
    rig = (on_hand.chuck(), small_shop.dog(), small_shop.center())
    between = way_by("soft center", job("1", length="8", both_ends="yes"), *rig).between

    assert (
        str(between) == "turned end for end on a center that was cut in place, it keeps its axis: under 0.0001 in TIR"
    )
