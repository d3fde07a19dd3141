"""Spindle noses against ASME B5.9 / ISO 702, working figures against what the trade prints."""

from fractions import Fraction

import pytest

from inventory.measures.lengths import Length
from inventory.reference import tables
from inventory.reference.noses import spindle_nose, spindle_noses
from inventory.reference.practice import caution, figure, figures, grip, minutes, run_out, stick_out

# ASME B5.9 / ISO 702 largest pilot diameter and pin or bolt circle, mm (from a reproduction of the tables).
ISO_702 = [
    ("D1-3", "53.983", "70.6"),
    ("D1-4", "63.521", "82.6"),
    ("D1-6", "106.385", "133.4"),
    ("A2-5", "82.575", "104.8"),
    ("A2-8", "139.735", "171.4"),
]


@pytest.mark.parametrize(("code", "pilot_max", "circle"), ISO_702)
def test_a_nose_is_that_of_the_standard(code, pilot_max, circle):
    nose = spindle_nose(code)
    assert (nose.pilot_max, nose.circle) == (Length.mm(pilot_max), Length.mm(circle))


@pytest.mark.parametrize("nose", [one for one in spindle_noses() if one.pilot_max], ids=lambda one: one.code)
def test_the_nominal_pilot_is_a_few_micrometres_under_the_largest(nose):
    # ASME B5.9: the tolerance of the pilot is 8 to 16 micrometres, all of it above nominal.
    assert Length.mm("0.008") <= nose.pilot_max - nose.pilot <= Length.mm("0.016")


def test_just_the_threaded_noses_forbid_braking_in_reverse():
    # Common practice, read in a lathe reference text: a chuck that screws on can unscrew.
    assert all(nose.brakes_in_reverse is not nose.is_threaded for nose in spindle_noses())


def test_every_family_of_nose_is_listed():
    # ASME B5.9 types D1, A and L; threaded noses, common practice.
    families = [nose.family for nose in spindle_noses()]
    assert {family: families.count(family) for family in families} == {
        "camlock": 6, "short taper": 10, "long taper": 4, "threaded inch": 9, "threaded metric": 2,
    }  # fmt: skip


def test_a_universal_3_jaw_runs_out_five_thou_and_a_collet_half_a_thou():
    # Common practice, read in shop texts.
    assert run_out("universal 3-jaw").typical == Length.inches("0.005")
    assert run_out("collet").typical == Length.inches("0.0005")


def test_er_class_2_run_out_is_that_of_iso_15488():
    # ISO 15488 Table 4.
    assert run_out("ER collet class 2, over 10 to 26 mm").typical == Length.mm("0.020")


@pytest.mark.parametrize(
    ("method", "typical", "unit"),
    [
        ("collet change", 2, "min per setup"),
        ("closer fit", 10, "min per setup"),
        ("universal chuck", 1, "min per part"),
        ("chuck change, camlock", 5, "min per setup"),
        ("chuck change, threaded", 8, "min per setup"),
        ("independent 4-jaw, dialled in", 5, "min per part"),
    ],
)
def test_minutes_are_the_working_figures(method, typical, unit):
    # Common practice, no source.
    found = minutes(method)
    assert (found.typical, found.unit) == (typical, unit)


def test_work_stands_out_three_diameters_before_it_wants_a_center():
    # Common practice, read in lathe manuals.
    assert stick_out("chuck or collet").typical == 3


def test_a_collet_grips_at_least_two_thirds_of_its_bore():
    # Common practice, read on a tooling technical page.
    assert grip("ER collet").low == Fraction(2, 3)


def test_lifting_alone_ends_well_below_the_niosh_constant():
    # NIOSH lifting equation: 51 lb under ideal conditions; 25 lb over a lathe is common practice, no source.
    assert (caution("lift alone").high, caution("lift under ideal conditions").high) == (25, 51)


def test_nothing_unsupported_shows_behind_the_spindle():
    # Common practice, no source.
    assert figure("caution", "bar showing behind the spindle").high == Length(0)


def test_drawn_bar_bows_a_sixteenth_in_ten_feet():
    # ASTM A108 Table A1.4, low carbon rounds.
    found = figure("bar", "bow in 10 ft, carbon to 0.28 %, 5/8 in and over, under 15 ft")
    assert found.high == Length.inches("1/16")


@pytest.mark.parametrize("one", figures(), ids=lambda one: f"{one.topic}: {one.method}")
def test_a_figure_says_something_and_in_rising_order(one):
    # Arithmetic.
    known = [value for value in (one.low, one.typical, one.high) if value is not None]
    assert known and known == sorted(known)


def test_a_figure_that_is_not_there_is_a_key_error():
    # No source: the product's own promise.
    with pytest.raises(KeyError):
        figure("run-out", "magnetic chuck")


TABLES = sorted(path.stem for path in tables.DATA.glob("*.csv") if path.stem not in {"sources", "grades"})


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_citation_and_a_basis(table):
    # The product's own promise: no figure without where it comes from.
    assert all(row.source and row.basis in tables.BASES for row in tables.rows(table))


def test_no_citation_is_left_without_a_figure():
    # The product's own promise.
    used = {key for table in TABLES for row in tables.rows(table) for key in row.text("source").split()}
    assert {row.text("key") for row in tables.rows("sources")} == used
