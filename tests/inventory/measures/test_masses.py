import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from inventory.measures import masses
from inventory.measures.masses import MassError


# 1 lb is 0.45359237 kg exactly (international pound, 1959).
@pytest.mark.parametrize(
    ("text", "micrograms"),
    [
        ("42 lb", 19_050_879_540),
        ("42lbs", 19_050_879_540),
        ("42 LB.", 19_050_879_540),
        ("1 pound", 453_592_370),
        ("2.5 pounds", 1_133_980_925),
        (".5 lb", 226_796_185),
        ("19 kg", 19_000_000_000),
        ("19,1 kg", 19_100_000_000),
        ("850 g", 850_000_000),
        ("850.5 g", 850_500_000),
        ("0.001 g", 1_000),
        ("0.000000001 kg", 1),
    ],
)
def test_a_weight_is_read_to_the_microgram(text, micrograms):
    assert masses.parse(text) == micrograms


@pytest.mark.parametrize(
    "text",
    [
        "42",
        "-42 lb",
        "heavy",
        "=42",
        "1e3 kg",
        "NaN kg",
        "４２ lb",
        "1.2.3 kg",
        "42 in",
        "1/2 lb",
        "9" * 10_240,
    ],
    ids=lambda text: ascii(text[:20]),
)
def test_what_is_no_weight_is_refused_with_a_sentence_that_quotes_it(text):
    with pytest.raises(MassError) as refused:
        masses.parse(text)

    assert f"“{text[:40]}”" in str(refused.value)
    assert "42 lb or 19 kg" in str(refused.value)


@pytest.mark.parametrize("text", ["", "  "])
def test_an_empty_text_is_told_as_such(text):
    with pytest.raises(MassError, match="No weight was given"):
        masses.parse(text)


@pytest.mark.parametrize("text", ["0 lb", "0.000 kg", "0.0000001 g"])
def test_a_weight_of_zero_is_refused(text):
    with pytest.raises(MassError, match="above zero"):
        masses.parse(text)


written = st.builds(
    lambda whole, places, unit: f"{whole}.{places} {unit}",
    st.integers(0, 999_999),
    st.integers(1, 99_999).map("{:05d}".format),
    st.sampled_from(["lb", "kg"]),
)


@given(written)
@example("453592.370 kg")  # a million pounds, which take a digit too many
@example("999999.999 kg")
@example("0.001 lb")
def test_an_exact_text_reads_back_to_the_same_weight(text):
    micrograms = masses.parse(text)

    assert masses.parse(masses.exact(micrograms)) == micrograms


@given(st.integers(1, 999_999 * masses.UG_PER_KG))
def test_any_weight_kept_in_micrograms_can_be_written_and_read_back(micrograms):
    assert masses.parse(masses.exact(micrograms)) == micrograms


@given(st.text() | st.text(alphabet="0123456789., lbskg", max_size=10))
def test_any_text_is_read_or_refused_as_a_weight(text):
    try:
        micrograms = masses.parse(text)
    except MassError as refused:
        assert str(refused)
    else:
        assert micrograms > 0


@pytest.mark.parametrize("text", ["42 lb", "2.5 lb", "19 kg", "19.1 kg", "0.85 kg", "2.2046 lb"])
def test_a_weight_keeps_the_unit_it_was_written_in(text):
    assert masses.exact(masses.parse(text)) == text


def test_a_weight_is_shown_in_both_units():
    assert masses.shown(masses.parse("42 lb")) == "42.0 lb (19.1 kg)"
