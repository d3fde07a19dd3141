"""Which series a collet can be, from what was measured on it."""

import pytest

from fitfinder.identify.measured import Measured, read_taper, read_thread
from fitfinder.identify.which_collet import Standing, compare, identify
from inventory.measures.lengths import Length, parse
from inventory.reference.bodies import Body, BodyFigure, Closing, Dimension, bodies

BODIES = {body.code: body for body in bodies()}


def measured(*, thread=None, taper=None, closing=None, **lengths):
    diameter, pitch = read_thread(thread) if thread else (None, None)
    return Measured(
        thread=diameter,
        pitch=pitch,
        taper=read_taper(taper) if taper else None,
        closing=Closing(closing) if closing else None,
        **{name: parse(text) for name, text in lengths.items()},
    )


def can_be(**figures):
    return [candidate.body.code for candidate in identify(measured(**figures)).possible]


def standing_of(code, dimension, **figures):
    rows = compare(BODIES[code], measured(**figures)).comparisons
    return next(row.standing for row in rows if row.dimension is dimension)


@pytest.mark.parametrize(
    ("figures", "code"),
    [
        ({"body": "1.2485", "thread": "1.238-20"}, "5C"),
        ({"body": ".65"}, "3C"),
        ({"thread": "1.988-20"}, "3J"),
        ({"body": "1.89", "thread": "1.875 x 1.75 mm"}, "16C"),
        ({"body": ".9495", "thread": "7/16-20", "closing": "inside"}, "R8"),
        ({"body": "8.5 mm"}, "ER8"),
        ({"body": "33 mm", "length": "40 mm", "taper": "8"}, "ER32"),
        ({"head": "41 mm", "closing": "nut"}, "ER40"),
        ({"body": ".938", "taper": "Morse"}, "MT3"),
        ({"taper": "MT5"}, "MT5"),
    ],
)
def test_a_collet_is_told_by_a_few_figures(figures, code):
    assert can_be(**figures) == [code]


# 0.010 in on diameters and 0.06 in on the length: working figures of this product, common practice, no source.
@pytest.mark.parametrize(
    ("dimension", "text", "standing"),
    [
        (Dimension.BODY, "1.2399", Standing.DIFFERS),
        (Dimension.BODY, "1.24", Standing.AGREES),
        (Dimension.BODY, "1.25", Standing.AGREES),
        (Dimension.BODY, "1.26", Standing.AGREES),
        (Dimension.BODY, "1.2601", Standing.DIFFERS),
        (Dimension.LENGTH, "3.2199", Standing.DIFFERS),
        (Dimension.LENGTH, "3.22", Standing.AGREES),
        (Dimension.LENGTH, "3.34", Standing.AGREES),
        (Dimension.LENGTH, "3.3401", Standing.DIFFERS),
    ],
)
def test_a_length_agrees_up_to_the_allowance_and_at_it(dimension, text, standing):
    assert standing_of("5C", dimension, **{dimension.value: text}) is standing


# Half a degree: working figure of this product, common practice, no source.
@pytest.mark.parametrize(
    ("text", "standing"),
    [("9.49", Standing.DIFFERS), ("9.5", Standing.AGREES), ("10.5", Standing.AGREES), ("10.51", Standing.DIFFERS)],
)
def test_an_angle_agrees_within_half_a_degree(text, standing):
    assert standing_of("5C", Dimension.ANGLE, taper=text) is standing


# 3 % of the pitch: 19.5 to the inch is 2.6 % off 20, 19 to the inch 5.3 %.
@pytest.mark.parametrize(
    ("thread", "standing"),
    [("1.238-19", Standing.DIFFERS), ("1.238-19.5", Standing.AGREES), ("1.238 x 1.25 mm", Standing.AGREES)],
)
def test_a_pitch_agrees_within_three_hundredths(thread, standing):
    assert standing_of("5C", Dimension.PITCH, thread=thread) is standing


def test_a_figure_that_is_not_on_file_is_unknown_and_rules_nothing_out():
    assert BODIES["3J"].figure(Dimension.LENGTH) is None
    assert standing_of("3J", Dimension.LENGTH, length="3") is Standing.UNKNOWN
    assert can_be(thread="1.988-20", length="3") == ["3J"]


def test_a_thread_without_its_pitch_is_compared_by_its_diameter_alone():
    assert standing_of("5C", Dimension.THREAD, thread="1.238") is Standing.AGREES
    assert standing_of("5C", Dimension.PITCH, thread="1.238") is Standing.NOT_MEASURED


def test_what_agrees_in_more_comes_first():
    assert can_be(taper="8", closing="nut")[:2] == ["ER8", "ER11"]
    assert can_be(taper="8.2")[0].startswith("ER")
    best, *_ = identify(measured(taper="8.3", head="1.25")).possible
    assert best.body.code == "R8"


def test_a_figure_that_differs_rules_a_series_out():
    assert can_be(body="33 mm", closing="outside") == []


def test_a_morse_shank_of_another_number_differs():
    assert standing_of("MT3", Dimension.ANGLE, taper="MT2") is Standing.DIFFERS
    assert standing_of("MT3", Dimension.ANGLE, taper="Morse") is Standing.AGREES
    assert standing_of("ER32", Dimension.ANGLE, taper="Morse") is Standing.DIFFERS


def test_a_jarno_shank_looks_like_a_morse_by_its_angle_only():
    assert standing_of("MT3", Dimension.ANGLE, taper="Jarno") is Standing.AGREES
    assert standing_of("ER32", Dimension.ANGLE, taper="Jarno") is Standing.DIFFERS


def test_where_none_fits_the_nearest_stand_with_by_how_much_they_miss():
    found = identify(measured(body="1.2", length="3.28", thread="1.238-20"))

    assert (found.headline, found.possible) == ("None of the series on file", ())
    assert found.nearest[0].body.code == "5C"
    assert len(found.nearest) == 3
    body = found.nearest[0].comparisons[0]
    assert (body.standing, body.differs_by) == (Standing.DIFFERS, "-0.0500 in (-1.270 mm)")
    assert found.nearest[0].words == "agrees in 3 of 4 measured figures, differs in 1"


def test_what_agrees_exactly_says_so_and_names_both_and_the_source():
    row = identify(measured(body="33 mm")).possible[0].comparisons[0]

    assert (row.differs_by, row.measured, row.listed) == ("no difference", *["1.2992 in (33.000 mm)"] * 2)
    assert "DIN 6499" in row.source


def test_of_two_that_agree_in_as_much_the_nearer_comes_first():
    def body(code, diameter):
        figure = BodyFigure(dimension=Dimension.BODY, value=Length.inches(diameter), source="", basis="")
        return Body(code, (figure,))

    found = identify(measured(body="1"), [body("far", "1.009"), body("near", "1.001"), body("none", "2")])

    assert [candidate.body.code for candidate in found.possible] == ["near", "far"]
    assert found.headline == "It can be near or far"


def test_nothing_on_file_of_what_was_measured_is_neither_possible_nor_near():
    found = identify(measured(length="3"), [Body("bare", ())])

    assert (found.possible, found.nearest) == ((), ())
