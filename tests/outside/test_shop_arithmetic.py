"""The sums of the shop against geometry that is built anew, beams that are integrated, and pint."""

import math
from fractions import Fraction

import pint
import pytest

from fitfinder.arithmetic.bars import corners_of, section
from fitfinder.arithmetic.bending import deflection
from fitfinder.arithmetic.centers import compound_angle, cone_depth
from fitfinder.arithmetic.eccentric import flat_packing, largest_packing, largest_throw, narrow_packing, narrow_throw
from fitfinder.arithmetic.indexing import possible_starts
from fitfinder.arithmetic.speeds import pull, rpm_of
from fitfinder.arithmetic.sums import sum_named
from fitfinder.arithmetic.tapers import half_angle, morse_diameter, set_over, taper_between
from fitfinder.arithmetic.truth import offset_of
from inventory.reference.tapers import morse_tapers


def test_fifteen_thousandths_tir_is_an_axis_seven_and_a_half_off():
    # Common practice, no source; geometry: the indicator reads twice the offset between its extremes.
    assert offset_of(Fraction("0.015")) == Fraction("0.0075")


def test_an_indicator_on_an_offset_circle_swings_by_twice_the_offset():
    # Geometry: the distance of an offset circle from the axis, sampled all around.
    radius, offset = 0.5, 0.0075
    reach = [
        offset * math.cos(turn) + math.sqrt(radius**2 - (offset * math.sin(turn)) ** 2)
        for turn in (math.radians(degree) for degree in range(360))
    ]

    assert max(reach) - min(reach) == pytest.approx(2 * offset)


@pytest.mark.parametrize(
    ("positions", "starts"),
    [(3, [1, 3]), (4, [1, 2, 4]), (6, [1, 2, 3, 6]), (2, [1, 2]), (12, [1, 2, 3, 4, 6, 12])],
)
def test_jaws_index_these_numbers_of_starts(positions, starts):
    # Arithmetic; the same by the slots of a plate: War Department TM 1-420, 1940.
    assert possible_starts(positions) == starts


def test_a_sixty_degree_point_is_turned_with_the_compound_at_thirty():
    # Geometry; so in a technical drawing text.
    assert compound_angle(Fraction(60)) == 30


def test_the_cone_of_a_sixty_degree_hole_is_0_8660_of_the_difference_deep():
    # Geometry: half the square root of three.
    assert float(cone_depth(Fraction("0.125"), Fraction("0.25"))) == pytest.approx(0.125 * math.sqrt(3) / 2)


def test_the_set_over_of_a_long_taper_is_that_of_the_handbook_rule():
    # The rule of the naval training manual: whole length times taper per foot over 24, in inches.
    assert set_over(Fraction(10), Fraction("0.6") / 12) == Fraction(10) * Fraction("0.6") / 24


def test_set_over_puts_the_taper_on_a_piece_whose_axis_swings():
    # Geometry: the side of the work comes parallel to the bed when the tailstock moves by half the difference of the
    # diameters that the whole length would have.
    taper = taper_between(Fraction(1), Fraction("0.9"), Fraction(2))
    large, whole = Fraction(1), Fraction(10)
    small_at_the_end = large - taper * whole

    assert set_over(whole, taper) == (large - small_at_the_end) / 2


def test_one_in_twenty_leans_by_one_degree_twenty_six_minutes_a_side():
    # From memory of the handbook table of Morse-like tapers: 1:20 is 1° 25' 56".
    assert float(half_angle(Fraction(1, 20))) == pytest.approx(1 + 25 / 60 + 56 / 3600, abs=0.5 / 3600)


def test_a_morse_taper_ends_at_the_small_end_of_its_plug():
    # ASME B5.10, to half a ten-thousandth of an inch: the table's last figure.
    for taper in morse_tapers():
        at_the_end = morse_diameter(taper, Fraction(taper.plug_depth.nm, 10**9))

        assert morse_diameter(taper, Fraction(0)) == Fraction(taper.large_end.nm, 10**9)
        assert abs(at_the_end * 10**9 - taper.small_end.nm) <= 1_270, taper.code


# Eccentric turning: geometry, built anew. All jaw faces stand at one distance from the axis of the scroll.
DIRECTIONS = [(math.cos(math.radians(turn)), math.sin(math.radians(turn))) for turn in (0, 120, 240)]
BARS = [(0.5, 0.125), (0.5, 0.01), (0.5, 0.28), (12.5, 3.0), (25.0, 14.0), (1.0, 0.5)]


def scroll_radius_by_search(radius, throw, reaches_bar):
    """The distance at which the jaw at 120° just touches the bar, whose axis lies at (-throw, 0)."""
    near, far = 0.0, 3 * radius
    for _ in range(200):
        middle = (near + far) / 2
        near, far = (near, middle) if reaches_bar(middle, (-throw, 0.0), radius) else (middle, far)
    return far


def a_point_is_clear(distance, center, radius):
    x, y = DIRECTIONS[1][0] * distance - center[0], DIRECTIONS[1][1] * distance - center[1]
    return math.hypot(x, y) >= radius


def a_face_is_clear(distance, center, radius):
    return distance - (DIRECTIONS[1][0] * center[0] + DIRECTIONS[1][1] * center[1]) >= radius


@pytest.mark.parametrize(("radius", "throw"), BARS)
def test_packing_for_narrow_jaws_is_what_is_left_between_jaw_and_bar(radius, throw):
    scroll = scroll_radius_by_search(radius, throw, a_point_is_clear)

    assert float(narrow_packing(Fraction(radius), Fraction(throw))) == pytest.approx(
        scroll - (radius - throw), abs=1e-9 * radius
    )


@pytest.mark.parametrize(("radius", "throw"), BARS)
def test_packing_for_flat_jaws_is_what_is_left_between_jaw_and_bar(radius, throw):
    scroll = scroll_radius_by_search(radius, throw, a_face_is_clear)

    assert float(flat_packing(Fraction(throw))) == pytest.approx(scroll - (radius - throw), abs=1e-9 * radius)


@pytest.mark.parametrize(("radius", "throw"), BARS)
def test_three_narrow_jaws_with_packing_touch_one_bar_off_by_the_throw(radius, throw):
    packing = float(narrow_packing(Fraction(radius), Fraction(throw)))
    scroll = packing + radius - throw
    contacts = [(scroll - packing, 0.0), *((x * scroll, y * scroll) for x, y in DIRECTIONS[1:])]

    assert [math.dist(contact, (-throw, 0.0)) for contact in contacts] == pytest.approx([radius] * 3)


def test_at_the_largest_throw_two_jaws_bear_on_the_widest_part_of_the_bar():
    # Statics: past it all three jaws push toward the same side, and nothing holds the bar.
    radius = Fraction(1)
    throw = largest_throw(radius)
    packing = narrow_packing(radius, throw)
    scroll = packing + radius - throw

    assert float(scroll) * DIRECTIONS[1][0] == pytest.approx(-float(throw))
    assert float(packing) == pytest.approx(float(largest_packing(radius)))


def test_an_eighth_of_throw_in_one_inch_bar_takes_0_1756_of_packing():
    # Two printed derivations for narrow jaws, worked out by hand: 0.1875 - 0.5 + sqrt(0.25 - 0.75 / 64).
    assert float(narrow_packing(Fraction(1, 2), Fraction(1, 8))) == pytest.approx(0.1756406)


def test_the_throw_of_that_packing_is_the_eighth_again():
    assert float(narrow_throw(Fraction(1, 2), narrow_packing(Fraction(1, 2), Fraction(1, 8)))) == pytest.approx(0.125)


# Beams: the curvature M / (E I) integrated twice, which knows none of the formulas.
STEPS = 4000


def bent_twice(moment, length):
    """Slope and place of a beam from its left end, where both are zero, for a moment over E I."""
    step, slope, place, places = length / STEPS, 0.0, 0.0, [0.0]
    for number in range(STEPS):
        curvature = moment((number + 0.5) * step)
        place += slope * step + curvature * step**2 / 2
        slope += curvature * step
        places.append(place)
    return places


def free_end(force, length):
    return bent_twice(lambda x: force * (length - x), length)[-1]


def centers(force, length):
    half = force / 2
    places = bent_twice(lambda x: -(half * x if x < length / 2 else half * (length - x)), length)
    # Turned so that the right end comes back onto its support.
    return -(places[-1] / 2 - places[STEPS // 2])


def chuck_and_center(force, length):
    def places(load, support):
        return bent_twice(lambda x: load * max(0.0, length / 2 - x) - support * (length - x), length)

    # The support pushes back until its end has not moved: linear in the support's force.
    support = force * places(1.0, 0.0)[-1] / -places(0.0, 1.0)[-1]
    return places(force, support)[STEPS // 2]


@pytest.mark.parametrize(
    ("held", "bent"), [("free-end", free_end), ("centers", centers), ("chuck-and-center", chuck_and_center)]
)
def test_a_bar_bends_as_its_curvature_integrates(held, bent):
    force, length, diameter, modulus = 300.0, 0.15, 0.02, 205e9
    stiffness = modulus * math.pi * diameter**4 / 64

    ours = deflection(
        force=Fraction(300),
        length=Fraction("0.15"),
        diameter=Fraction("0.02"),
        modulus=Fraction(205 * 10**9),
        held=held,
    )

    assert float(ours) == pytest.approx(abs(bent(force, length)) / stiffness, rel=1e-5)


UNITS = pint.UnitRegistry()


def test_the_pull_of_a_weight_off_the_axis_is_that_of_pint():
    # Mechanics, m r ω²; the units as pint defines them.
    mass, radius, speed = 3 * UNITS.pound, 2 * UNITS.inch, 800 * UNITS.revolution / UNITS.minute
    expected = (mass * radius * speed.to("radian/second") ** 2 / UNITS.radian**2).to("lbf").magnitude

    found = sum_named("unbalance").worked({"mass": "3lb", "radius": "2", "rpm": "800"}).result["force"]

    assert (float(found.value), found.unit) == (pytest.approx(expected), "lbf")
    assert float(pull(Fraction(1), Fraction(1), Fraction(60))) == pytest.approx(4 * math.pi**2)


@pytest.mark.parametrize(
    ("name", "key", "text", "unit"),
    [
        ("deflection", "force", "100lbf", "N"),
        ("deflection", "modulus", "205GPa", "psi"),
        ("deflection", "modulus", "30e6psi", "MPa"),
        ("weight", "density", "0.2836lb/in^3", "kg/m^3"),
        ("speed", "surface_speed", "100ft/min", "m/min"),
        ("unbalance", "mass", "3lb", "kg"),
        ("unbalance", "mass", "40 oz", "kg"),
    ],
)
def test_a_value_with_its_unit_is_what_pint_takes_it_for(name, key, text, unit):
    full = {
        "deflection": {
            "force": "1lbf",
            "length": "1",
            "diameter": "1",
            "modulus": "30e6psi",
            "held": "centers",
        },
        "weight": {"shape": "round", "size": "1", "length": "1", "density": "0.3lb/in^3"},
        "speed": {"diameter": "1", "surface_speed": "1ft/min"},
        "unbalance": {"mass": "1lb", "radius": "1", "rpm": "1"},
    }[name]

    read = sum_named(name).worked({**full, key: text}).inputs[key]
    both = {quantity.unit: float(quantity.value) for quantity in (read, read.other)}

    assert both[unit] == pytest.approx(UNITS.Quantity(text).to(unit).magnitude)


def test_a_hundred_feet_a_minute_on_one_inch_is_382_rpm():
    # War Department TM 1-420 Change 1, 1942: rpm = surface speed over 0.2618 times the diameter.
    speed = Fraction("100") * Fraction("0.3048") / 60

    assert float(rpm_of(speed, Fraction("0.0254"))) == pytest.approx(100 / 0.2618, rel=1e-4)


def area_by_corners(sides, flats):
    """The area inside a regular figure, from its corners; geometry."""
    across = flats / math.cos(math.pi / sides) / 2
    points = [
        (across * math.cos(2 * math.pi * n / sides), across * math.sin(2 * math.pi * n / sides)) for n in range(sides)
    ]
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:] + points[:1], strict=True)) / 2


@pytest.mark.parametrize(("shape", "sides"), [("hex", 6), ("square", 4), ("round", 100_000)])
def test_the_section_of_a_bar_is_the_area_inside_its_corners(shape, sides):
    assert float(section(shape, Fraction(3, 4))) == pytest.approx(area_by_corners(sides, 0.75))


@pytest.mark.parametrize(("shape", "times"), [("hex", "1.1547"), ("square", "1.4142")])
def test_across_corners_is_so_many_times_across_flats(shape, times):
    # From memory of the handbook's figures for hexagon and square bar.
    assert float(corners_of(shape, Fraction(1))) == pytest.approx(float(times), abs=0.00005)


def test_a_foot_of_one_inch_round_steel_weighs_2_67_pounds():
    # From memory of the handbook table of bar weights: 2.67 lb/ft for 1 in round, at 0.2836 lb/in³ (490 lb/ft³).
    asked = {"shape": "round", "size": "1", "length": "12", "density": "0.2836lb/in^3"}

    assert float(sum_named("weight").worked(asked).result["weight"].value) == pytest.approx(2.67, abs=0.005)
