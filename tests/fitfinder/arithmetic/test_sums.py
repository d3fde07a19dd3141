"""The sums of the shop by their keys: what comes out, in which unit, and there and back again."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some

from fitfinder.arithmetic.bars import corners_of, flats_of
from fitfinder.arithmetic.eccentric import narrow_packing, narrow_throw
from fitfinder.arithmetic.indexing import index_sequence, step
from fitfinder.arithmetic.quantities import Quantity, plain
from fitfinder.arithmetic.sums import SUMS, sum_named
from fitfinder.arithmetic.tapers import half_angle, taper_of_angle
from fitfinder.arithmetic.truth import jaw_move, offset_of, tir_of
from inventory.measures.lengths import NM_PER_INCH, NM_PER_MM, Unit
from inventory.reference.tapers import morse


def worked(name, unit=Unit.INCH, **texts):
    return sum_named(name).worked(texts, unit=unit)


def result(name, unit=Unit.INCH, **texts):
    """Each result as it would be written: number and unit."""
    found = worked(name, unit, **texts).result
    return {key: (value.text, value.unit) if isinstance(value, Quantity) else value for key, value in found.items()}


def _large_end(code, nm_per_unit):
    """At the gauge line, as the table has it."""
    return plain(Fraction(morse(code).large_end.nm, nm_per_unit))


EVERY_SUM = [
    ("tir", {"tir": "0.015"}, {"tir": ("0.015", "in"), "offset": ("0.0075", "in")}),
    ("tir", {"offset": "0.1mm"}, {"tir": ("0.2", "mm"), "offset": ("0.1", "mm")}),
    ("dial-in", {"reading1": ".012", "reading2": ".002"}, {"move": ("0.005", "in")}),
    ("dial-in", {"reading1": "-.002", "reading2": "0.002"}, {"move": ("0.002", "in")}),
    (
        "packing",
        {"diameter": "1", "throw": "1/8"},
        {"narrow": ("0.175640604744", "in"), "flat": ("0.1875", "in"), "tir": ("0.25", "in")},
    ),
    (
        "packing-throw",
        {"diameter": "25mm", "packing": "4.5mm"},
        {"narrow": ("3.20849737787", "mm"), "flat": ("3", "mm")},
    ),
    ("set-over", {"length": "10", "ratio": "20"}, {"set_over": ("0.25", "in")}),
    ("set-over", {"length": "250mm", "taper_per_foot": "0.6"}, {"set_over": ("6.25", "mm")}),
    ("set-over", {"length": "10", "large": "1", "small": ".9", "taper_length": "2"}, {"set_over": ("0.25", "in")}),
    (
        "taper",
        {"large": "25mm", "small": "24mm", "length": "20mm"},
        {"taper_per_foot": ("0.6", "in/ft"), "ratio": ("20", None), "half_angle": ("1.43209618416", "deg")},
    ),
    ("morse", {"code": "MT3", "from_gauge": "0"}, {"diameter": (_large_end("MT3", NM_PER_INCH), "in")}),
    ("morse", {"code": "Morse 2", "from_gauge": "0mm"}, {"diameter": (_large_end("MT2", NM_PER_MM), "mm")}),
    ("cone", {"pilot": "1/8", "mouth": "1/4"}, {"mouth": ("0.25", "in"), "depth": ("0.108253175473", "in")}),
    ("cone", {"pilot": "0", "depth": "1", "angle": "90"}, {"mouth": ("2", "in"), "depth": ("1", "in")}),
    ("starts", {"positions": "6"}, {"possible": [1, 2, 3, 6], "step": [6, 3, 2, 1]}),
    ("starts", {"positions": "6", "starts": "3"}, {"possible": [1, 2, 3, 6], "step": 2}),
    ("starts", {"positions": "3 jaws", "starts": "2"}, {"possible": [1, 3], "step": None}),
    ("counterweight", {"mass": "3lb", "radius": "2", "at_radius": "4"}, {"mass": ("1.5", "lb")}),
    ("unbalance", {"mass": "2.4kg", "radius": "50mm", "rpm": "800"}, {"force": ("842.206242226", "N")}),
    (
        "speed",
        {"diameter": "1", "surface_speed": "100ft/min"},
        {"rpm": ("381.971863421", "rpm"), "surface_speed": ("100", "ft/min")},
    ),
    (
        "speed",
        {"diameter": "25mm", "rpm": "800"},
        {"rpm": ("800", "rpm"), "surface_speed": ("62.8318530718", "m/min")},
    ),
    (
        "deflection",
        {"force": "100lbf", "length": "3", "diameter": "1", "modulus": "30e6psi", "held": "free end"},
        {"deflection": ("0.000611154981473", "in"), "l_over_d": ("3", None)},
    ),
    (
        "weight",
        {"shape": "square", "size": "1", "length": "10", "density": "0.2836lb/in^3"},
        {"weight": ("2.836", "lb")},
    ),
    ("corners", {"shape": "hex", "flats": "20mm"}, {"flats": ("20", "mm"), "corners": ("23.0940107676", "mm")}),
    (
        "center-hole",
        {"work_diameter": "20mm"},
        {
            "drill": "A 2.5 mm",
            "mouth": ("5.3", "mm"),
            "depth": ("2.4248711306", "mm"),
            "pilot": ("2.5", "mm"),
        },
    ),
]
TRIED = [f"{name}-{'-'.join(texts)}" for name, texts, _ in EVERY_SUM]


@pytest.mark.parametrize(("name", "texts", "expected"), EVERY_SUM, ids=TRIED)
def test_a_sum_comes_to(name, texts, expected):
    assert result(name, **texts) == expected


def test_each_sum_of_the_book_is_among_those_that_are_tried():
    assert {row[0] for row in EVERY_SUM} == set(SUMS)


def test_a_bare_number_is_in_millimetres_where_those_are_asked_for():
    assert result("tir", Unit.MM, tir="0.2") == {"tir": ("0.2", "mm"), "offset": ("0.1", "mm")}
    assert result("counterweight", Unit.MM, mass="3", radius="50", at_radius="100") == {"mass": ("1.5", "kg")}
    assert result("speed", Unit.MM, diameter="25", surface_speed="30")["surface_speed"] == ("30", "m/min")


def test_an_answer_is_in_the_system_in_which_it_was_asked():
    assert result("unbalance", mass="3lb", radius="50mm", rpm="800")["force"][1] == "lbf"
    assert result("unbalance", mass="3kg", radius="2", rpm="800")["force"][1] == "N"


def test_every_answer_defers_to_the_makers_manuals():
    notes = {name: worked(name, **texts).notes[-1] for name, texts, _ in EVERY_SUM}

    assert {note for note in notes.values() if "manuals" not in note} == set()


def test_every_drawing_says_in_words_what_it_shows():
    drawn = [worked(name, **texts).sketch for name, texts, _ in EVERY_SUM]

    assert all(picture.words.endswith(".") and picture.marks for picture in drawn)


def test_everything_that_is_drawn_lies_inside_its_picture():
    outside = []
    for name, texts, _ in EVERY_SUM:
        picture = worked(name, **texts).sketch
        outside += [
            (name, mark)
            for mark in picture.marks
            if mark.at and not (0 <= mark.at[0] <= picture.width and 0 <= mark.at[1] <= picture.height)
        ]

    assert outside == []


def note_of(name, **texts):
    return " ".join(worked(name, **texts).notes)


@pytest.mark.parametrize(
    ("length", "is_told"), [("2.9", False), ("3", False), ("3.1", True)], ids=["below", "at", "above"]
)
def test_work_that_stands_out_over_three_diameters_wants_a_center(length, is_told):
    asked = {"force": "100lbf", "diameter": "1", "modulus": "30e6psi", "held": "free-end"}

    assert ("without a center" in note_of("deflection", length=length, **asked)) == is_told


def test_the_pull_of_an_unbalance_is_told_with_the_marked_maximum():
    assert "below the maximum that is marked" in note_of("unbalance", mass="3lb", radius="2", rpm="800")


def test_a_heavy_bar_is_not_for_one_person():
    asked = {"shape": "round", "size": "4", "density": "0.2836lb/in^3"}

    assert "not one person" in note_of("weight", length="24", **asked)
    assert "not one person" not in note_of("weight", length="1", **asked)


def test_the_jaws_are_named_that_are_to_be_moved():
    notes = worked("dial-in", reading1=".012", reading2=".002", reading3="0", reading4=".004").notes

    assert notes[0] == "Slacken jaw 3, tighten jaw 1: the work moves 0.0050 in from jaw 1 toward jaw 3."
    assert notes[1] == "Slacken jaw 2, tighten jaw 4: the work moves 0.0020 in from jaw 4 toward jaw 2."


def test_four_readings_give_a_move_for_each_pair_of_jaws():
    found = result("dial-in", reading1=".012", reading2=".002", reading3="0", reading4=".004")

    assert found == {"move": ("0.005", "in"), "move2": ("0.002", "in")}


def test_jaws_that_read_the_same_are_left():
    assert "leave them" in note_of("dial-in", reading1=".002", reading2=".002")


def test_the_starts_are_cut_at_equally_spaced_jaws():
    assert index_sequence(6, 3) == [1, 3, 5]
    assert index_sequence(4, 1) == [1]
    assert step(4, 3) is None
    with pytest.raises(ValueError, match="3 starts cannot be indexed by 4"):
        index_sequence(4, 3)


lengths = some.fractions(min_value=Fraction(1, 1000), max_value=1000, max_denominator=10_000)
CLOSE = Fraction(1, 10**9)


@given(lengths)
def test_an_offset_from_a_tir_gives_the_tir_again(tir):
    assert tir_of(offset_of(tir)) == tir


@given(lengths, lengths)
def test_a_move_brings_both_readings_to_the_same(first, second):
    move = jaw_move(first, second)

    assert first - move == second + move


@given(some.fractions(min_value=Fraction(1, 1000), max_value=10, max_denominator=10_000))
def test_a_taper_from_its_angle_is_the_taper_again(taper):
    assert abs(taper_of_angle(half_angle(taper)) - taper) < CLOSE


@given(some.decimals(min_value="0.5", max_value="500", places=3))
def test_a_ratio_gives_a_taper_per_foot_that_gives_the_ratio_again(ratio):
    per_foot = result("taper", ratio=str(ratio))["taper_per_foot"][0]

    again = worked("taper", taper_per_foot=per_foot).result["ratio"]
    assert abs(again.value - Fraction(ratio)) < Fraction(1, 10**6)


@given(lengths, some.sampled_from(["hex", "square"]))
def test_flats_from_corners_are_the_flats_again(flats, shape):
    assert abs(flats_of(shape, corners_of(shape, flats)) - flats) < CLOSE


@given(lengths, some.fractions(min_value=0, max_value=Fraction("0.57"), max_denominator=1000))
def test_the_throw_of_a_packing_is_the_throw_again(radius, share):
    assert abs(narrow_throw(radius, narrow_packing(radius, radius * share)) - radius * share) < CLOSE
