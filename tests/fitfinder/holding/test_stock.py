"""Reading what the machinist said of the stock."""

from fractions import Fraction

import pytest

from fitfinder.holding.stock import Band, PieceNamed, StockShape, across_corners
from fitfinder.holding.texts.stock_texts import no_such_tag, stock_from, stock_of
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, Unit, parse


def refused(*texts, **more):
    with pytest.raises(QuestionError) as caught:
        stock_from(*texts, **more)
    return caught.value


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        (".748-.750", "0.748", "0.750"),
        (".748 - .750", "0.748", "0.750"),
        (".748 to .750", "0.748", "0.750"),
        (".748–.750", "0.748", "0.750"),
        ('.748"-.750"', "0.748", "0.750"),
        ("748-750 thou", "0.748", "0.750"),
        ("3/4-7/8", "3/4", "7/8"),
        ("3/4 - 7/8", "3/4", "7/8"),
        ("18.95-19.05 mm", "18.95 mm", "19.05 mm"),
        ("18.95 to 19.05mm", "18.95 mm", "19.05 mm"),
        ("18.95 mm-19.05 mm", "18.95 mm", "19.05 mm"),
        ("1-1/8 to 1-1/4", "1-1/8", "1-1/4"),
        ("1-1/8-1-1/4", "1-1/8", "1-1/4"),
        ("1-1/8 in to 1-1/4 in", "1-1/8", "1-1/4"),
        ("3/4 to 1-1/8", "3/4", "1-1/8"),
    ],
)
def test_a_range_in_one_text_is_the_smallest_and_largest_measured(text, low, high):
    assert stock_from(text).band == Band(parse(low), parse(high))


@pytest.mark.parametrize("text", ["1-1/8", "1 - 1/8", "1 1/8", '1-1/8"', "1-1/8 in"])
def test_a_mixed_number_stays_one_size(text):
    assert stock_from(text).band == Band(Length.inches("9/8"), Length.inches("9/8"))


def test_two_texts_are_the_smallest_and_largest_measured():
    stock = stock_from(".748", ".750")

    assert stock.band == Band(parse(".748"), parse(".750"))
    assert stock.read_as == "0.7480 to 0.7500 in round, measured"


def test_the_same_size_twice_is_no_reversed_order():
    assert stock_from(".75", ".75").band == Band(parse(".75"), parse(".75"))


@pytest.mark.parametrize("text", ["20h9", "20 h9", "20 mm h9", "20mm h9", "20H9"])
def test_a_size_with_an_iso_grade_is_nominal_millimetres(text):
    stock = stock_from(text)

    assert stock.band == Band(Length.mm("19.948"), Length.mm("20"))
    assert stock.nominal == Length.mm(20)


def test_a_bare_number_is_in_the_unit_of_the_question():
    assert stock_from("19", unit=Unit.MM).band.smallest == Length.mm(19)


def test_a_measured_size_is_as_it_is():
    stock = stock_from(".7485")

    assert stock.band == Band(parse(".7485"), parse(".7485"))
    assert stock.read_as == "0.7485 in round, measured"


def test_a_measured_size_is_widened_by_the_shops_allowance_both_ways():
    stock = stock_from(".7485", allowance=parse("0.0002"))

    assert stock.band == Band(parse(".7483"), parse(".7487"))
    assert stock.read_as == "0.7485 in round, measured ± 0.0002"


def test_a_graded_size_says_that_it_is_nominal():
    stock = stock_from("3/4", grade="cold-drawn")

    assert stock.band == Band(parse("0.748"), parse("0.750"))
    assert "nominal" in stock.read_as


def test_allowed_out_of_round_is_told_and_does_not_widen_the_band():
    stock = stock_from("1", grade="hot-rolled")

    assert stock.out_of_round == parse("0.013")
    assert stock.band == Band(parse("0.991"), parse("1.009"))


@pytest.mark.parametrize(
    ("texts", "more", "field", "words"),
    [
        pytest.param((".750", ".748"), {}, "size2", "smallest, then the largest", id="reversed order"),
        pytest.param((".750-.748",), {}, "size2", "smallest, then the largest", id="reversed in one text"),
        pytest.param(("0",), {}, "size", "not above zero", id="zero"),
        pytest.param(("-1",), {}, "size", "below zero", id="below zero"),
        pytest.param((".74", "0"), {}, "size2", "not above zero", id="zero as the largest"),
        pytest.param(("",), {}, "size", "No size was given", id="nothing"),
        pytest.param(("three quarters",), {}, "size", "cannot be read as a length", id="words"),
        pytest.param(("3/4",), {"shape": "oval"}, "shape", "round, hex or square", id="unknown shape"),
        pytest.param(("3/4",), {"grade": "wood"}, "grade", "cold-drawn", id="unknown grade"),
        pytest.param((".74", ".75"), {"grade": "h9"}, "size2", "one nominal size", id="grade and two sizes"),
        pytest.param(("1/2",), {"grade": "drill-rod", "shape": "hex"}, "grade", "Measure", id="no such bar"),
    ],
)
def test_what_cannot_be_read_is_refused_naming_the_field(texts, more, field, words):
    error = refused(*texts, **more)

    assert error.field == field
    assert words in error.message


def test_what_was_read_is_said_back():
    assert refused("three quarters").read == "three quarters"


def test_a_grade_that_contradicts_the_text_is_refused():
    assert refused("20h9", grade="h6").field == "size"


def test_a_bare_number_larger_than_any_grip_is_asked_back():
    error = refused("12", bare_limit=parse("6"))

    assert (error.field, error.suggest) == ("size", "12 mm")


def test_a_number_with_its_unit_is_never_asked_back():
    assert stock_from("12 in", bare_limit=parse("6")).band.largest == parse("12")


@pytest.mark.parametrize(
    ("shape", "squared"),
    [("round", Fraction(1)), ("square", Fraction(2)), ("hex", Fraction(4, 3))],
)
@pytest.mark.parametrize("flats", [Length(1), Length(3), Length.inches("7/8"), Length.mm(24)])
def test_across_corners_is_the_least_whole_nanometre_that_clears_the_corners(shape, squared, flats):
    corners = across_corners(shape, flats).nm

    assert (corners - 1) ** 2 < squared * flats.nm**2 <= corners**2


@pytest.mark.parametrize(
    ("text", "grade", "low", "high"),
    [
        ("3/4 cold drawn 1018", "cold-drawn", "0.748", "0.75"),
        ("1-1/8 hot rolled", "hot-rolled", "1.115", "1.135"),
        ("3/4 in drill rod", "drill-rod", "0.749", "0.751"),
        ("20 mm h9", "h9", "19.948 mm", "20 mm"),
    ],
)
def test_a_size_is_read_with_the_words_of_the_bars_label(text, grade, low, high):
    # ASTM A108, A29, ISO 286; drill rod: common practice.
    stock = stock_from(text)

    assert (stock.grade.grade, stock.band) == (grade, Band(parse(low), parse(high)))


COLLET = PieceNamed(tag="C-0024", what="3/4 round 5C collet", shape=StockShape.ROUND, nominal=parse("3/4"))


def test_stock_of_the_size_of_a_piece_is_not_told_as_measured():
    stock = stock_of(COLLET)

    assert stock.read_as == "3/4 in round, the size of C-0024, a 3/4 round 5C collet"
    assert (stock.band, stock.of_piece) == (Band(parse("3/4"), parse("3/4")), COLLET)
    assert stock_of(COLLET, grade="cold-drawn").band == Band(parse(".748"), parse(".75"))


def test_a_piece_that_holds_no_one_size_is_shown_and_asked_back():
    with pytest.raises(QuestionError, match="K-0001 is a universal chuck, which holds no one size") as refused:
        stock_of(PieceNamed(tag="K-0001", what="universal chuck"))

    assert (refused.value.field, refused.value.tag) == ("size", "K-0001")


@pytest.mark.parametrize(
    ("what", "article"),
    [
        ("3/4 round 5C collet", "a"), ("11 mm round ER32 collet", "an"), ("18 mm round ER32 collet", "an"),
        ("8 mm hex 5C collet", "an"), ("110 mm drill", "a"), ("ER32 machinable collet", "an"), ("universal chuck", "a"),
        ("independent chuck", "an"), ("R8 machinable collet", "an"), ("16 mm round ER32 collet", "a"),
    ],
)  # fmt: skip
def test_a_piece_has_the_article_that_is_spoken(what, article):
    assert PieceNamed(tag="X", what=what).called == f"{article} {what}"


@pytest.mark.parametrize(("text", "is_told"), [("C-9999", True), ("h - 12", True), ("3/4-10", False), ("M12", False)])
def test_a_tag_that_no_piece_has_is_told_as_that(text, is_told):
    assert (no_such_tag(text) is not None) is is_told


def test_words_that_are_no_grade_are_not_taken_for_one():
    with pytest.raises(QuestionError, match="cannot be read as a length"):
        stock_from("3/4 unobtainium")
