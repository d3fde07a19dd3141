"""Surface speeds for turning against printed handbooks and what the trade would accept.

`accepted/cutting_speeds.csv` names the print of each row. The handbook is a table of speeds of high-speed steel in feet
a minute, turning, drilling and reaming, as a shop's page reproduces it (read); T.O. 1-1A-9 is a technical order (read).
"""

import pytest

from inventory.reference.cutting import materials, turning_speed
from tests.outside.accepted.ranges import accepted, takes

RAISED_BY_CARBIDE = (2, 5)
"""Twice at least where a shop page tells a rule (read), some four times in catalogs."""


@pytest.mark.parametrize("row", accepted("cutting_speeds"), ids=lambda row: row["material"])
def test_a_surface_speed_is_one_that_the_trade_would_accept(row):
    speed = turning_speed(row["material"])

    assert takes(row["hss"], speed.hss), row["why"]
    assert takes(row["carbide"], speed.carbide), row["why"]


def test_every_material_is_vouched_for():
    assert set(materials()) == {row["material"] for row in accepted("cutting_speeds")}


@pytest.mark.parametrize("material", [row["material"] for row in accepted("cutting_speeds")])
def test_carbide_cuts_at_twice_the_speed_and_more(material):
    speed, (least, most) = turning_speed(material), RAISED_BY_CARBIDE

    assert least * speed.hss <= speed.carbide <= most * speed.hss


def test_what_is_harder_is_cut_slower():
    order = ("titanium", "tool steel", "alloy steel", "medium-carbon steel", "low-carbon steel", "free-cutting steel")
    speeds = [turning_speed(material).hss for material in (*order, "brass", "aluminium")]

    assert speeds == sorted(set(speeds))
