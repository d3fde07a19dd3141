"""What to measure on stock whose surface is no plain bar; common practice, no source."""

import pytest

from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.questions import QuestionError


def refused(text, **more):
    with pytest.raises(QuestionError) as caught:
        stock_from(text, **more)
    return caught.value


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("3/4 knurled", "over the crests"),
        ("knurled 3/4", "over the crests"),
        ("19 mm diamond knurl", "over the crests"),
        ("3/4 threaded", "over the crests"),
        ("3/4 threaded rod", "over the crests"),
        ("3/4 all-thread", "over the crests"),
        ("20 mm chrome plated", "over the plating"),
        ("3/4 hard chrome", "over the plating"),
        ("3/4 galvanised", "over the plating"),
        ("3/4 anodized", "over the plating"),
        ("3/4 painted", "mic the bare bar"),
        ("3/4 powder coated", "mic the bare bar"),
        ("3/4 centerless ground", "choose a grade"),
        ("3/4 splined", "over them"),
        ("3/4 tapered", "both ends"),
    ],
)
def test_a_surface_says_what_to_measure(text, says):
    error = refused(text)

    assert says in error.message and "mic" in error.message.lower()
    assert (error.field, error.read, error.readings) == ("size", text, ())


@pytest.mark.parametrize(
    ("text", "size"), [(".752 knurled", ".752"), ("plated .7505", ".7505"), ("19.98 mm plated", "19.98 mm")]
)
def test_a_size_that_was_plainly_measured_is_offered_alone(text, size):
    assert refused(text).readings == (size,)
    assert stock_from(size).read_as.endswith("measured")


@pytest.mark.parametrize("grade", ["ground", "ground and polished", "turned ground and polished"])
def test_a_ground_bar_of_a_table_is_that_bar(grade):
    assert stock_from(f"3/4 {grade}").grade.grade == "ground"


def test_a_surface_beside_a_chosen_grade_is_asked_back_too():
    assert "over the crests" in refused("3/4 knurled", grade="cold-drawn").message


@pytest.mark.parametrize("text", ["3/4 unobtainium", "1-1/8 titanium", "20 mm nylon"])
def test_stock_of_which_no_band_is_on_file_is_to_be_measured(text):
    assert f"No band is on file for “{text.split()[-1]}”: measure the bar" in refused(text).message
