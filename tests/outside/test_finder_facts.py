"""Fits that a machinist can check against the published figures, with the built-in tables."""

from fractions import Fraction

import pytest

from fitfinder.holding import verdicts
from fitfinder.holding.stock import across_corners
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length, parse
from inventory.reference.clamping import Figures
from inventory.reference.collets import collet_series


def row_of(series, shape="round"):
    return next(row for row in collet_series() if (row.code, row.shape) == (series, shape))


def reach_of(series, nominal, shape="round"):
    row = row_of(series, shape)
    figures = Figures(
        closes_by=row.closes_by,
        opens_by=row.opens_by,
        small_closes_by=row.small_closes_by,
        small_upto=row.small_upto,
    )
    clamps = figures.clamping_range(parse(nominal))
    return Reach(
        smallest=clamps.smallest,
        largest=clamps.largest,
        edge_bottom=row.edge_bottom,
        edge_top=row.edge_top,
    )


def verdict(size, series, nominal, *, grade=""):
    return str(verdicts.judge(stock_from(size, grade=grade).band, reach_of(series, nominal)))


@pytest.mark.parametrize(
    ("size", "expected"),
    [("0.7550", "at the limit"), ("0.7551", "does not hold"), ("19 mm", "holds")],
)
def test_what_a_three_quarter_5c_grips(size, expected):
    # Common practice, no standard: a 5C collet grips about 0.005 in either way. 19 mm is 0.7480 in (1 in = 25.4 mm).
    assert verdict(size, "5C", "3/4") == expected


@pytest.mark.parametrize(
    ("series", "nominal", "expected"),
    [
        ("5C", "3/4", "holds"),
        ("ER32", "19 mm", "measure first"),
        ("ER32", "20 mm", "measure first"),
    ],
)
def test_where_three_quarter_cold_drawn_carbon_bar_goes(series, nominal, expected):
    # ASTM A108: nominal to 0.002 in under, 18.999 to 19.050 mm. ISO 15488: an ER collet of 1 mm steps closes by 1 mm
    # and never opens, so 19 mm ends just above the smallest such bar and 20 mm begins at 19 mm.
    assert verdict("3/4", series, nominal, grade="cold-drawn") == expected


def test_20_mm_h9_goes_in_the_20_mm_collet_of_er32():
    # ISO 286: h9 over 18 to 30 mm is 0 to -0.052 mm. ISO 15488: the 20 mm collet grips 19 to 20 mm.
    assert verdict("20h9", "ER32", "20 mm") == "holds"


def test_16_mm_h9_in_a_five_eighths_5c_is_two_micrometres_from_the_limit():
    # ISO 286: h9 over 10 to 18 mm is 0 to -0.043 mm. 5/8 in + 0.005 in = 16.002 mm (1 in = 25.4 mm).
    band, reach = stock_from("16h9").band, reach_of("5C", "5/8")

    assert str(verdicts.judge(band, reach)) == "at the limit"
    assert verdicts.margin(band, reach) == Length.mm("0.002")


def test_three_quarter_hot_rolled_in_a_three_quarter_5c_is_measured_first():
    # ASTM A29: hot rolled rounds over 5/8 to 7/8 in may be 0.008 in over or under, more than the collet's 0.005 in.
    assert verdict("3/4", "5C", "3/4", grade="hot-rolled") == "measure first"


@pytest.mark.parametrize(
    ("flats", "bore", "passes"),
    [
        pytest.param("7/8", "1-1/16", True, id="7/8 hex passes 1-1/16"),
        pytest.param("1-3/8", "1-1/2", False, id="1-3/8 hex does not pass 1-1/2"),
    ],
)
def test_hex_passes_a_bore_by_its_corners(flats, bore, passes):
    # Geometry: across corners of a sharp hexagon is 2/sqrt(3), 1.1547, of its flats.
    assert parse(flats) <= parse(bore)
    assert (across_corners("hex", parse(flats)) <= parse(bore)) is passes


def test_a_full_set_of_64ths_grips_64_percent_of_all_diameters():
    # Arithmetic: windows of 0.010 in every 1/64 in (0.015625 in) are 16/25.
    row = row_of("5C")
    rungs = range(row.ladder_from.nm, row.ladder_to.nm, row.ladder_step.nm)
    windows = [reach_of("5C", f"{nm // 396_875}/64") for nm in rungs]

    gripped = sum((one.largest - one.smallest).nm for one in windows)
    assert all(low.largest < high.smallest for low, high in zip(windows, windows[1:], strict=False))
    assert Fraction(gripped, row.ladder_to.nm - row.ladder_from.nm) == Fraction(64, 100)


def test_20_mm_h9_goes_in_no_5c_of_the_64ths():
    # ISO 286: 19.948 to 20.000 mm. The 64ths beside it, 25/32 and 51/64 in, grip 19.717 to 19.971 and 20.114 mm up:
    # no collet of the set has the whole band (1 in = 25.4 mm).
    verdicts_there = {verdict("20h9", "5C", f"{nm // 396_875}/64") for nm in range(793_750, 28_575_001, 396_875)}
    assert not verdicts_there & {"holds", "at the limit"}


@pytest.mark.parametrize(("grade", "expected"), [("aluminium", "holds"), ("aluminium-extruded", "measure first")])
def test_inch_aluminium_in_an_inch_5c_holds_drawn_and_is_measured_extruded(grade, expected):
    # ANSI H35.2: cold finished 1 in rod 0.002 in either way, extruded 0.012 in; the collet grips 0.005 in either way.
    assert verdict("1", "5C", "1", grade=grade) == expected


def test_half_inch_drill_rod_in_an_er_of_its_own_size_is_measured_first():
    # Drill rod is plus and minus (common practice); ISO 15488: an ER collet never opens past its size.
    assert verdict("1/2", "ER32", "1/2", grade="drill-rod") == "measure first"


@pytest.mark.parametrize(("shape", "over", "under"), [("hex", 4, 3), ("square", 2, 1)])
def test_corners_are_flats_times_two_over_root_three_or_root_two(shape, over, under):
    # Geometry: squared, 4/3 for a hexagon and 2 for a square, to the nanometre and never less.
    for text in ("1/8", "7/8", "1-3/8", "19 mm"):
        flats = parse(text).nm
        corners = across_corners(shape, parse(text)).nm
        assert (corners - 1) ** 2 * under < flats**2 * over <= corners**2 * under
