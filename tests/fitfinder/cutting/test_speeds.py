"""The speed of a cut: by the table and the diameter, by the shop's own speed first, and never above a mark."""

import pytest

from fitfinder.cutting.cut import CutSetup, SpeedMark
from fitfinder.cutting.speeds import advice
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference.cutting import CARBIDE, HSS, Does

FREE = CutSetup()


def advised(does=Does.TURNING, *, material="low-carbon steel", cutter=HSS, at="0.75", setup=FREE, own=None):
    return advice(does, material=material, cutter=cutter, diameter=Length.inches(at), setup=setup, own=own or {})


@pytest.mark.parametrize(
    ("does", "cutter", "at", "rpm"),
    [
        # 12 x ft/min / (3.1416 x D), rounded down: War Department TM 1-420 Change 1.
        (Does.TURNING, HSS, "0.75", 509),
        (Does.TURNING, CARBIDE, "0.75", 1527),
        (Does.FACING, HSS, "3", 127),
        (Does.DRILLING, HSS, "0.5", 611),
        (Does.REAMING, HSS, "0.5", 381),
        (Does.THREADING_OUTSIDE, HSS, "0.75", 203),
        (Does.PARTING, HSS, "0.75", 254),
    ],
)
def test_a_speed_comes_of_the_table_the_operation_and_the_diameter(does, cutter, at, rpm):
    assert advised(does, cutter=cutter, at=at).rpm == rpm


@pytest.mark.parametrize(("mark", "rpm"), [(508, 508), (509, 509), (510, 509)])
def test_the_lowest_mark_holds_the_table_back(mark, rpm):
    found = advised(setup=CutSetup(marks=(SpeedMark(4000, "the fastest of Lathe 1"), SpeedMark(mark, "marked on K-1"))))

    assert (found.rpm, found.by_table) == (rpm, 509)
    assert f"at most {mark} rpm, marked on K-1" in found.words


def test_the_shops_own_speed_comes_before_the_tables():
    own = {("low-carbon steel", HSS): Length(12 * 80 * NM_PER_INCH)}

    assert advised(own=own).rpm == 407
    assert advised(own=own).source == "the shop's own surface speed"
    assert advised(own=own, cutter=CARBIDE).rpm == 1527


def test_of_an_unknown_material_nothing_is_said():
    assert advised(material="unobtainium") is None
    assert advised(Does.OTHER) is None
