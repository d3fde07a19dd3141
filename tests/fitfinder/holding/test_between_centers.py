"""Between centers: what drives the work, and what is missing for it."""

import pytest

from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way, words


def test_between_centers_takes_plate_spindle_center_dog_and_tailstock_center():
    assert way("between centers", job("1", length="8"), *CENTERED).tags == ("H-1", "N-1", "D-1", "N-2")


@pytest.mark.parametrize("left_out", ["H-1", "N-1"])
def test_without_plate_or_spindle_center_a_soft_center_is_turned_in_a_chuck(left_out):
    rig = [piece for piece in CENTERED if piece.tag != left_out]
    found = way("between centers", job("1"), *rig, on_hand.chuck(tag="K-1"))

    assert found.tags == ("K-1", "D-1", "N-2")
    assert any("cut again" in caution.text for caution in found.cautions)


@pytest.mark.parametrize(
    ("left_out", "missing"),
    [
        ("D-1", "no lathe dog for 1 in"),
        ("N-2", "no center for the MT3 tailstock of Lathe 1"),
        ("H-1", "no faceplate, and no chuck to turn a soft center in, for the nose of Lathe 1"),
    ],
)
def test_what_is_missing_between_centers_is_named(left_out, missing):
    rig = [piece for piece in CENTERED if piece.tag != left_out]

    assert words(way("between centers", job("1"), *rig).missing) == (missing,)


def test_a_spindle_center_comes_with_the_sleeve_that_it_needs():
    rig = [*CENTERED[:1], small_shop.center(Kind.DEAD_CENTER, mount="MT3", tag="N-1"), *CENTERED[2:]]
    rig += [on_hand.sleeve(mount="MT5", takes="MT3", tag="S-1")]

    assert way("between centers", job("1"), *rig).tags[:3] == ("H-1", "S-1", "N-1")


def test_the_sleeve_that_the_spindle_center_lacks_is_named():
    rig = [*CENTERED[:1], small_shop.center(Kind.DEAD_CENTER, mount="MT3", tag="N-1"), *CENTERED[2:]]

    assert words(way("between centers", job("1"), *rig).missing) == (
        "no spindle center for the MT5 headstock: no sleeve from MT3 to MT5 for N-1, and no chuck to turn a soft "
        "center in, for the nose of Lathe 1",
    )


@pytest.mark.parametrize(("setups", "minutes"), [(1, 5 + 6 + 1), (2, 5 + 6 + 2)])
def test_the_center_holes_are_drilled_once_and_not_at_each_set_up(setups, minutes):
    # Common practice, no source: 5 to change the plate, 6 for the two holes, 1 for the dog at each set-up.
    assert way("between centers", job("1", setups=setups), *CENTERED).minutes == minutes
