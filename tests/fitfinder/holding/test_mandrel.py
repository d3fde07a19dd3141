"""By a finished bore: mandrels between centers, and arbors on their seat."""

import pytest
from msgspec.structs import replace

from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by


def test_work_with_a_bore_is_held_by_the_bore_and_not_by_its_ends():
    asked = job("1", bore="1/2")
    rig = [*CENTERED, small_shop.mandrel(tag="H-9", tir="0.0002")]

    assert not way_by("between centers", asked, *rig).can
    assert way_by("mandrel", asked, *rig).tags == ("H-1", "N-1", "D-1", "N-2", "H-9")


@pytest.mark.parametrize(("bore", "here"), [("0.4984", False), ("0.4985", True), ("0.5025", True), ("0.5026", False)])
def test_a_mandrel_takes_the_bores_of_its_range(bore, here):
    assert way_by("mandrel", job("1", bore=bore), *CENTERED, small_shop.mandrel()).is_here is here


def test_an_arbor_with_a_shank_goes_into_its_seat():
    arbor = replace(small_shop.mandrel("3/4", "1", tag="H-9"), kind="expanding arbor", mounts_in=on_hand.seat("5C"))
    way = way_by("mandrel", job("2", bore="7/8"), on_hand.closer(tag="H-1"), arbor)

    assert way.tags == ("H-1", "H-9")
