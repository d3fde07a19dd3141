"""The job, from what was typed."""

from fractions import Fraction

import pytest

from fitfinder.plan.job_texts import job_from
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Unit, parse
from tests.fitfinder.holding.small_shop import job


def refused(size="1", **texts):
    with pytest.raises(QuestionError) as caught:
        job(size, **texts)
    return caught.value


def test_what_is_left_out_is_one_part_in_one_set_up_and_nothing_else():
    asked = job("3/4")

    assert (asked.parts, asked.setups, asked.starts) == (1, 1, 1)
    assert asked.length is asked.tir is asked.throw is asked.taper is asked.bore is None
    assert asked.read_as == "3/4 in round, measured"


@pytest.mark.parametrize(("size", "size2"), [("1 x 2", ""), ("2x1", ""), ("1", "2"), ("2", "1")])
def test_rectangular_bar_is_read_from_both_sides_in_any_order(size, size2):
    asked = job(size, size2=size2, shape="rectangular")

    assert (asked.stock.band.largest, asked.thickness) == (parse("2"), parse("1"))
    assert asked.read_as == "1 by 2 in flat, measured"


def test_rectangular_bar_swings_its_diagonal():
    assert job("3 x 4", shape="rectangular").circle == parse("5")


def test_one_side_of_rectangular_bar_is_asked_for_the_other():
    assert refused("1", shape="rectangular").field == "size2"


def test_a_tube_needs_its_bore():
    assert refused("1", shape="tube").field == "bore"


def test_a_bore_as_large_as_the_outside_is_refused_and_the_largest_below_it_is_not():
    assert refused("1", shape="tube", bore="1").field == "bore"
    assert job("1", shape="tube", bore="0.9999").wall == parse("0.00005")


@pytest.mark.parametrize(("bore", "is_thin"), [("0.8001", True), ("0.8", False), ("0.7999", False)])
def test_a_wall_under_a_tenth_of_the_outside_is_thin(bore, is_thin):
    assert (job("1", shape="tube", bore=bore).thin_wall is not None) is is_thin


@pytest.mark.parametrize(
    ("text", "ratio"),
    [
        ("20", 20), ("1:20", 20), ("1 : 12,5", Fraction(25, 2)), ("1", 1), ("1 in 20", 20), ("7:24", Fraction(24, 7)),
        ("1/2 in/ft", 24), ("1-1/4 in/ft", Fraction(48, 5)), (".6 in per foot", 20), ('0.75"/ft', 16), (".6 tpf", 20),
        ("50 mm/m", 20), ("5 %", 20),
    ],
)  # fmt: skip
def test_a_taper_is_how_far_it_goes_for_one(text, ratio):
    assert job(taper=text).taper == ratio


@pytest.mark.parametrize(
    ("text", "per_foot"),
    [
        # Machinery handbooks' table of tapers per foot and angles: 1 in per foot is 4°46'19" included, 2 in 9°31'38".
        ("4 deg 46' included", 1), ("4° 46 min incl", 1), ("9 deg 32' included", 2), ("4 deg 46' a side", 2),
        # ISO 296, Morse No. 2: 0.59941 in per foot.
        ("Morse 2", Fraction("0.59941")), ("MT2", Fraction("0.59941")),
        ("2 MT", Fraction("0.59941")),
    ],
)  # fmt: skip
def test_a_taper_may_be_an_angle_or_a_morse_taper(text, per_foot):
    assert abs(12 / job(taper=text).taper - per_foot) < Fraction("0.003")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("5 deg", "write “a side” or “included”"), ("6 in/m", "mixes inches and millimetres"), ("50 mm/ft", "mixes"),
        ("MT9", "from 0 to 7"), ("95 deg included", "0 to 45"), ("1/2", "a ratio or so much a foot"),
        ("5'", "each of what"), ("3/4 ft", "each of what"), ("50/m", "of what"), ("20 in", "is no taper"),
        ("in/ft", "is no taper"), ("3 deg 75' a side", "is no taper"), ("1/0 in/ft", "is steeper"),
        ("20 in/ft", "is steeper"), ("60 deg included", "is steeper"),
    ],
)  # fmt: skip
def test_a_taper_that_may_mean_two_things_is_asked_back(text, words):
    with pytest.raises(QuestionError, match=words):
        job(taper=text)


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("parts", "0"), ("parts", "-1"), ("parts", "100001"), ("parts", "1.5"), ("parts", "٣"), ("setups", "21"),
        ("starts", "25"), ("taper", "0.5"), ("taper", "steep"), ("weight", "12"), ("shape", "oval"), ("unit", "cm"),
        ("length", "long"), ("length", "401"), ("tir", "0"), ("throw", "0.5001"), ("fed", "maybe"),
        ("regrip", "both"), ("bore", "1"), ("grade", "cheese"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_by_its_field_and_with_what_is_accepted(field, text):
    error = refused(**{field: text})

    assert error.field == field
    assert error.message.endswith((".", "?"))


@pytest.mark.parametrize(("field", "text"), [("parts", "100000"), ("setups", "20"), ("starts", "24"), ("throw", "0.5")])
def test_the_most_that_is_accepted_is_accepted(field, text):
    job(**{field: text})


@pytest.mark.parametrize("field", ["stick_out", "grip"])
def test_a_part_of_the_length_longer_than_the_whole_is_refused(field):
    assert refused(length="3", **{field: "3.001"}).field == field
    job(length="3", **{field: "3"})


def test_a_bare_number_is_in_the_unit_of_the_question():
    assert job("20", unit="mm", length="100").length == parse("100 mm")


def test_a_unit_that_is_given_is_never_asked_back_and_one_that_is_not_may_be():
    limit = parse("10")

    assert job_from({"size": "40", "unit": "in"}, bare_limit=limit).stock.band.largest == parse("40")
    assert job_from({"size": "40"}, shop_unit=Unit.MM, bare_limit=limit).stock.band.largest == parse("40 mm")
    with pytest.raises(QuestionError, match="has no unit"):
        job_from({"size": "40"}, bare_limit=limit)


@pytest.mark.parametrize("size", ["3/4-10", "M12", "1/2 NPT", "3/4 knurled"])
@pytest.mark.parametrize("shape", ["round", "hex", "tube", "casting"])
def test_threads_and_surfaces_are_asked_for_what_they_measure(size, shape):
    assert "mic" in refused(size, shape=shape, bore=".1").message.lower()


@pytest.mark.parametrize(("size", "shape"), [("3/4-10 x 2", "rectangular"), ("3/4-10 x .065", "tube")])
def test_a_thread_is_no_side_and_no_outside(size, shape):
    assert "3/4-10” is a thread" in refused(size, shape=shape).message


def test_what_stands_out_is_what_one_diameter_of_grip_leaves():
    assert job("1", length="5").stands_out == parse("4")
    assert job("1", length="5", grip="2").stands_out == parse("3")
    assert job("1", length="1/2").stands_out.nm == 0


@pytest.mark.parametrize(
    ("size", "read_as"),
    [
        ("1-1/2 x .065", "1-1/2 in tube, measured, bore 1.3700 in"),
        ("40 x 2 mm", "40 mm tube, measured, bore 1.4173 in"),
    ],
)
def test_tube_is_read_by_its_outside_and_its_wall_as_it_is_sold(size, read_as):
    assert job(size, shape="tube").read_as == read_as


@pytest.mark.parametrize(("wall", "is_read"), [(".7499", True), (".75", False), (".7501", False)])
def test_a_wall_that_leaves_no_bore_is_told(wall, is_read):
    if is_read:
        assert job(f"1-1/2 x {wall}", shape="tube").bore is not None
        return
    with pytest.raises(QuestionError, match="leaves no bore in tube of 1-1/2 in"):
        job(f"1-1/2 x {wall}", shape="tube")


def test_a_bore_that_is_given_beside_outside_and_wall_is_asked_back():
    with pytest.raises(QuestionError, match="cannot be read as a length"):
        job("1-1/2 x .065", shape="tube", bore="1")


def test_work_from_both_ends_is_gripped_twice():
    assert job("1", both_ends="yes").setups == 2
    assert job("1", both_ends="yes", setups=3).setups == 3


def test_the_length_of_a_taper_and_the_turned_diameter_are_read():
    asked = job("1", length="8", taper="20", taper_length="2", turned=".940")

    assert (asked.taper_length, asked.turned) == (parse("2"), parse(".940"))
    assert (asked.is_on_turned, asked.setups) == (True, 2)
    assert {"a taper 2 in long", "turned to 0.9400 in first"} <= set(asked.words)
    assert job("25 mm", unit="mm", turned="24").turned == parse("24 mm")


def test_what_is_not_told_of_taper_and_turning_stays_open():
    asked = job("1", taper="20", regrip="turned", setups="3")

    assert (asked.taper_length, asked.turned) == (None, None)
    assert (asked.is_on_turned, asked.setups) == (True, 3)
    assert job("1", turned=".9", setups="4").setups == 4


@pytest.mark.parametrize(
    ("texts", "field", "words"),
    [
        ({"taper_length": "2"}, "taper_length", "Write the taper too"),
        ({"taper": "20", "taper_length": "two"}, "taper_length", "cannot be read as a length"),
        ({"taper": "20", "taper_length": "3.1", "length": "3"}, "taper_length", "longer than the whole length"),
        ({"taper": "20", "taper_length": "20"}, "taper_length", "takes all of the 1 in"),
        ({"turned": "0"}, "turned", "not above zero"),
        ({"turned": "1"}, "turned", "is not turned to 1 in"),
        ({"turned": ".9", "regrip": "same"}, "turned", "Leave out one of the two"),
        ({"turned": ".5", "bore": ".5"}, "turned", "nothing is left around a bore"),
    ],
)
def test_a_taper_or_a_turned_diameter_that_cannot_be_is_refused(texts, field, words):
    error = refused("1", **texts)

    assert (error.field, words in error.message) == (field, True)


@pytest.mark.parametrize(
    ("size", "more", "turned"),
    [("1", {}, ".9999"), ("1", {"shape": "hex"}, "1.15"), ("1", {"bore": ".5"}, ".5001")],
)
def test_the_most_that_can_be_turned_is_accepted(size, more, turned):
    assert job(size, turned=turned, **more).turned == parse(turned)


def test_a_taper_just_under_the_whole_bar_is_accepted():
    assert job("1", taper="20", taper_length="19.999", length="20").taper_length == parse("19.999")
