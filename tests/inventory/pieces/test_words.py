"""The trade's words for seats, kinds, conditions and shapes, in whatever case, order or punctuation."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inventory.models import Kind
from inventory.pieces import words
from inventory.reference.codes import known_code, spelling_key
from inventory.reference.collets import collet_series
from inventory.reference.noses import spindle_noses
from inventory.reference.tapers import brown_sharpe_tapers, jacobs_tapers, jarno_tapers, morse_tapers

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
        ("own-7", "OWN 7"),
        ("MK 5", "MT5"),
        ("CM5", "MT5"),
        ("Morsekegel 5", "MT5"),
        ("cône morse 3", "MT3"),
        ("2MT shank", None),
        ("3MT arbor", "MT3"),
        ("DIN 228 MK 3", "MT3"),
        ("J33", "JT33"),
        ("33 JT", "JT33"),
        ("9 B&S", "BS9"),
        ("Camlock D1-4", "D1-4"),
        ("camlock no. 4", "D1-4"),
        ("DIN 55029 size 4", "D1-4"),
        ("DIN 55029 nº 4", "D1-4"),
        ("DIN 55029 n° 4", "D1-4"),
        ("ISO 702-2 No. 4", "D1-4"),
        ("ISO 702-1 No. 4", None),
        ("ISO 702-3 Nr. 5", "55027-5"),
        ("1.5-8 TPI", "1-1/2-8"),
        ("1.5 8 tpi", "1-1/2-8"),
        ('1-1/2" x 8', "1-1/2-8"),
        ("1½ × 8", "1-1/2-8"),
        ("1.1/2 x 8 TPI", "1-1/2-8"),
        ("32ER", "ER32"),
        ("DIN 6499 size 32", "ER32"),
        ("ISO 15488-32", "ER32"),
        ("3/2-8", "1-1/2-8"),
        ("1-3/2-8", None),
        ("Q9-9", None),
        ("MT8", None),
        ("", None),
    ],
)
def test_a_seat_is_read_in_the_spellings_of_the_trade(text, code):
    assert known_code(text, SEATS) == code


@pytest.mark.parametrize(
    "names",
    [
        ("NT40", "ISO 40", "NMTB-40", "DIN 2080-40"),
        ("B16", "b 16", "DIN 238 B16"),
        ("L00", "L-00", "LOO", "long taper L00"),
        ("W20", "W-20", "w 20"),
        ("1-1/4-7", "1 1/4 x 7", "1,25 - 7 TPI", "1¼ × 7"),
        ("M42x3", "m42 × 3", "M 42 X 3,0 mm"),
        ("QCTP 200", "qctp-200", "QCTP200"),
    ],
)
def test_names_of_one_seat_that_no_table_has_come_to_the_same(names):
    assert len({spelling_key(name) for name in names}) == 1


@pytest.mark.parametrize(
    "names",
    [
        # A flange and a stud of their own, or a name for either: no spindle that takes one takes the other.
        ("NT40", "BT40", "SK40", "CAT40"),
        ("A1-6", "A2-6", "DIN 55026-6", "D1-6", "55027-6"),
        ("B16", "JT33", "MT2", "B18"),
        ("J3", "3J"),
        ("1-8", "1-10", "1/8"),
        ("M45x2", "M45x4.5"),
        ("L0", "L00"),
        ("TP 1-1", "TP 11"),
        ("MT4", "MT4-1/2"),
        ("JT2", "JT2S"),
    ],
)
def test_what_does_not_fit_each_other_stays_apart(names):
    assert len({spelling_key(name) for name in names}) == len(names)


def test_every_code_of_the_tables_comes_to_itself():
    codes = [one.code for table in (spindle_noses, morse_tapers, jacobs_tapers, jarno_tapers) for one in table()]
    codes += [one.code for table in (brown_sharpe_tapers, collet_series) for one in table()]

    assert {code: spelling_key(code) for code in codes} == {code: code for code in codes}


@given(text=st.text(max_size=70))
@example(text="0.0-0")
@example(text="1/0-8")
def test_any_text_has_a_key_and_the_key_is_its_own(text):
    assert spelling_key(spelling_key(text)) == spelling_key(text)


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
