"""What a sum refuses, and with which sentence; what it reads as which value."""

from fractions import Fraction

import pytest

from fitfinder.arithmetic.quantities import Measure
from fitfinder.arithmetic.reading import read_quantity
from fitfinder.arithmetic.sums import sum_named
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Unit


def read(text, measure, unit=Unit.INCH):
    found = read_quantity(text, measure, field="value", unit=unit)
    return found.value, found.unit


@pytest.mark.parametrize(
    ("text", "measure", "value", "unit"),
    [
        ("3/4", Measure.LENGTH, "0.75", "in"),
        ("1 1/2 in", Measure.LENGTH, "1.5", "in"),
        ("12,7 mm", Measure.LENGTH, "12.7", "mm"),
        ("0.175640604744", Measure.LENGTH, "0.175640604744", "in"),
        ("2 cm", Measure.LENGTH, "20", "mm"),
        ("6 thou", Measure.LENGTH, "0.006", "in"),
        ("#7", Measure.LENGTH, "0.201", "in"),
        ("-.003", Measure.READING, "-0.003", "in"),
        ("+0,02 mm", Measure.READING, "0.02", "mm"),
        ("0", Measure.READING, "0", "in"),
        ("1 1/2 lb", Measure.MASS, "1.5", "lb"),
        ("850 g", Measure.MASS, "0.85", "kg"),
        ("3", Measure.MASS, "3", "lb"),
        ("3 lbs", Measure.MASS, "3", "lb"),
        ("3 LB", Measure.MASS, "3", "lb"),
        ("3 lb.", Measure.MASS, "3", "lb"),
        ("1728 lb/ft3", Measure.DENSITY, "1", "lb/in^3"),
        ("300N", Measure.FORCE, "300", "N"),
        ("1.5 kN", Measure.FORCE, "1500", "N"),
        ("100 sfm", Measure.SURFACE_SPEED, "100", "ft/min"),
        ("0.5 m/s", Measure.SURFACE_SPEED, "30", "m/min"),
        ("30e6psi", Measure.STIFFNESS, "30000000", "psi"),
        ("30 Mpsi", Measure.STIFFNESS, "30000000", "psi"),
        ("205gpa", Measure.STIFFNESS, "205000", "MPa"),
        ("205000 N/mm²", Measure.STIFFNESS, "205000", "MPa"),
        ("7.85g/cc", Measure.DENSITY, "7850", "kg/m^3"),
        ("2,500 rpm", Measure.SPEED, "2500", "rpm"),
        ("60°", Measure.ANGLE, "60", "deg"),
        ("1:20", Measure.RATIO, "20", None),
        ("1 in 20", Measure.RATIO, "20", None),
        ("0.602 in/ft", Measure.TAPER, "0.602", "in/ft"),
    ],
)
def test_a_value_is_read_with_its_unit(text, measure, value, unit):
    assert read(text, measure) == (Fraction(value), unit)


@pytest.mark.parametrize(
    ("text", "measure", "unit"),
    [
        ("3", Measure.FORCE, "N"),
        ("3", Measure.MASS, "kg"),
        ("3", Measure.SURFACE_SPEED, "m/min"),
        ("205000", Measure.STIFFNESS, "MPa"),
        ("7850", Measure.DENSITY, "kg/m^3"),
        ("3", Measure.LENGTH, "mm"),
    ],
)
def test_a_bare_number_in_millimetres_is_metric_whatever_it_measures(text, measure, unit):
    assert read(text, measure, Unit.MM)[1] == unit


@pytest.mark.parametrize(
    ("text", "measure", "said"),
    [
        ("", Measure.MASS, "value is empty"),
        ("heavy", Measure.MASS, "cannot be read as a weight"),
        ("3 lbf", Measure.MASS, "“lbf” is none of its units"),
        ("3 mm", Measure.MASS, "“mm” is none of its units"),
        ("3 kg^999999", Measure.MASS, "none of its units"),
        ("3 kg**2", Measure.MASS, "none of its units"),
        ("3 degC", Measure.MASS, "none of its units"),
        ("-3 lb", Measure.MASS, "is not above zero"),
        ("0 lb", Measure.MASS, "is not above zero"),
        ("3/0 lb", Measure.MASS, "divides by zero"),
        ("1,200 lb", Measure.MASS, "could be 1.200 or 1200"),
        ("1e999 lb", Measure.MASS, "none of its units"),
        ("9" * 41, Measure.MASS, "cannot be read"),
        ("205", Measure.STIFFNESS, "has no unit, and 205 psi is no solid"),
        ("7850", Measure.DENSITY, "has no unit, and 7850 lb/in^3 is no solid"),
        ("100 lbf", Measure.LENGTH, "cannot be read as a length"),
        ("200 m", Measure.LENGTH, "longer than 100 m"),
        ("-1", Measure.LENGTH, "below zero"),
        ("much", Measure.READING, "cannot be read as an indicator reading"),
        ("1/20", Measure.RATIO, "cannot be read as a ratio"),
        ("50 mm/m", Measure.TAPER, "none of its units"),
        ("30 rad", Measure.ANGLE, "none of its units"),
        ("800 Hz", Measure.SPEED, "none of its units"),
    ],
)
def test_what_is_no_such_value_is_refused_with_what_was_read_and_what_is_accepted(text, measure, said):
    with pytest.raises(QuestionError, match="Write ") as refused:
        read(text, measure)

    assert said in refused.value.message
    assert refused.value.field == "value"


def test_a_weight_where_a_force_is_asked_brings_the_force_that_was_meant():
    with pytest.raises(QuestionError) as refused:
        read("100 lb", Measure.FORCE)

    assert refused.value.suggest == "100lbf"


REFUSED = [
    ("tir", {}, "offset", "Give offset, or tir"),
    ("tir", {"tir": ".015", "offset": ".008"}, "tir", "contradict each other"),
    ("tir", {"swing": ".015"}, "swing", "is no key of tir. It takes tir, offset"),
    ("dial-in", {"reading1": ".01"}, "reading2", "is missing"),
    ("morse", {}, "code", "Write it like MT3."),
    ("dial-in", {"reading1": ".01", "reading2": "0", "reading3": "0"}, "reading4", "reading3 is no use without it"),
    ("packing", {"diameter": "1", "throw": "0.289"}, "throw", "cannot be held"),
    ("packing", {"diameter": "0", "throw": "0.1"}, "diameter", "is not above zero"),
    ("packing-throw", {"diameter": "1", "packing": "0.37"}, "packing", "cannot be held"),
    ("set-over", {"length": "10"}, "large", "Give large and small and taper_length, or taper_per_foot, or ratio"),
    ("set-over", {"length": "10", "ratio": "20", "large": "1"}, "small", "large is no use without it"),
    ("set-over", {"length": "10", "ratio": "20", "taper_per_foot": "0.5"}, "ratio", "contradict"),
    ("set-over", {"length": "1", "large": "1", "small": ".9", "taper_length": "2"}, "taper_length", "longer"),
    ("taper", {"large": "1", "small": "1", "length": "2"}, "large", "is not above the small end"),
    ("taper", {"half_angle": "90"}, "half_angle", "below 90"),
    ("morse", {"code": "MT9", "from_gauge": "0"}, "code", "It is one of MT0"),
    ("morse", {"code": "MT2", "from_gauge": "10"}, "from_gauge", "past the end"),
    ("cone", {"pilot": "1/4", "mouth": "1/8"}, "mouth", "is not wider than the pilot"),
    ("cone", {"pilot": "1/8", "mouth": "1/4", "angle": "180"}, "angle", "below 180"),
    ("cone", {"pilot": "1/8"}, "mouth", "Give mouth, or depth"),
    ("starts", {"positions": "0"}, "positions", "from 1 to 1000"),
    ("starts", {"positions": "3.5"}, "positions", "whole number"),
    ("speed", {"diameter": "1", "rpm": "800", "surface_speed": "100"}, "rpm", "contradict"),
    ("weight", {"shape": "oval", "size": "1", "length": "1", "density": "0.3"}, "shape", "one of round, hex, square"),
    ("corners", {"shape": "hex"}, "flats", "Give flats, or corners"),
    ("center-hole", {"work_diameter": "0.1"}, "work_diameter", "below the guide"),
]


@pytest.mark.parametrize(("name", "texts", "field", "said"), REFUSED, ids=[f"{row[0]}-{row[2]}" for row in REFUSED])
def test_a_sum_that_cannot_be_done_names_the_key_and_says_why(name, texts, field, said):
    with pytest.raises(QuestionError) as refused:
        sum_named(name).worked(texts)

    assert refused.value.field == field
    assert said in refused.value.message


def test_two_ways_to_say_the_same_are_no_contradiction():
    found = sum_named("set-over").worked({"length": "10", "ratio": "20", "taper_per_foot": "0.6"})

    assert found.result["set_over"].value == Fraction(1, 4)


def test_a_throw_just_below_the_largest_is_still_worked_out():
    assert sum_named("packing").worked({"diameter": "1", "throw": "0.288"}).result["tir"].text == "0.576"


def test_a_name_that_is_no_sum_is_told_which_there_are():
    with pytest.raises(QuestionError, match="It has tir, dial-in, packing") as refused:
        sum_named("thread")

    assert refused.value.field == "name"
