from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inventory.measures import length_words, lengths
from inventory.measures.lengths import BareNumberError, Length, LengthError, Unit

INCH = 25_400_000
LARGEST_GRIP = Length.inches(10)

READABLE = {
    ".7485": 19_011_900,
    "0.7485": 19_011_900,
    ".7485 in": 19_011_900,
    '.7485"': 19_011_900,
    ".7485''": 19_011_900,
    "748.5 thou": 19_011_900,
    "748.5thou": 19_011_900,
    "3/4": 19_050_000,
    '3/4"': 19_050_000,
    "3/4”": 19_050_000,
    "3/4''": 19_050_000,
    "3/4 ''": 19_050_000,
    "3 / 4": 19_050_000,
    "3/4-inch": 19_050_000,
    "3/4 IN.": 19_050_000,
    "1-1/8": 28_575_000,
    "1 1/8": 28_575_000,
    '1 1/8"': 28_575_000,
    "1 - 1/8": 28_575_000,
    "  1   1/8  in ": 28_575_000,
    "23/64 in": 9_128_125,
    "9/8": 28_575_000,
    "2.": 50_800_000,
    "2": 50_800_000,
    "1 ft": 304_800_000,
    "19 mm": 19_000_000,
    "19mm": 19_000_000,
    "19\N{NO-BREAK SPACE}mm": 19_000_000,
    "19,05 mm": 19_050_000,
    "19,050 mm": 19_050_000,
    "19.05 MM": 19_050_000,
    "1,9 cm": 19_000_000,
    "0.019 m": 19_000_000,
    "19000 µm": 19_000_000,
    "0.000001 mm": 1,
    "100 m": 100_000_000_000,
}


@pytest.mark.parametrize(("text", "nm"), READABLE.items(), ids=ascii)
def test_what_a_machinist_writes_is_read_to_the_nanometre(text, nm):
    assert lengths.parse(text) == Length(nm)


# Number and letter drill sizes: ASME B94.11M, as every handbook prints them (from memory of that table).
@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("#7", "0.2010"),
        ("#07", "0.2010"),
        ("No. 30", "0.1285"),
        ("no 30", "0.1285"),
        ("Number 30", "0.1285"),
        ("letter F", "0.2570"),
        ("F", "0.2570"),
        ("f", "0.2570"),
        ("#80", "0.0135"),
        ("#1", "0.2280"),
        ("A", "0.2340"),
        ("Z", "0.4130"),
    ],
)
def test_a_drill_gauge_size_is_read_by_its_number_or_letter(text, inches):
    assert lengths.parse(text) == Length.inches(inches)


def test_a_drill_gauge_size_says_that_it_was_read_as_one():
    assert lengths.read("#7").how == "number 7 drill, 0.2010 in"
    assert lengths.read("f").how == "letter F drill, 0.2570 in"


@pytest.mark.parametrize("text", ["#0", "#81", "No. 99"])
def test_a_number_that_is_no_drill_is_refused(text):
    with pytest.raises(LengthError, match="no drill gauge size"):
        lengths.parse(text)


@pytest.mark.parametrize("text", ["12", "19", "10.5", "19.", "19,05"])
def test_a_bare_number_too_large_in_inches_is_asked_back_with_both_readings(text):
    with pytest.raises(BareNumberError) as refused:
        lengths.parse(text, bare_limit=LARGEST_GRIP)

    assert refused.value.in_inches == f"{text} in"
    assert refused.value.in_mm == f"{text} mm"
    assert f"{text} in" in refused.value.message
    assert f"{text} mm" in refused.value.message
    assert lengths.parse(refused.value.suggest) == lengths.parse(text, Unit.MM)


@pytest.mark.parametrize(("text", "readings"), [
    ("7485", (".7485", "7.485")), ("750", (".750",)), ("1250", (".1250", "1.250")), ("10051", ("1.0051",)),
    ("748.5", ("748.5 thou",)), ("125", ("125 mm", ".125")), ("99999", ("9.9999",)),
    ("0750", (".0750", "0.750")), ("1234567", ("1234567 mm", "1234567 in")),
])  # fmt: skip
def test_a_whole_number_of_many_figures_may_have_lost_its_point(text, readings):
    with pytest.raises(BareNumberError) as refused:
        lengths.parse(text, bare_limit=LARGEST_GRIP)

    assert refused.value.readings == readings
    assert all(reading in refused.value.message for reading in readings)


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("7485", (".7485 in", "7.485 mm", "74.85 mm")),
        ("19050", ("1.9050 in", "19.050 mm", "190.50 mm")),
        ("99999", ("9.9999 in", "99.999 mm")),
    ],
)
def test_whole_millimetres_that_nothing_grips_may_have_lost_their_point(text, readings):
    with pytest.raises(LengthError, match="mm, larger than anything here can grip. Was its decimal point") as refused:
        lengths.parse(text, Unit.MM, bare_limit=LARGEST_GRIP)

    assert (refused.value.readings, refused.value.read) == (readings, text)


@pytest.mark.parametrize("text", ["254", "999", "7485 mm", "0254", "7485.0"])
def test_millimetres_below_the_limit_of_three_figures_or_with_a_unit_are_not_asked_back(text):
    assert lengths.parse(text, Unit.MM, bare_limit=LARGEST_GRIP) == lengths.parse(text, Unit.MM)


def test_figures_without_a_point_are_offered_with_it_where_their_unit_was_given_too():
    with pytest.raises(LengthError, match="longer than 100 m") as refused:
        lengths.parse("7485", Unit.INCH)

    assert refused.value.readings == (".7485", "7.485")


@pytest.mark.parametrize(
    ("text", "inches"), [("10.0001", "10.0001"), ("19.050", "19.05"), ("40.0000", "40"), ("10,125", "10.125")]
)
def test_three_decimals_say_that_it_was_measured_in_the_unit_that_counts(text, inches):
    assert lengths.parse(text, bare_limit=LARGEST_GRIP) == Length.inches(inches)


@pytest.mark.parametrize("text", ["10", "9.9999", "19 in", "19 mm", "19 1/2"])
def test_a_number_at_the_limit_or_with_a_unit_is_not_asked_back(text):
    assert lengths.parse(text, bare_limit=LARGEST_GRIP).nm > 0


def test_a_bare_number_is_in_the_default_unit():
    assert lengths.parse("19", Unit.MM) == Length(19_000_000)
    assert lengths.parse("19", Unit.MM, bare_limit=Length(1)) == Length(19_000_000)


def test_a_bare_fraction_is_in_inches_whatever_the_default_unit():
    assert lengths.parse("3/4", Unit.MM) == Length(19_050_000)


REFUSED = [
    "three quarters", "1/0", "-1/4", "\N{MINUS SIGN}1/4", "-.5", "- 5 mm", "0", "0.000", "0/8", "0 mm",
    "=5/8", "=1+1", "1.2.3", "1,2,3", "1.234,5", "NaN", "nan", "inf", "Infinity", "1e999", "1e3", "1e-3",
    "0x10", "１９",
    "３/４", "１９ mm", "١٩", "²", "1/2/3", "1-9/8", "3/4 3/4", "3-4", "/", "/4", "3/", ".", ",", "-",
    "in", "mm", '"', "3/4 kg", "19 mm in", "19 mmm", "1_000", "3/4;", "#", "#7.5", "#100", "<b>3/4</b>",
    "3/4\x00", "1/3", "0.0000001 mm", "101 m", "9999999 in", "\ud800",
]  # fmt: skip


@pytest.mark.parametrize("text", REFUSED, ids=ascii)
def test_what_is_no_length_is_refused_with_a_sentence_that_quotes_it(text):
    with pytest.raises(LengthError) as refused:
        lengths.parse(text)

    assert f"“{refused.value.read}”" in refused.value.message
    assert refused.value.read == lengths.shorten(text)
    assert refused.value.message.endswith(".")


@pytest.mark.parametrize("text", ["", " ", "\t\n", "\N{NO-BREAK SPACE}"], ids=ascii)
def test_an_empty_text_is_told_as_such(text):
    with pytest.raises(LengthError, match="No size was given"):
        lengths.parse(text)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("-1/4", "below zero"),
        ("0", "not above zero"),
        ("1/0", "divides by zero"),
        ("=5/8", "is a formula"),
        ("1/3", "no whole number of nanometres"),
        ("101 m", "longer than 100 m"),
        ("three quarters", "cannot be read as a length"),
    ],
)
def test_a_refusal_says_what_is_wrong(text, reason):
    with pytest.raises(LengthError, match=reason):
        lengths.parse(text)


def test_ten_kilobytes_of_digits_are_refused_in_a_short_sentence():
    with pytest.raises(LengthError, match="too long to be a size") as refused:
        lengths.parse("9" * 10_240)

    assert len(refused.value.message) < 200


def test_characters_that_cannot_be_shown_are_not_said_back():
    assert lengths.shorten("3\x1b[2J\ud800\u202e4") == "3�[2J��4"


def test_a_formula_is_answered_with_its_text_where_that_is_a_size():
    with pytest.raises(LengthError) as size:
        lengths.parse("=5/8")
    with pytest.raises(LengthError) as formula:
        lengths.parse("=A1+B2")

    assert (size.value.suggest, formula.value.suggest) == ("5/8", None)


@pytest.mark.parametrize(
    ("text", "how"),
    [
        (".7485", "0.7485 in"),
        ("748.5 thou", "0.7485 in"),
        (".75", "3/4 in"),
        ("1.125", "1-1/8 in"),
        (".74855", "0.74855 in"),
        ("748.55 thou", "0.74855 in"),
        ("19", "19 in"),
        ("19 mm", "19 mm"),
        ("19,0501 mm", "19.0501 mm"),
    ],
)
def test_a_reading_says_how_the_text_was_understood_without_rounding(text, how):
    assert lengths.read(text).how == how


sixty_fourths = st.integers(1, 64 * 100).map(lambda n: Length(n * lengths.NM_PER_64TH))
tenths = st.integers(1, 1_000_000).map(lambda n: Length(n * lengths.NM_PER_TENTH))
micrometres = st.integers(1, 10_000_000).map(lambda n: Length(n * 1000))
nanometres = st.integers(1, 100_000 * lengths.NM_PER_MM).map(Length)


@given(sixty_fourths | tenths | micrometres | nanometres)
def test_an_exact_text_reads_back_to_the_same_length(length):
    assert lengths.parse(lengths.exact(length)) == length
    assert lengths.parse(lengths.exact(length), Unit.MM) == length


def test_every_64th_and_every_tenth_of_an_inch_reads_back_to_itself():
    every = [n * lengths.NM_PER_64TH for n in range(1, 65)] + [n * lengths.NM_PER_TENTH for n in range(1, 10_001)]

    assert [nm for nm in every if lengths.parse(lengths.exact(Length(nm))).nm != nm] == []


def test_every_micrometre_to_an_inch_reads_back_to_itself():
    every = range(1000, INCH + 1, 1000)

    assert [nm for nm in every if lengths.parse(lengths.exact(Length(nm))).nm != nm] == []


@given(sixty_fourths | tenths)
def test_what_is_shown_in_inches_can_be_typed_back(length):
    assert lengths.parse(length_words.in_unit(length)) == length
    assert lengths.parse(f"{length.inch_text} in").nm == pytest.approx(length.nm, abs=lengths.NM_PER_TENTH // 2)


@given(micrometres)
def test_what_is_shown_in_millimetres_can_be_typed_back(length):
    assert lengths.parse(f"{length.mm_text} mm") == length
    assert lengths.parse(lengths.exact_mm(length)) == length


@given(nanometres)
def test_a_rounded_text_is_off_by_half_its_last_place_at_most(length):
    inches, mm = Fraction(length.inch_text), Fraction(length.mm_text)

    assert abs(inches * INCH - length.nm) <= Fraction(lengths.NM_PER_TENTH, 2)
    assert abs(mm * lengths.NM_PER_MM - length.nm) <= 500


@given(st.text())
@example("\ud800")
@example("1\N{SUPERSCRIPT TWO}/4")
def test_any_text_is_read_or_refused_as_a_length(text):
    try:
        length = lengths.parse(text, bare_limit=LARGEST_GRIP)
    except LengthError as refused:
        assert refused.message
    else:
        assert length.nm > 0


@given(st.text(alphabet="0123456789.,/- '\"#inmcthouµ=+e\x00１", max_size=12), st.sampled_from(Unit))
def test_any_text_that_looks_like_a_length_is_read_or_refused_as_one(text, unit):
    try:
        reading = lengths.read(text, unit)
    except LengthError as refused:
        assert refused.message
    else:
        assert lengths.parse(lengths.exact(reading.length)) == reading.length


@given(nanometres, nanometres)
def test_lengths_add_subtract_and_compare_exactly(one, other):
    assert one + other - other == one
    assert (one < other) == (one.nm < other.nm)
    assert -(one - other) == other - one
    assert abs(one - other) == max(one, other) - min(one, other)


def test_a_length_one_nanometre_over_a_limit_is_over_it():
    limit = Length.inches("0.7505")

    assert Length(limit.nm + 1) > limit
    assert Length.inches(Fraction("0.7505")) == limit
    assert Length.mm("19.0627") == limit


def test_a_length_that_is_no_whole_number_of_nanometres_cannot_be_made():
    with pytest.raises(LengthError, match="no whole number of nanometres"):
        Length.inches(Fraction(1, 3))


@pytest.mark.parametrize("text", ["1.000", "12.500", " 1.125 "])
def test_a_point_that_may_part_the_thousands_is_asked_back(text):
    with pytest.raises(LengthError) as refused:
        lengths.raise_doubt_of_thousands(text, Unit.MM)

    number = text.strip()
    assert refused.value.readings == (f"{number.replace('.', '')} mm", f"{number} mm")


@pytest.mark.parametrize(
    "text", ["1.0", "1.0000", "0.500", ".500", "1,000", "1000", "1.000 mm", "1.000.000", "3/4", "1234.500"]
)
def test_a_number_that_is_plain_where_a_comma_is_written_is_not_asked_back(text):
    lengths.raise_doubt_of_thousands(text, Unit.MM)


def test_thousands_are_not_asked_back_in_inches_nor_above_what_can_be_meant():
    lengths.raise_doubt_of_thousands("1.125", Unit.INCH)
    lengths.raise_doubt_of_thousands("19.050", Unit.MM, most=LARGEST_GRIP)
