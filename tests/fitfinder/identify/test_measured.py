"""What people type of a thread and of a taper."""

from fractions import Fraction

import pytest

from fitfinder.identify.measured import read_taper, read_thread
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, parse
from inventory.reference.bodies import Pitch

TWENTY = Pitch.per_inch(20)


def mm(number):
    return Pitch(Fraction(Length.mm(number).nm))


@pytest.mark.parametrize(
    ("text", "diameter", "pitch"),
    [
        ("1.238-20", "1.238", TWENTY),
        ("1.238 - 20", "1.238", TWENTY),
        ("1.238 20 tpi", "1.238", TWENTY),
        ('1.238"-20', "1.238", TWENTY),
        ("7/16-20 UNF", "7/16", TWENTY),
        ("1-1/8-20 RH", "1-1/8", TWENTY),
        ("0.640-26", "0.64", Pitch.per_inch(26)),
        ("M40 x 1.5", "40 mm", mm("1.5")),
        ("m14x0.75", "14 mm", mm("0.75")),
        ("40 mm × 1,5 mm", "40 mm", mm("1.5")),
        ("1.875 x 1.75 mm", "1.875", mm("1.75")),
        ("M40", "40 mm", None),
        ("1.238", "1.238", None),
        ("1-1/8", "1-1/8", None),
    ],
)
def test_a_thread_is_read_as_it_is_written(text, diameter, pitch):
    assert read_thread(text) == (parse(diameter), pitch)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("coarse", "“coarse” is no thread. Write its diameter and pitch like 1.238-20"),
        ("48 x 1.5", "“48” has no unit: 48 in is larger than anything here can grip. Write 48 mm or 48 in."),
        ("1.238 x 20", "has a pitch of 20 mm; accepted are 0.2 to 8 mm. Threads to the inch stand after a dash"),
        ("1.238-2", "has 2 threads to the inch; accepted are 3 to 80."),
        ("1.238-0", "has 0 threads to the inch"),
        ("x 1.5", "is no thread"),
        ("-20", "is no thread"),
        ("9" * 60, "is no thread"),
    ],
)
def test_what_is_no_thread_is_refused_with_what_is_accepted(text, says):
    with pytest.raises(QuestionError) as refusal:
        read_thread(text)

    assert says in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("10", Fraction(10)),
        ("8,5", Fraction(17, 2)),
        ("8°25'30\"", Fraction(8) + Fraction(51, 120)),
        ("16.85 included", Fraction(1685, 200)),
        ("16°51' incl.", Fraction(8) + Fraction(51, 120)),
        ("10 deg a side", Fraction(10)),
        ("45", Fraction(45)),
    ],
)
def test_an_angle_is_read_a_side(text, degrees):
    assert read_taper(text).angle.degrees == degrees


@pytest.mark.parametrize(
    ("text", "shank"),
    [("Morse", "MT"), ("MT3", "MT3"), ("morse no. 3", "MT3"), ("M.T. 3", "MT3"), ("mt 4-1/2", "MT4-1/2"),
     ("Jarno", "Jarno")],
)  # fmt: skip
def test_a_self_holding_taper_is_read_by_its_name(text, shank):
    assert read_taper(text).shank == shank


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("steep", "“steep” is no angle or taper. Write the angle a side"),
        ("-8", "is no angle or taper"),
        ("0", "is outside 0 to 45 degrees a side"),
        ("45.1", "is outside 0 to 45 degrees a side"),
        ("91 included", "is outside 0 to 45 degrees a side"),
        ("morse 9", "“morse 9” is no Morse taper: they go from 0 to 7"),
    ],
)
def test_what_is_no_taper_is_refused_with_what_is_accepted(text, says):
    with pytest.raises(QuestionError) as refusal:
        read_taper(text)

    assert says in str(refusal.value)
