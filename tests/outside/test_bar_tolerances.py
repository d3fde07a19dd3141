"""Bar tolerances against ASTM A108, A29, A484, B249, ANSI H35.2, ISO 286 and EN 10060, typed anew from other prints."""

import re
from fractions import Fraction

import pytest
from pressfit import fit

from inventory.measures.lengths import Length
from inventory.reference.bars import band, bands, grade_named, grades, grades_for, grades_named
from tests.outside.prints import inches, lines, mm, thousandths

ZERO = Length(0)


def ours(grade, shape="round"):
    """The bands of a grade, each as its ends with whether they count as in, and what it allows."""
    return [
        (one.over, one.over_included, one.upto, one.upto_included, one.plus, one.minus, one.out_of_round)
        for one in bands()
        if (one.grade, one.shape) == (grade, shape)
    ]


def steps(ends):
    """Over the one before, up to and including this one."""
    return list(zip([None, *ends], [False] * len(ends), ends, [True] * len(ends), strict=False))


# ASTM A108 Table A1.1, typed again from memory of the table: up to and including, then what it may be under nominal, in
# thousandths: carbon to 0.28 %; over 0.28 to 0.55 %; to 0.55 % and annealed or stress relieved; over 0.55 %, or
# quenched and tempered. Nothing is over nominal.
A108 = {
    "round": """
1.5   2 3 4 5
2.5   3 4 5 6
4     4 5 6 7
6     5 6 7 8
8     6 7 8 9
9     7 8 9 10
""",
    "hex": """
0.75  2 3 4 6
1.5   3 4 5 7
2.5   4 5 6 8
3.125 5 6 7 9
4     5 6 - -
""",
    "square": """
0.75  2  4 5 7
1.5   3  5 6 8
2.5   4  6 7 9
4     6  8 9 11
5     10 - - -
6     14 - - -
""",
}
COLUMNS = ("cold-drawn", "cold-drawn-high-carbon", "cold-drawn-annealed", "cold-drawn-heat-treated")


@pytest.mark.parametrize("shape", A108)
@pytest.mark.parametrize(("column", "grade"), list(enumerate(COLUMNS, start=1)))
def test_cold_drawn_bar_is_as_far_under_as_a108_allows_and_never_over(grade, column, shape):
    rows = [row for row in lines(A108[shape]) if row[column] != "-"]
    ends = steps([inches(row[0]) for row in rows])

    assert ours(grade, shape) == [
        (*end, ZERO, thousandths(row[column]), None) for end, row in zip(ends, rows, strict=True)
    ]


# ASTM A29 Table A1.1, hot rolled rounds, inches; read in another reproduction, which a mill prints for its stainless
# rounds (the two standards share the table): up to, over, under.
A29 = """
5/16  0.005 0.005
7/16  0.006 0.006
5/8   0.007 0.007
7/8   0.008 0.008
1     0.009 0.009
9/8   0.010 0.010
5/4   0.011 0.011
11/8  0.012 0.012
3/2   0.014 0.014
2     1/64  1/64
5/2   1/32  0
7/2   3/64  0
9/2   1/16  0
11/2  5/64  0
13/2  1/8   0
8     5/32  0
"""


def test_hot_rolled_rounds_are_as_a29_allows():
    rows = lines(A29)
    ends = steps([inches(row[0]) for row in rows])

    assert [row[:6] for row in ours("hot-rolled")] == [
        (*end, inches(plus), inches(minus)) for end, (_, plus, minus) in zip(ends, rows, strict=True)
    ]


def test_hot_rolled_rounds_are_out_of_round_by_three_quarters_of_the_range():
    # The rule behind the column of ASTM A29, which rounds to a thousandth; over 5-1/2 in the column allows less.
    for _, _, upto, _, plus, minus, out_of_round in ours("hot-rolled"):
        if upto > inches("5.5"):
            continue
        worked_out = Fraction((plus.nm + minus.nm) * 3, 4)
        assert out_of_round.nm % 25_400 == 0
        assert abs(out_of_round.nm - worked_out) <= Fraction(25_400 * 89, 100)


# The same column as the second reproduction prints it, in mm: to the nearest hundredth.
A29_OUT_OF_ROUND = "0.20 0.23 0.25 0.30 0.33 0.38 0.41 0.46 0.53 0.58 0.58 0.89 1.17 1.47 1.78 2.16"


def test_hot_rolled_rounds_are_out_of_round_as_the_metric_print_says():
    printed = [mm(text) for text in A29_OUT_OF_ROUND.split()]
    found = [row[-1] for row in ours("hot-rolled")]

    assert len(found) == len(printed)
    assert all(abs(one - other) < mm("0.006") for one, other in zip(found, printed, strict=True))


# ISO 286-1: the steps of nominal size, mm. EN 10278 has bright bar in h; hexagon and square come to h11 only.
ISO_STEPS = ("3", "6", "10", "18", "30", "50", "80", "120", "180")
FLATS_UPTO = ISO_STEPS.index("80") + 1
H_GRADES = [(grade, "round") for grade in range(6, 12)] + [(11, "hex"), (11, "square")]


def h_grade_um(grade, nominal):
    """What pressfit (ISO 286-1, a tested public library) gives for the shaft: (upper, lower) in micrometres."""
    found = fit(f"{nominal} H7/h{grade}")
    return round(found.shaft_es_um), round(found.shaft_ei_um)


@pytest.mark.parametrize(("grade", "shape"), H_GRADES)
def test_the_bands_of_an_h_grade_are_those_of_iso_286(grade, shape):
    sizes = ISO_STEPS if shape == "round" else ISO_STEPS[:FLATS_UPTO]
    limits = [h_grade_um(grade, end) for end in sizes]

    assert ours(f"h{grade}", shape) == [
        (*end, Length(upper * 1000), Length(-lower * 1000), None)
        for end, (upper, lower) in zip(steps([mm(end) for end in sizes]), limits, strict=True)
    ]


@pytest.mark.parametrize(("grade", "shape"), H_GRADES)
def test_an_h_grade_is_that_of_iso_286_over_1_mm(grade, shape):
    for nominal in range(1, 181 if shape == "round" else 81):
        found = band(f"h{grade}", shape, Length.mm(nominal))
        assert (found.plus.nm, -found.minus.nm) == tuple(um * 1000 for um in h_grade_um(grade, nominal)), nominal


@pytest.mark.parametrize(("grade", "units"), [(6, 10), (7, 16), (8, 25), (9, 40), (10, 64), (11, 100)])
def test_an_h_grade_is_so_many_tolerance_units_of_its_step(grade, units):
    # ISO 286-1: i = 0.45 times the cube root of D plus 0.001 D micrometres, D the geometric mean of the step's ends in
    # mm; the first step counts from 1. The standard rounds, at small sizes by up to a sixth.
    for over, upto, found in zip(("1", *ISO_STEPS), ISO_STEPS, ours(f"h{grade}"), strict=False):
        mean = (float(over) * float(upto)) ** 0.5
        assert found[5].nm / 1000 == pytest.approx(units * (0.45 * mean ** (1 / 3) + 0.001 * mean), rel=1 / 6)


def test_the_end_of_an_iso_286_band_belongs_to_it():
    # ISO 286-1: over the first figure, up to and including the second.
    assert band("h9", "round", Length.mm(10)).minus == Length.mm("0.036")
    assert band("h9", "round", Length.mm("10.001")).minus == Length.mm("0.043")


@pytest.mark.parametrize("shape", ["hex", "square"])
def test_hex_and_square_bright_bar_is_h11_only(shape):
    # EN 10278: drawn hexagon and square come to h11, not to the finer classes.
    assert {one.code for one in grades() if one.unit == "mm" and shape in one.shapes} == {"h11"}


# Both ends count as in, a dash is no lower end; what it may be over, and the same under. A484: inches, and a size at an
# end belongs to the band above; typed again from a second mill's table (its first row from memory). H35.2: inches, read
# in a second reproduction. EN 10060: mm, from memory of its table. All of them are plus and minus.
A484 = """
1/16 5/16 0.001
5/16 1/2  0.0015
1/2  1    0.002
1    3/2  0.0025
3/2  4    0.003
"""
H35_2_ROD = """
0.125 0.374 0.0015
0.375 0.500 0.0015
0.501 1.000 0.002
1.001 1.500 0.0025
1.501 2.000 0.004
"""
H35_2_FLATS = """
0.375 0.500 0.002
0.501 1.000 0.0025
1.001 1.500 0.003
1.501 2.000 0.005
"""
H35_2_EXTRUDED = """
0.250 0.499 0.008
0.500 0.749 0.009
0.750 0.999 0.010
1.000 1.499 0.012
1.500 1.999 0.014
2.000 3.999 0.024
4.000 5.999 0.034
6.000 7.999 0.044
"""
EN_10060 = """
10 15 0.4
16 25 0.5
26 35 0.6
36 50 0.8
52 80 1.0
85 100 1.3
105 120 1.5
125 160 2.0
165 200 2.5
"""


def test_cold_finished_stainless_is_as_a484_allows():
    rows = [[inches(text) for text in row] for row in lines(A484)]

    assert ours("stainless") == [(low, True, high, high == inches("4"), by, by, None) for low, high, by in rows]


# ASTM A484, cold finished hexagons and squares, typed again from memory: the ends as A484 writes them, the size at the
# end of the first two belonging to the band above; thousandths under nominal, and nothing over.
A484_FLATS = """
1/8  5/16 2
5/16 1/2  3
1/2  1    4
1    2    6
2    3    8
3    4    10
"""


@pytest.mark.parametrize("shape", ["hex", "square"])
def test_cold_finished_stainless_flats_are_as_a484_allows_and_never_over(shape):
    rows = [(inches(low), inches(high), thousandths(by)) for low, high, by in lines(A484_FLATS)]

    assert ours("stainless", shape) == [
        (low, low <= inches("1/2"), high, high >= inches("1"), ZERO, by, None) for low, high, by in rows
    ]


@pytest.mark.parametrize(
    ("grade", "shape", "printed"),
    [
        ("aluminium", "round", H35_2_ROD),
        ("aluminium", "hex", H35_2_FLATS),
        ("aluminium", "square", H35_2_FLATS),
        ("aluminium-extruded", "round", H35_2_EXTRUDED),
        ("aluminium-extruded", "hex", H35_2_EXTRUDED),
        ("aluminium-extruded", "square", H35_2_EXTRUDED),
    ],
)
def test_aluminium_bar_is_as_h35_2_allows(grade, shape, printed):
    rows = [[inches(text) for text in row] for row in lines(printed)]

    assert ours(grade, shape) == [(low, True, high, True, by, by, None) for low, high, by in rows]


def test_aluminium_is_written_to_a_thousandth():
    # ANSI H35.2 writes band ends to three decimals: 0.250-0.499, then 0.500-0.749.
    steps_written = {one.code: one.written_to for one in grades()}
    assert steps_written["aluminium"] == steps_written["aluminium-extruded"] == inches("0.001")
    assert {step for code, step in steps_written.items() if not code.startswith("aluminium")} == {None}


def test_a_size_between_the_written_ends_of_two_aluminium_bands_goes_where_it_rounds_to():
    below, above = Length.inches("0.4994"), Length.inches("0.4996")
    assert band("aluminium-extruded", "round", below).plus == Length.inches("0.008")
    assert band("aluminium-extruded", "round", above).plus == Length.inches("0.009")


def test_hot_rolled_rounds_are_as_en_10060_allows_with_three_quarters_of_the_range_as_ovality():
    rows = [[mm(text) for text in row] for row in lines(EN_10060)]

    assert ours("hot-rolled-iso") == [
        (low, True, high, True, by, by, Length(by.nm * 2 * 3 // 4)) for low, high, by in rows
    ]


# ASTM B249 as merchants reprint it, rod of free cutting brass, from memory: up to and including, thousandths. Over 2 in
# it allows 0.15 % of the diameter, which their tables round down to a thousandth.
B249 = {
    "round": """
0.15  1.3
0.5   1.5
1     2
2     2.5
2.25  3
2.875 4
3.75  5
4.5   6
""",
    "hex": """
0.15 2.5
0.5  3
1    4
2    5
""",
}


@pytest.mark.parametrize("shape", B249)
def test_drawn_brass_rod_is_as_b249_allows(shape):
    rows = lines(B249[shape])
    ends = steps([inches(row[0]) for row in rows])

    assert ours("brass", shape) == [
        (*end, thousandths(by), thousandths(by), None) for end, (_, by) in zip(ends, rows, strict=True)
    ]


# Common practice: drill rod is sold as ground, to three tenths of a thou below 1/8 in, to half a thou below 1/2 in, to
# a thou above. The size at an end belongs to the band above.
def test_drill_rod_is_as_true_to_size_as_merchants_sell_it():
    ends = (None, inches("1/8"), inches("1/2"), inches("2"))

    assert ours("drill-rod") == [
        (low, low is not None, high, high == ends[-1], by, by, None)
        for low, high, by in zip(ends, ends[1:], map(thousandths, ("0.3", "0.5", "1")), strict=False)
    ]


# ASTM A108, turned, ground and polished rounds, from memory of the table: thousandths under nominal.
def test_ground_and_polished_bar_is_as_far_under_as_a108_allows_and_never_over():
    two_and_a_half = inches("2.5")

    assert ours("ground") == [
        (None, False, inches("1.5"), True, ZERO, thousandths("1"), None),
        (inches("1.5"), False, two_and_a_half, False, ZERO, thousandths("1.5"), None),
        (two_and_a_half, True, inches("3"), True, ZERO, thousandths("2"), None),
        (inches("3"), False, inches("4"), True, ZERO, thousandths("3"), None),
    ]


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
        ("hot-rolled-iso", "round", Length.mm("15.5")),
    ],
)
def test_outside_the_standards_tables_there_is_no_band(grade, shape, nominal):
    # ASTM A108 ends at 9 in; drill rod is sold round; EN 10060 lists single sizes, 15 and 16 mm with none between.
    assert band(grade, shape, nominal) is None


# What mills and merchants write on the label (common practice), and what AISI numbers mean: the last two figures of a
# carbon steel are its carbon in hundredths of a per cent.
LABELS = {
    "cold-drawn": "cold drawn/cold drawn 1018/cold drawn 12L14/CDS/CRS/1018/12L14/1215/1117/CD 1020/CF 1020"
    "/CD 8620/CF 8620",
    "cold-drawn-high-carbon": "cold drawn 1045/cold drawn 1144/1045/1144/1137/1141/CD 4130/CF 4130/CD 4140/CF 4140"
    "/CD 4340/CF 4340",
    "cold-drawn-annealed": "4140 annealed/4140 CD annealed/4140 stress relieved/4130 annealed/4340 annealed"
    "/1045 annealed",
    "cold-drawn-heat-treated": "4140 HT/4140 prehard/4140 PH/4140 heat treated/4140 quenched and tempered/4142 HT"
    "/4340 prehard/52100/1095/1080/1075",
    "ground": "TG&P/TGP",
    "drill-rod": "drill rod/drill rod W1/drill rod O1/drill rod A2/W1/O1/A2/W-1/O-1/A-2",
    "hot-rolled": "HR/HRS/A36/hot rolled A36/HR 1018/HR 1020/HR 1045/HR 4140/4140 hot rolled annealed"
    "/HR 4140 HT/HR 4340/HR 8620",
    "stainless": "303/304/316/416/17-4/304L/316L/17-4 PH/stainless 316/420/440C",
    "aluminium": "2011/2024/cold finished 6061",
    "aluminium-extruded": "extruded 6061/6063/extruded",
    "brass": "C360/360 brass/brass C360",
    "hot-rolled-iso": "EN 10060",
    **{f"h{grade}": f"h{grade}" for grade in range(6, 12)},
}


@pytest.mark.parametrize("code", LABELS)
def test_a_grade_is_known_by_the_words_on_a_bars_label(code):
    for words in LABELS[code].split("/"):
        assert grade_named(words).code == code, words
        assert grade_named(words.upper()).code == code, words


@pytest.mark.parametrize("code", ["cold-drawn", "cold-drawn-high-carbon"])
def test_a_carbon_steel_is_in_the_group_of_its_carbon(code):
    # AISI numbers; ASTM A108 parts its table at 0.28 and 0.55 %. 1215 and 12L14 are free cutting, to 0.15 % at most.
    words = next(grade.words for grade in grades() if grade.code == code)
    carbon = [int(word[2:]) for word in words if word.isdigit() and len(word) == 4 and grade_named(word)]

    assert carbon and all((hundredths > 28) is (code != "cold-drawn") for hundredths in carbon)


def test_the_labels_of_the_groups_of_carbon_part_where_a108_does():
    labels = {grade.code: grade.label for grade in grades()}

    assert "carbon to 0.28 %" in labels["cold-drawn"]
    assert "carbon over 0.28 to 0.55 %" in labels["cold-drawn-high-carbon"]
    assert "carbon over 0.55 %" in labels["cold-drawn-heat-treated"]


# Alloys that a label of ours names as an example, each with its grade; as LABELS.
EXAMPLES = {
    "cold-drawn": "(1018, 12L14)",
    "cold-drawn-high-carbon": "(1045, 1144)",
    "cold-drawn-annealed": "(4140 annealed)",
    "cold-drawn-heat-treated": "(4140 prehard)",
    "drill-rod": "(W1, O1, A2)",
    "aluminium": "(2011, 2024, 6061)",
    "aluminium-extruded": "(6061, 6063)",
    "brass": "(C360)",
    "hot-rolled-iso": "EN 10060",
    **{f"h{grade}": f"h{grade}" for grade in range(6, 12)},
}


def test_a_label_names_alloys_that_are_sold_as_such_bar():
    labels = {grade.code: grade.label for grade in grades()}

    unnamed = [code for code in EXAMPLES if not re.search(rf"(?<!\w){re.escape(EXAMPLES[code])}(?!\w)", labels[code])]
    assert unnamed == []


def test_an_alloy_that_is_made_both_ways_names_no_grade():
    # 6061 bar is drawn or extruded, and the two have different bands (ANSI H35.2).
    assert grade_named("6061") is None


def test_the_grades_of_a_shape_and_size_are_those_with_a_band():
    # EN 10278: drawn metric hexagon comes to h11 only. ASTM A108 gives hexagons in both carbon groups.
    codes = {grade.code for grade in grades_for("hex", Length.mm(20))}
    assert "h11" in codes and "cold-drawn" in codes and not codes & {"h9", "h10", "drill-rod", "ground"}


# Labels that merchants write (common practice), of which some are sold as bar of more than one grade.
ALSO_ON_LABELS = {
    "cold-drawn": "1020/CD 1020/CF 1020/8620/CD 8620/CF 8620",
    "cold-drawn-high-carbon": "CD 4130/CF 4130/CD 4140/CF 4140/CD 4340/CF 4340",
    "cold-drawn-annealed": "4140/annealed 4140/CD annealed 4140/CF annealed 4140/stress relieved 4140/4130"
    "/annealed 4130/4340/annealed 4340/CD annealed 4340/annealed 1045/stress relieved 1045",
    "cold-drawn-heat-treated": "4140/prehard 4140/4140 32 HRC/CD prehard 4140/CF prehard 4140/prehard 4142"
    "/prehard 4340/4340/52100/CD 52100/1095/CD 1095/1080/CD 1080/1075/CD 1075",
    "hot-rolled": "hot rolled A36/A36/HR 1018/HR 1020/1020/HR 1045/HR 1144/HR 4130/4130/HR 4140/4140/HR annealed 4140"
    "/HR prehard 4140/HR 4340/4340/HR annealed 4340/HR prehard 4340/HR 8620/8620",
    "stainless": "303/304/304L/316/316L/416/420/440C/17-4/17-4 PH/stainless 303/stainless 304/stainless 304L"
    "/stainless 316/stainless 316L/stainless 416/stainless 17-4/stainless 17-4 PH",
    "aluminium": "2011/2024/6061/CF 6061/CD 6061",
    "aluminium-extruded": "extruded 6061/6061/6063/extruded 6063",
    "brass": "brass C360/C360/360 brass/360",
}


@pytest.mark.parametrize("code", ALSO_ON_LABELS)
def test_a_label_means_the_grades_that_such_bar_is_sold_as(code):
    for words in ALSO_ON_LABELS[code].split("/"):
        assert code in {grade.code for grade in grades_named(words)}, words
