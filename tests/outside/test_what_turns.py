"""Work off the axis, tapers, starts and throws, against values worked by hand and geometry built anew."""

import math
from fractions import Fraction
from itertools import product

import pytest

from fitfinder.arithmetic.speeds import counterweight, pull
from fitfinder.holding.mechanics import starts, tapers, throws
from fitfinder.holding.mechanics.unbalance import first_rpm, own_weight_rpm
from fitfinder.holding.rules.center_drilling import hole_in
from inventory.measures.lengths import Length, parse


@pytest.mark.parametrize(
    ("offset", "rpm", "first"),
    [
        # Mechanics, by hand: (30/π) √(g/e); half of it is common practice, and pulls by a quarter of the weight.
        ("1", 187.6, 93),
        ("1/2", 265.4, 132),
        ("1/4", 375.3, 187),
        ("1/16", 750.5, 375),
        (Fraction(10, 10) / Fraction("2.54"), 299.0, 149),
        (Fraction(25, 10) / Fraction("2.54"), 189.1, 94),
    ],
)
def test_what_is_off_the_axis_pulls_by_its_own_weight_at_these_speeds(offset, rpm, first):
    assert float(own_weight_rpm(Fraction(offset))) == pytest.approx(rpm, rel=1e-3)
    assert first_rpm(Fraction(offset)) == first


def test_at_its_first_speed_it_pulls_by_a_quarter_of_its_weight():
    # m r ω² by the sum of the shop, over m g.
    rpm = own_weight_rpm(Fraction(1)) / 2

    assert float(pull(Fraction(1), Fraction("0.0254"), rpm)) == pytest.approx(9.80665 / 4, rel=1e-9)


def test_thirty_pounds_three_quarters_off_pull_by_forty_at_250_turns():
    # Mechanics, by hand.
    newtons = pull(30 * Fraction("0.45359237"), Fraction("0.75") * Fraction("0.0254"), Fraction(250))

    assert float(newtons) / 4.4482216 == pytest.approx(39.94, rel=1e-3)


def test_ten_pounds_at_two_inches_want_four_at_five():
    assert counterweight(Fraction(10), Fraction(2), Fraction(5)) == 4


# Tapers.


@pytest.mark.parametrize(
    ("ratio", "length", "over", "share"),
    [
        # Geometry, by hand: L sin α.
        (10, Length.inches(9), Length.inches("0.4494"), 0.05),
        (40, Length.inches(10), Length.inches("0.1250"), 0.0125),
        (20, Length.mm(300), Length.mm("7.5"), 0.025),
    ],
)
def test_the_tailstock_goes_over_as_worked_by_hand(ratio, length, over, share):
    found = tapers.set_over(length, Fraction(1, ratio))

    assert found.nm == pytest.approx(over.nm, rel=4e-4)
    assert found.nm / length.nm == pytest.approx(share, rel=2e-3)


def test_the_set_over_is_what_lays_the_side_of_the_taper_along_the_bed():
    # Geometry anew: the work turned about its point in the headstock until its side is parallel to the ways.
    ratio, length = 10, 9.0
    turn = math.atan(0.5 / ratio)

    assert tapers.set_over(Length.inches(9), Fraction(1, ratio)).nm / 25.4e6 == pytest.approx(length * math.sin(turn))


@pytest.mark.parametrize(
    ("ratio", "plain", "balls"),
    [("25.1", True, True), ("24.9", False, True), ("16.7", False, True), ("16.6", False, False)],
)
def test_plain_centers_bear_two_percent_and_balls_three(ratio, plain, balls):
    # Common practice: 2 % of the length is 1.146 degrees, a taper of 1 in 25.
    taper = 1 / Fraction(ratio)

    assert (tapers.is_plain(taper), tapers.is_for_balls(taper)) == (plain, balls)


def test_four_inches_of_travel_turn_3_986_of_one_in_six():
    # Geometry, by hand: travel times cos α.
    assert tapers.compound_reach(Length.inches(4), Fraction(1, 6)).inch_text == "3.9862"


@pytest.mark.parametrize(("ratio", "goes"), [("4", True), ("3.99", False)])
def test_an_attachment_goes_to_three_inches_a_foot(ratio, goes):
    assert tapers.is_for_attachment(1 / Fraction(ratio)) is goes


def test_a_part_that_is_longer_comes_out_with_less_taper():
    # Geometry: 0.060 in on 12 in; the same set-over over both lengths.
    over = tapers.set_over(Length.inches(12), Fraction(1, 50)).nm
    tapers_of = [2 * over / Length.inches(length).nm for length in ("12", "12.060")]

    assert 1 - tapers_of[1] / tapers_of[0] == pytest.approx(0.005, rel=1e-2)
    assert tapers.lot_error(Fraction("0.060"), Fraction(12)) == Fraction("0.005")


# Starts.


@pytest.mark.parametrize("places", [3, 4, 6, 12])
@pytest.mark.parametrize("wanted", [2, 3, 4, 5, 6])
def test_places_divide_where_equal_turns_come_back_to_each_start(places, wanted):
    # Brute force: some whole number of places is the turn from one start to the next.
    by_hand = any(moved * wanted == places for moved in range(1, places + 1))

    assert starts.divides(places, wanted) is by_hand


def test_a_gear_of_forty_teeth_gives_these_starts():
    # War Department TM 1-420: the teeth have to divide.
    able = [wanted for wanted in range(2, 11) if starts.teeth_for(40, wanted) is not None]

    assert able == [2, 4, 5, 8, 10]


def test_a_stud_that_turns_otherwise_moves_on_by_its_own_teeth():
    assert starts.teeth_for(24, 3, ratio=Fraction(1, 2)) == 4
    assert starts.teeth_for(24, 5, ratio=Fraction(1, 2)) is None


@pytest.mark.parametrize(
    ("degrees", "inches"), [(Fraction(5, 60), 0.0001157), (Fraction(math.degrees(0.010 / 3)), 0.0002653)]
)
def test_an_angle_off_is_so_much_of_the_lead(degrees, inches):
    # Arithmetic, by hand: a lead of 1/2 in; 0.010 in of play at the tail of a dog 3 in out.
    assert float(starts.error_on_pitch(Fraction(1, 2), degrees)) == pytest.approx(inches, rel=1e-3)


# Throws.


def test_packing_for_a_quarter_on_an_inch():
    # Geometry, by hand.
    narrow, flat = throws.packing(Length.inches(1), Length.inches("1/4"))

    assert (narrow.inch_text, flat.inch_text) == ("0.3257", "0.3750")


@pytest.mark.parametrize(("diameter", "throw"), list(product(("1", "2"), ("1/16", "1/8", "0.1666"))))
def test_three_jaws_and_the_packing_touch_the_bar_where_it_lies(diameter, throw):
    # Brute force: the bar lies a throw away from jaw 1; how far each narrow jaw may come in is tried around it.
    radius, off = float(Fraction(diameter)) / 2, float(Fraction(throw))
    narrow, _ = throws.packing(parse(diameter), parse(throw))

    def reach(turn):
        """How far out the bar's skin lies along a jaw, seen from the spindle's axis."""
        x, y = math.cos(turn), math.sin(turn)
        low, high = 0.0, 2 * radius
        for _ in range(60):
            middle = (low + high) / 2
            inside = (middle * x + off) ** 2 + (middle * y) ** 2 < radius**2
            low, high = (middle, high) if inside else (low, middle)
        return low

    assert reach(math.radians(120)) - reach(0) == pytest.approx(narrow.nm / 25.4e6, abs=1e-6)


@pytest.mark.parametrize(("throw", "packs"), [("0.1666", True), ("0.1667", False)])
def test_packing_is_good_to_a_third_of_the_radius(throw, packs):
    # Common practice.
    assert (parse(throw) <= throws.most_by_packing(Length.inches(1))) is packs


@pytest.mark.parametrize(
    ("across", "throw", "fits"),
    [("3/4", "0.2187", True), ("3/4", "0.2188", False), ("40 mm", "15.15 mm", True), ("40 mm", "15.16 mm", False)],
)
def test_a_second_center_hole_stays_inside_the_end(across, throw, fits):
    # Geometry, by hand: throw, half the mouth and the land; the mouths are of the guides from work to center hole.
    end = parse(across)
    hole = hole_in(end)

    assert (throws.second_centers_reach(parse(throw), hole.hole) * 2 <= end) is fits


@pytest.mark.parametrize(
    ("across", "mouth"),
    [("3/16", "3/32"), ("1/2", "9/64"), ("3/4", "3/16"), ("1", "15/64"), ("3", "3/8"), ("1/8", "2.12 mm")],
)
def test_the_mouth_of_a_center_hole_goes_by_the_end(across, mouth):
    # Shop textbooks from memory, and ISO 6411 below the inch guide.
    assert hole_in(parse(across)).hole == parse(mouth)


def test_a_wire_takes_no_center_hole():
    assert hole_in(Length.mm(2)) is None
