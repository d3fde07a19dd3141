"""The trade's words for seats, kinds, conditions and shapes, in whatever case, order or punctuation."""

import pytest

from inventory.models import Kind
from inventory.pieces import words
from inventory.reference.codes import known_code

SEATS = {
    "MT3",
    "MT5",
    "JT33",
    "BS7",
    "BS9",
    "BS10",
    "JARNO6",
    "JARNO12",
    "5C",
    "ER32",
    "D1-4",
    "55027-5",
    "55027-11",
    "1-1/2-8",
    "OWN 7",
}


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("MT3", "MT3"),
        ("Morse 3", "MT3"),
        ("morse taper no. 3", "MT3"),
        ("M.T. 3", "MT3"),
        ("MT 3", "MT3"),
        ("mt-3", "MT3"),
        ("3 MT", "MT3"),
        ("#3 Morse", "MT3"),
        ("Jacobs 33", "JT33"),
        ("B&S 7", "BS7"),
        ("Brown & Sharpe No. 9", "BS9"),
        ("brown and sharpe taper 10", "BS10"),
        ("Jarno 6", "JARNO6"),
        ("Jarno No. 12", "JARNO12"),
        ("DIN 55027-5", "55027-5"),
        ("55027 11", "55027-11"),
        ("5-C", "5C"),
        ("er 32", "ER32"),
        ("d1-4", "D1-4"),
        ("D1 4", "D1-4"),
        ("1 1/2 - 8", "1-1/2-8"),
        ("own 7", "OWN 7"),
        ("Q9-9", None),
        ("MT8", None),
        ("", None),
    ],
)
def test_a_seat_is_read_in_the_spellings_of_the_trade(text, code):
    assert known_code(text, SEATS) == code


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Collet", Kind.COLLET),
        ("COLLETS", Kind.COLLET),
        ("Collet, machinable", Kind.MACHINABLE_COLLET),
        ("emergency collet", Kind.MACHINABLE_COLLET),
        ("blank collet", Kind.MACHINABLE_COLLET),
        ("Chuck, universal", Kind.UNIVERSAL_CHUCK),
        ("3-jaw chuck", Kind.UNIVERSAL_CHUCK),
        ("self-centering chuck", Kind.UNIVERSAL_CHUCK),
        ("scroll chuck", Kind.UNIVERSAL_CHUCK),
        ("independent 3-jaw chuck", Kind.INDEPENDENT_CHUCK),
        ("Center, live, extended point", Kind.EXTENDED_POINT_CENTER),
        ("live centre", Kind.LIVE_CENTER),
        ("Center, bull-nose", Kind.BULL_NOSE_CENTER),
        ("collet chuck", Kind.COLLET_CHUCK),
        ("collet closer", Kind.CLOSER),
        ("drill chucks", Kind.DRILL_CHUCK),
        ("toolpost holder", Kind.TOOL_POST_HOLDER),
        ("face plate", Kind.FACEPLATE),
        ("Dog, lathe", Kind.LATHE_DOG),
        ("rest, steady", Kind.STEADY_REST),
        ("chuck", None),
        ("", None),
    ],
)
def test_a_kind_is_read_without_regard_to_case_order_or_punctuation(text, kind):
    assert words.kind_of(text) == kind


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_is_read_from_its_own_word(kind):
    assert words.kind_of(kind.value) == kind


@pytest.mark.parametrize(
    ("text", "condition"), [("", "good"), ("WORN.", "worn"), ("Scrapped", "scrapped"), ("so-so", None)]
)
def test_a_condition_is_read_without_regard_to_case_or_punctuation(text, condition):
    assert words.condition_of(text) == condition


@pytest.mark.parametrize(("text", "shape"), [("", "round"), ("Hexagon", "hex"), ("SQ.", "square"), ("oval", None)])
def test_a_shape_is_read_without_regard_to_case_or_punctuation(text, shape):
    assert words.shape_of(text) == shape
