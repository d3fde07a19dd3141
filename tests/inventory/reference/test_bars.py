"""Bar bands among themselves, and the words that scripts rely on."""

import pytest

from inventory.measures.lengths import Length, parse
from inventory.reference.bars import band, bands, grade_named, grades, grades_named


def test_no_two_bands_of_a_grade_and_shape_claim_the_same_size():
    # At every end of a band, a nanometre either side too.
    ends = {end for one in bands() for end in (one.over, one.upto) if end}
    sizes = {Length(end.nm + step) for end in ends for step in (-1, 0, 1)}
    claims = [(one.grade, one.shape, size) for one in bands() for size in sizes if one.covers(size)]
    assert len(claims) == len(set(claims))


def test_the_grades_are_those_that_scripts_rely_on():
    codes = [one.code for one in grades()]
    assert codes == [
        "cold-drawn",
        "cold-drawn-high-carbon",
        "cold-drawn-annealed",
        "cold-drawn-heat-treated",
        "ground",
        "drill-rod",
        "hot-rolled",
        "stainless",
        "aluminium",
        "aluminium-extruded",
        "brass",
        "h6",
        "h7",
        "h8",
        "h9",
        "h10",
        "h11",
        "hot-rolled-iso",
    ]


@pytest.mark.parametrize(
    ("grade", "shape", "nominal"),
    [("aluminium", "round", Length.inches("2.5")), ("no such grade", "round", Length.inches(1))],
)
def test_what_no_table_of_ours_has_gets_no_band(grade, shape, nominal):
    assert band(grade, shape, nominal) is None


def test_an_alloy_that_is_made_in_several_ways_names_them_all_and_none():
    assert grade_named("4140") is None
    assert {grade.code for grade in grades_named("4140 bar")} == {
        "cold-drawn-annealed", "cold-drawn-heat-treated", "hot-rolled"
    }  # fmt: skip
    assert [grade.code for grade in grades_named("6061")] == ["aluminium", "aluminium-extruded"]


@pytest.mark.parametrize("words", ["drill", "rod", "steel", "bar", "", "unobtainium"])
def test_what_is_said_of_every_bar_names_none(words):
    assert grades_named(words) == []


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("1018 CD bar", "cold-drawn"),
        ("4140HT", "cold-drawn-heat-treated"),
        ("pre-hard 4140", "cold-drawn-heat-treated"),
        ("4140, annealed", "cold-drawn-annealed"),
        ("rolled hot", "hot-rolled"),
        ("aluminum, extruded", "aluminium-extruded"),
        ("316L SS", "stainless"),
    ],
)
def test_a_label_is_known_in_any_order_and_however_it_is_shortened(words, code):
    assert grade_named(words).code == code


def test_the_deviations_are_written_with_their_signs_in_the_unit_of_the_table():
    assert band("cold-drawn", "round", parse("3/4")).deviations == "+0.0000 -0.0020 in"
    assert band("h9", "round", Length.mm(20)).deviations == "+0.000 -0.052 mm"
