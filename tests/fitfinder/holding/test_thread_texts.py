"""Threads where a size is asked for: how they are written is ASME B1.1, ISO 261 and habit of the trade."""

import pytest

from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.holding.texts.thread_texts import is_too_wide, thread_in
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, Unit, parse

THREADS = [
    ("3/4-10", "3/4 in, 10 to the inch"),
    ("7/8-9", "7/8 in, 9 to the inch"),
    ("1-8", "1 in, 8 to the inch"),
    ("1-1/2-6", "1-1/2 in, 6 to the inch"),
    ("1-1/2-9", "1-1/2 in, 9 to the inch"),
    ("1 1/8 - 7", "1 1/8 in, 7 to the inch"),
    ('3/4"-10', "3/4 in, 10 to the inch"),
    ("2-4-1/2", "2 in, 4-1/2 to the inch"),
    ("3/4-10 UNC-2A", "3/4 in, 10 to the inch"),
    ("5/8-11 UNC", "5/8 in, 11 to the inch"),
    ("1/4-28 UNF LH", "1/4 in, 28 to the inch"),
    ("1-8UN", "1 in, 8 to the inch"),
    ("1.238-20", "1.238 in, 20 to the inch"),
    ("3/4 x 10 tpi", "3/4 in, 10 to the inch"),
    ("1-5 Acme", "1 in, 5 to the inch"),
    ("#10-32", "number 10 (0.1900 in), 32 to the inch"),
    ("10-32", "number 10 (0.1900 in), 32 to the inch"),
    ("No. 6-32 UNC", "number 6 (0.1380 in), 32 to the inch"),
    ("0-80", "number 0 (0.0600 in), 80 to the inch"),
    ("5/8 UNF", "5/8 in UNF"),
    ("UNC 5/8-11", "5/8 in UNC, 11 to the inch"),
    ("2 BA", "2 BA"),
    ("1/2 BSW", "1/2 in BSW"),
    ("M12x1.75", "12 mm, 1.75 mm pitch"),
    ("M12", "12 mm"),
    ("m 12 × 1,75", "12 mm, 1.75 mm pitch"),
    ("M12x1.75-6g", "12 mm, 1.75 mm pitch"),
    ("M12 - 6g", "12 mm"),
    ("M8-1.25", "8 mm, 1.25 mm pitch"),
    ("MF10x1", "10 mm, 1 mm pitch"),
    ("Tr20x4", "trapezoidal, 20 mm, 4 mm pitch"),
    ("G1/2", "pipe 1/2 in"),
    ("G 1 A", "pipe 1 in"),
    ("R 3/4", "pipe 3/4 in"),
    ("1/2 NPT", "pipe 1/2 in NPT"),
    ("NPT 1/2", "pipe 1/2 in NPT"),
    ("1/2-14 NPT", "pipe 1/2 in"),
    ("1/2 B.S.P.", "pipe 1/2 in BSP"),
    ("3/4 BSPP", "pipe 3/4 in BSPP"),
]
NO_THREADS = [
    "1-1/8", "1 - 1/8", "3-1/2", '1-1/8"', "1-1/8 in", "3/4-7/8", ".748-.750", "18.95-19.05", "18.95-19", "1-1/8-1-1/4",
    "748-750 thou", "10-32 mm", "1-1-1/2", "3/4-1", "3/4", ".7485", "#7", "letter M", "M", "G", "R8", "W1", "MT3", "5C",
    "3/4 x 10", "50 x 25 mm", "20h9", "20 mm h9", "2 bar", "3/4 cold drawn 1018", "", "C-0011", "H-0061",
]  # fmt: skip


@pytest.mark.parametrize(("text", "words"), THREADS)
def test_a_thread_is_known_by_how_it_is_written(text, words):
    assert thread_in(text).words == words


@pytest.mark.parametrize("text", NO_THREADS)
def test_a_size_a_range_and_a_tag_are_no_threads(text):
    assert thread_in(text) is None


@pytest.mark.parametrize("text", [text for text, _ in THREADS])
def test_of_a_thread_the_outside_over_the_crests_is_asked_for(text):
    for texts, field in (((text,), "size"), ((".5", text), "size2")):
        with pytest.raises(QuestionError, match="is a thread.*Mic the outside diameter over the crests") as refused:
            stock_from(*texts)
        assert (refused.value.field, refused.value.read) == (field, text)


def test_of_a_pipe_thread_it_is_said_that_its_outside_is_larger():
    assert "its outside is larger" in thread_in("1/2 NPT").what_to_measure
    assert "a little under" in thread_in("1/2-13").what_to_measure


@pytest.mark.parametrize("text", ["3-4", "3-1/2-4", "6-8"])
def test_a_thread_that_may_be_a_range_says_how_a_range_is_written(text):
    with pytest.raises(QuestionError, match="a range is written") as refused:
        stock_from(text)

    assert stock_from(refused.value.suggest).band.largest > stock_from(refused.value.suggest).band.smallest


@pytest.mark.parametrize("text", ["6-8", "20-25", "3-4"])
def test_whole_millimetres_near_each_other_are_a_range(text):
    assert stock_from(text, unit=Unit.MM).band.largest.is_metric


@pytest.mark.parametrize("text", ["1-8", "10-32", "3/4-10"])
def test_in_millimetres_a_thread_stays_one_where_no_bar_measures_both(text):
    assert thread_in(text, Unit.MM) is not None


@pytest.mark.parametrize(("high", "is_wide"), [("1.4999", False), ("1.5", False), ("1.5001", True)])
def test_one_bar_measures_up_to_half_as_much_again(high, is_wide):
    assert is_too_wide(parse("1"), parse(high)) is is_wide


@pytest.mark.parametrize(
    ("texts", "field"),
    [(("3/4 to 10",), "size"), (("3/4", "10"), "size2"), (("1 to 2",), "size"), ((".5", ".7501"), "size2")],
)
@pytest.mark.parametrize("limit", ["1", "20"])
def test_a_band_that_no_one_bar_measures_is_refused(texts, field, limit):
    with pytest.raises(QuestionError, match="is more than one bar measures") as refused:
        stock_from(*texts, bare_limit=parse(limit))

    assert (refused.value.field, refused.value.readings) == (field, ())


def test_a_largest_size_that_may_be_in_the_other_unit_is_asked_back():
    with pytest.raises(QuestionError) as refused:
        stock_from(".740", "19", bare_limit=parse("6"))

    assert refused.value.readings == ("19 mm", "19 in")


def test_a_range_that_is_asked_back_keeps_both_its_ends():
    with pytest.raises(QuestionError) as refused:
        stock_from("18.95-19", bare_limit=parse("6"))

    assert refused.value.readings == ("18.95 to 19 mm", "18.95 to 19 in")
    assert stock_from(refused.value.readings[0]).band.smallest == Length.mm("18.95")
