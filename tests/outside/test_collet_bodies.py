"""The outside of collets against what the trade and DIN 6499 / ISO 15488 say, and against geometry."""

import math
from fractions import Fraction

import pytest

from inventory.measures.lengths import Length, parse
from inventory.reference.bodies import Closing, Dimension, Pitch, angle_of, bodies
from inventory.reference.collets import collet_series
from inventory.reference.draw_in import collet_heads, draw_in
from inventory.reference.tapers import morse_tapers
from tests.outside.prints import inches, lines, mm

LENGTHS = (Dimension.BODY, Dimension.HEAD, Dimension.LENGTH, Dimension.THREAD)


def body(code):
    return next(one for one in bodies() if one.code == code)


def value(code, dimension):
    figure = body(code).figure(dimension)
    return figure and figure.value


def lengths(code):
    return [value(code, dimension) for dimension in LENGTHS]


# DIN 6499 / ISO 15488 form B, mm: largest diameter, length over all, nut thread and its pitch. Read in two public
# listings of the dimensions (diameter for 11 to 40, length for 8 to 50), nuts in a third; the diameters of ER8 and ER50
# and their nuts from memory of DIN 6499.
DIN_6499_B = """
ER8  8.5  13.6 10 0.75
ER11 11.5 18   14 0.75
ER16 17   27.5 22 1.5
ER20 21   31.5 25 1.5
ER25 26   34   32 1.5
ER32 33   40   40 1.5
ER40 41   46   50 1.5
ER50 52   60   64 2
"""
ER_CODES = [row[0] for row in lines(DIN_6499_B)]


@pytest.mark.parametrize(("code", "diameter", "length", "nut", "pitch"), lines(DIN_6499_B), ids=ER_CODES)
def test_an_er_body_and_its_nut_are_those_of_the_standard(code, diameter, length, nut, pitch):
    assert lengths(code) == [mm(diameter), mm(diameter), mm(length), mm(nut)]
    assert value(code, Dimension.PITCH) == Pitch(Fraction(mm(pitch).nm))


@pytest.mark.parametrize("code", ER_CODES)
def test_an_er_collet_tapers_eight_degrees_a_side_and_a_nut_pushes_it_in(code):
    # DIN 6499, read in shop texts: 8 degrees a side.
    assert value(code, Dimension.ANGLE).degrees == 8
    assert value(code, Dimension.CLOSING) is Closing.NUT


@pytest.mark.parametrize("code", ER_CODES)
def test_an_er_body_is_a_little_thicker_than_its_number_says(code):
    # DIN 6499: the number is that of the seat; the collet stands out of it.
    over = value(code, Dimension.BODY) - Length.mm(code.removeprefix("ER"))
    assert Length.mm("0.5") <= over <= Length.mm(2)


# Trade series, no standard, inches: body, head, length over all, draw thread. 5C read in shop texts; the others from
# memory of trade charts; a dash is not on file. Pitches in threads to the inch, but that of 16C is metric.
TRADE_BODIES = """
5C  1.25  1.484 3.28  1.238 20
3C  0.65  -     2.687 0.64  26
3J  2     -     -     1.988 20
16C 1.889 -     4.313 1.875 1.75mm
R8  0.95  1.25  4     7/16  20
"""


@pytest.mark.parametrize(("code", "figures"), [(row[0], row[1:]) for row in lines(TRADE_BODIES)])
def test_a_trade_body_is_that_of_the_charts(code, figures):
    *sizes, pitch = figures
    is_metric = pitch.endswith("mm")

    assert lengths(code) == [inches(size) for size in sizes]
    assert value(code, Dimension.PITCH) == (
        Pitch(Fraction(mm(pitch.removesuffix("mm")).nm)) if is_metric else Pitch.per_inch(int(pitch))
    )
    assert value(code, Dimension.CLOSING) is (Closing.INSIDE if code == "R8" else Closing.OUTSIDE)


def test_a_5c_closes_by_ten_degrees_a_side_and_an_r8_by_16_51_included():
    # 5C read in shop texts; R8, 16 degrees 51 minutes included, from memory of the trade's drawing.
    assert value("5C", Dimension.ANGLE).degrees == 10
    assert value("R8", Dimension.ANGLE).degrees * 2 == 16 + Fraction(51, 60)


@pytest.mark.parametrize("code", ["5C", "3C", "3J", "16C"])
def test_a_draw_thread_passes_through_the_seat_of_the_body(code):
    # Geometry: the tail goes through the bore that guides the body, and the thread is a few thousandths under it.
    under = value(code, Dimension.BODY) - value(code, Dimension.THREAD)
    assert inches("0.005") <= under <= inches("0.02")


def test_a_body_is_thicker_than_the_largest_bar_that_it_holds():
    on_file = {one.code for one in bodies()}
    # Geometry: what is larger is held in a step outside the seat (5C to 1-1/8 in is inside its 1-1/4 in).
    for series in collet_series():
        if series.shape == "round" and series.code in on_file:
            assert value(series.code, Dimension.BODY) > series.largest, series.code


def test_a_morse_shank_has_the_diameter_and_half_angle_of_the_standard():
    # ASME B5.10: half the angle is the arc tangent of the taper per foot over 24; the library's own arc tangent.
    for taper in morse_tapers():
        assert value(taper.code, Dimension.BODY) == taper.large_end
        expected = math.degrees(math.atan(taper.taper_per_foot / 24))
        assert float(value(taper.code, Dimension.ANGLE).degrees) == pytest.approx(expected, abs=1e-5)


# ISO 296, half angles as handbooks print them, from memory: MT0 1°29'27", MT3 1°26'16", MT5 1°30'26".
@pytest.mark.parametrize(
    ("per_foot", "printed"),
    [("0.62460", "1°29′27″ a side"), ("0.60235", "1°26′16″ a side"), ("0.63151", "1°30′26″ a side")],
)
def test_a_half_angle_is_said_as_handbooks_print_it(per_foot, printed):
    assert angle_of(Fraction(per_foot)).words == printed


# Degrees a side: draw-in collets close by 10 (5C read in shop texts, the others as it), ER by 8 (DIN 6499).
HEADS = {**dict.fromkeys(("5C", "3C", "3J", "16C"), 10), **dict.fromkeys(ER_CODES, 8)}


def test_the_head_of_a_series_has_the_angle_of_its_closer():
    assert {head.code: head.half_angle for head in collet_heads()} == HEADS


@pytest.mark.parametrize("code", HEADS)
def test_a_collet_moves_by_the_cotangent_of_its_head(code):
    # Geometry: 1 / (2 tan a).
    moved = draw_in(code, parse("0.010"))
    assert moved.nm == pytest.approx(parse("0.010").nm / (2 * math.tan(math.radians(HEADS[code]))), rel=0.0005)


@pytest.mark.parametrize(("code", "about"), [("5C", "2.8"), ("ER32", "3.6")])
def test_a_unit_of_diameter_moves_it_by_about_three_along_the_spindle(code, about):
    # Geometry, to one place.
    head = next(head for head in collet_heads() if head.code == code)
    assert f"{float(head.per_diameter):.1f}" == about
