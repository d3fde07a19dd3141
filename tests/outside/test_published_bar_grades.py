"""Bar tolerances against ASTM A108, A29, ISO 286 and EN 10060, and against the library pressfit (ISO 286)."""

import pytest
from pressfit import fit

from inventory.measures.lengths import Length, parse
from inventory.reference.bars import band, bands, grade_named, grades, grades_for

# ASTM A108 Table A1.1, cold drawn, inches; all of it under nominal (from a reproduction of the table).
A108 = [
    ("cold-drawn", "round", "1.5", "0.002"),
    ("cold-drawn", "round", "1.501", "0.003"),
    ("cold-drawn", "round", "2.5", "0.003"),
    ("cold-drawn", "round", "4", "0.004"),
    ("cold-drawn", "hex", "0.75", "0.002"),
    ("cold-drawn", "hex", "0.751", "0.003"),
    ("cold-drawn", "square", "2.5", "0.004"),
    ("cold-drawn", "square", "4", "0.006"),
    ("cold-drawn-high-carbon", "round", "1.5", "0.003"),
    ("cold-drawn-high-carbon", "round", "4", "0.005"),
    ("cold-drawn-high-carbon", "hex", "1.5", "0.004"),
    ("cold-drawn-high-carbon", "square", "0.75", "0.004"),
]


@pytest.mark.parametrize(("grade", "shape", "nominal", "minus"), A108)
def test_cold_drawn_bar_is_never_over_and_as_far_under_as_a108_allows(grade, shape, nominal, minus):
    found = band(grade, shape, Length.inches(nominal))
    assert (found.plus, found.minus) == (Length(0), Length.inches(minus))


# ASTM A29 Table A1.1, hot rolled rounds, inches: nominal, over, under, out of round (from a reproduction).
A29 = [
    ("5/16", "0.005", "0.005", "0.008"),
    ("7/16", "0.006", "0.006", "0.009"),
    ("1", "0.009", "0.009", "0.013"),
    ("2", "1/64", "1/64", "0.023"),
    ("2.5", "1/32", "0", "0.023"),
]


@pytest.mark.parametrize(("nominal", "plus", "minus", "out_of_round"), A29)
def test_hot_rolled_rounds_are_as_a29_allows(nominal, plus, minus, out_of_round):
    found = band("hot-rolled", "round", Length.inches(nominal))
    wanted = tuple(Length.inches(text) for text in (plus, minus, out_of_round))
    assert (found.plus, found.minus, found.out_of_round) == wanted


def h_grade_um(grade, mm):
    """What pressfit gives for the shaft: (upper, lower) deviation in micrometres."""
    found = fit(f"{mm} H7/h{grade}")
    return found.shaft_es_um, found.shaft_ei_um


@pytest.mark.parametrize("grade", [6, 7, 8, 9, 10, 11])
def test_an_h_grade_is_that_of_iso_286_over_1_to_80_mm(grade):
    # pressfit (ISO 286-1, tested public library), compared in whole micrometres.
    ours, theirs = {}, {}
    for mm in range(1, 81):
        found = band(f"h{grade}", "round", Length.mm(mm))
        ours[mm] = (found.plus.nm, -found.minus.nm)
        theirs[mm] = tuple(um * 1000 for um in h_grade_um(grade, mm))
    assert ours == theirs


def test_the_end_of_an_iso_286_band_belongs_to_it():
    # ISO 286-1: over the first figure, up to and including the second.
    assert band("h9", "round", Length.mm(10)).minus == Length.mm("0.036")
    assert band("h9", "round", Length.mm("10.001")).minus == Length.mm("0.043")


# EN 10278: drawn hexagon and square come to h11, not to the finer classes.
@pytest.mark.parametrize("shape", ["hex", "square"])
def test_hex_and_square_bright_bar_is_h11_only(shape):
    assert {one.code for one in grades() if one.unit == "mm" and shape in one.shapes} == {"h11"}


def test_hot_rolled_rounds_of_en_10060_have_three_quarters_of_the_range_as_ovality():
    # EN 10060 Table 1 (from a summary): 25 mm is +/-0.5, ovality to 75 % of the range.
    found = band("hot-rolled-iso", "round", Length.mm(25))
    assert (found.plus, found.minus, found.out_of_round) == (
        Length.mm("0.5"),
        Length.mm("0.5"),
        Length.mm("0.75"),
    )


def test_a_size_between_the_written_ends_of_two_aluminium_bands_goes_where_it_rounds_to():
    # ANSI H35.2 writes band ends to three decimals: 0.250-0.499, then 0.500-0.749.
    below, above = Length.inches("0.4994"), Length.inches("0.4996")
    assert band("aluminium-extruded", "round", below).plus == Length.inches("0.008")
    assert band("aluminium-extruded", "round", above).plus == Length.inches("0.009")


@pytest.mark.parametrize("grade", ["stainless", "aluminium", "brass", "drill-rod", "hot-rolled"])
def test_bar_that_is_plus_and_minus_may_be_over_nominal(grade):
    # ASTM A484, ANSI H35.2, ASTM B249, ASTM A29; drill rod: common practice.
    assert band(grade, "round", Length.inches(1)).plus > Length(0)


@pytest.mark.parametrize("grade", ["cold-drawn", "cold-drawn-high-carbon", "ground", "h6", "h9", "h11"])
def test_bar_that_is_all_minus_is_never_over_nominal(grade):
    # ASTM A108, ISO 286.
    assert {one.plus for one in bands() if one.grade == grade} == {Length(0)}


@pytest.mark.parametrize(
    ("grade", "shape", "nominal"),
    [
        ("cold-drawn", "round", Length.inches("9.001")),
        ("cold-drawn", "round", Length(0)),
        ("drill-rod", "hex", Length.inches("0.5")),
        ("aluminium", "round", Length.inches("2.5")),
        ("hot-rolled-iso", "round", Length.mm("15.5")),
        ("no such grade", "round", Length.inches(1)),
    ],
)
def test_outside_the_tables_there_is_no_band(grade, shape, nominal):
    # ASTM A108 ends at 9 in; EN 10060 lists single sizes, 15 and 16 mm with none between.
    assert band(grade, shape, nominal) is None


def test_no_two_bands_of_a_grade_and_shape_claim_the_same_size():
    # Arithmetic: at every end of a band, a nanometre either side too.
    ends = {end for one in bands() for end in (one.over, one.upto) if end}
    sizes = {Length(end.nm + step) for end in ends for step in (-1, 0, 1)}
    claims = [(one.grade, one.shape, size) for one in bands() for size in sizes if one.covers(size)]
    assert len(claims) == len(set(claims))


def test_the_grades_are_those_that_scripts_rely_on():
    # The product's own published list of words.
    assert " ".join(one.code for one in grades()) == (
        "cold-drawn cold-drawn-high-carbon ground drill-rod hot-rolled stainless aluminium "
        "aluminium-extruded brass h6 h7 h8 h9 h10 h11 hot-rolled-iso"
    )


# ASTM A484 cold finished rounds, inches, over and under (from a reproduction; the first band from memory).
A484 = [
    ("1/16", "0.001"),
    ("0.3124", "0.001"),
    ("5/16", "0.0015"),
    ("0.4999", "0.0015"),
    ("1/2", "0.002"),
    ("0.9999", "0.002"),
    ("1", "0.0025"),
    ("1-1/2", "0.003"),
    ("4", "0.003"),
]


@pytest.mark.parametrize(("nominal", "either_way"), A484)
def test_cold_finished_stainless_is_as_a484_allows(nominal, either_way):
    found = band("stainless", "round", parse(nominal))
    assert (found.plus, found.minus) == (Length.inches(either_way), Length.inches(either_way))


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("cold drawn 1018", "cold-drawn"),
        ("Cold-Drawn", "cold-drawn"),
        ("12L14", "cold-drawn"),
        ("1144", "cold-drawn-high-carbon"),
        ("TG&P", "ground"),
        ("drill rod", "drill-rod"),
        ("O1", "drill-rod"),
        ("HRS", "hot-rolled"),
        ("aluminum extruded", "aluminium-extruded"),
        ("H9", "h9"),
    ],
)
def test_a_grade_is_known_by_the_words_on_a_bars_label(words, code):
    # Common practice, no source: what mills and merchants write on the label.
    assert grade_named(words).code == code


def test_an_alloy_that_is_made_both_ways_names_no_grade():
    # 6061 bar is drawn or extruded, and the two have different bands (ANSI H35.2).
    assert grade_named("6061") is None


def test_the_grades_of_a_shape_and_size_are_those_with_a_band():
    # EN 10278: drawn metric hexagon comes to h11 only. ASTM A108 gives hexagons in both carbon groups.
    codes = {grade.code for grade in grades_for("hex", Length.mm(20))}
    assert "h11" in codes and "cold-drawn" in codes and not codes & {"h9", "h10", "drill-rod", "ground"}


def test_the_deviations_are_written_with_their_signs_in_the_unit_of_the_table():
    # ASTM A108; ISO 286.
    assert band("cold-drawn", "round", parse("3/4")).deviations == "+0.0000 -0.0020 in"
    assert band("h9", "round", Length.mm(20)).deviations == "+0.000 -0.052 mm"
