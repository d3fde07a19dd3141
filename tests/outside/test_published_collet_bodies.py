"""The outside of collets against what the trade and DIN 6499 / ISO 15488 say, and against the other tables here."""

import math
from fractions import Fraction

import pytest

from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference import tables
from inventory.reference.bodies import Closing, Dimension, Pitch, angle_of, bodies
from inventory.reference.collets import collet_series
from inventory.reference.tapers import morse_tapers

BODIES = {body.code: body for body in bodies()}


def value(code, dimension):
    figure = BODIES[code].figure(dimension)
    return figure and figure.value


def lengths(code):
    return tuple(value(code, dimension) for dimension in (Dimension.BODY, Dimension.HEAD, Dimension.LENGTH))


# DIN 6499 / ISO 15488 form B, mm: largest diameter and length over all. Read in two public listings of the
# dimensions (diameter for 11 to 40, length for 8 to 50); the diameters of ER8 and ER50 from memory of DIN 6499.
DIN_6499_B = [
    ("ER8", "8.5", "13.6"),
    ("ER11", "11.5", "18"),
    ("ER16", "17", "27.5"),
    ("ER20", "21", "31.5"),
    ("ER25", "26", "34"),
    ("ER32", "33", "40"),
    ("ER40", "41", "46"),
    ("ER50", "52", "60"),
]


@pytest.mark.parametrize(("code", "diameter", "length"), DIN_6499_B)
def test_an_er_body_is_that_of_the_standard(code, diameter, length):
    assert lengths(code) == (Length.mm(diameter), Length.mm(diameter), Length.mm(length))


@pytest.mark.parametrize("code", [code for code, _, _ in DIN_6499_B])
def test_an_er_collet_tapers_eight_degrees_a_side_and_a_nut_pushes_it_in(code):
    # DIN 6499, read in shop texts: 8 degrees a side.
    assert value(code, Dimension.ANGLE).degrees == 8
    assert value(code, Dimension.CLOSING) is Closing.NUT


@pytest.mark.parametrize("code", [code for code, _, _ in DIN_6499_B])
def test_an_er_body_is_a_little_thicker_than_its_number_says(code):
    # DIN 6499: the number is that of the seat; the collet stands out of it.
    over = value(code, Dimension.BODY) - Length.mm(code.removeprefix("ER"))
    assert Length.mm("0.5") <= over <= Length.mm(2)


# Trade series, no standard: body, length over all, draw thread and its pitch. 5C read in shop texts; 3C, 16C and R8
# from memory of trade charts; None is not on file.
TRADE_BODIES = [
    ("5C", "1.25", "3.28", "1.238", Pitch.per_inch(20), Closing.OUTSIDE),
    ("3C", "0.65", "2.687", "0.64", Pitch.per_inch(26), Closing.OUTSIDE),
    ("16C", "1.889", "4.313", "1.875", Pitch(Fraction(1_750_000)), Closing.OUTSIDE),
    ("R8", "0.95", "4", "7/16", Pitch.per_inch(20), Closing.INSIDE),
]


@pytest.mark.parametrize(("code", "body", "length", "thread", "pitch", "closing"), TRADE_BODIES)
def test_a_trade_body_is_that_of_the_charts(code, body, length, thread, pitch, closing):
    found = [
        value(code, dimension)
        for dimension in (Dimension.BODY, Dimension.LENGTH, Dimension.THREAD, Dimension.PITCH, Dimension.CLOSING)
    ]
    assert found == [Length.inches(body), Length.inches(length), Length.inches(thread), pitch, closing]


def test_a_3j_draws_by_a_thread_of_1_988_by_20_and_its_length_stays_unknown():
    # From memory of trade charts; its length is remembered too badly to be given.
    assert (value("3J", Dimension.THREAD), value("3J", Dimension.PITCH)) == (Length.inches("1.988"), Pitch.per_inch(20))
    assert value("3J", Dimension.LENGTH) is None


def test_a_5c_closes_by_ten_degrees_a_side_and_an_r8_by_16_51_included():
    # 5C read in shop texts; R8, 16 degrees 51 minutes included, from memory of the trade's drawing.
    assert value("5C", Dimension.ANGLE).degrees == 10
    assert value("R8", Dimension.ANGLE).degrees * 2 == 16 + Fraction(51, 60)


@pytest.mark.parametrize("code", ["5C", "3C", "3J", "16C"])
def test_a_draw_thread_passes_through_the_seat_of_the_body(code):
    # Geometry: the tail goes through the bore that guides the body.
    assert value(code, Dimension.THREAD) < value(code, Dimension.BODY)


@pytest.mark.parametrize("series", [one for one in collet_series() if one.shape == "round"], ids=lambda one: one.code)
def test_a_body_is_thicker_than_the_largest_bar_that_it_holds(series):
    # Geometry: what is larger is held in a step outside the seat (5C to 1-1/8 in is inside its 1-1/4 in).
    assert value(series.code, Dimension.BODY) > series.largest


@pytest.mark.parametrize("series", [one for one in collet_series() if one.shape == "round"], ids=lambda one: one.code)
def test_each_series_on_file_has_a_body_and_the_thread_that_stands_with_the_series(series):
    # The two tables of this project, and the standard behind both, must say the same thread.
    thread, pitch = value(series.code, Dimension.THREAD), value(series.code, Dimension.PITCH)
    if not series.closing_thread:
        assert thread is not None
    elif value(series.code, Dimension.CLOSING) is Closing.NUT:
        diameter, step = series.closing_thread.removeprefix("M").split(" x ")
        assert (thread, pitch) == (Length.mm(diameter), Pitch(Fraction(Length.mm(step).nm)))
    else:
        inches = thread.fraction_text or thread.inch_text.rstrip("0").removeprefix("0")
        assert f"{inches}-{NM_PER_INCH / pitch.nm}" in series.closing_thread


@pytest.mark.parametrize("taper", morse_tapers(), ids=lambda one: one.code)
def test_a_morse_shank_has_the_diameter_and_half_angle_of_the_standard(taper):
    # ASME B5.10: half the angle is the arc tangent of the taper per foot over 24; the library's own arc tangent.
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


def test_every_figure_names_its_source_and_how_far_it_can_be_trusted():
    # The rule of this project: no figure without a source.
    for body in bodies():
        for figure in body.figures:
            assert figure.source
            assert figure.basis in tables.BASES
