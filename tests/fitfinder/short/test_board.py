"""The board of a series' sizes: what stands in each hole, and where off-ladder sizes hang."""

import pytest

from fitfinder.buying.offers import Stretch
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.short.board import BoardCell, CountedSize, SizeState, asked_sizes, board, summary
from fitfinder.short.coverage import MOST_LINES, capacity, rulers
from inventory.measures.lengths import Length, parse
from tests.fitfinder import on_hand


def cells(counted=None, asked=None, wants=None, **ladder):
    figures = on_hand.series(**{"step": "1/8", "first": "1/8", "last": "1", **ladder})
    sized = [{parse(text): value for text, value in (given or {}).items()} for given in (counted, asked, wants)]
    return board(figures, counted=sized[0], asked=sized[1], wants=sized[2])


def names(found):
    return [cell.words.partition(":")[0] for cell in found]


def test_every_size_of_the_ladder_has_a_hole():
    assert names(cells()) == ["1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "1"]


def test_letter_and_metric_sizes_hang_in_order_between_those_of_the_ladder():
    found = cells({"letter F": CountedSize(good=1), "6 mm": CountedSize(good=1)})

    assert names(found)[:5] == ["1/8", "6 mm", "1/4", "0.2570", "3/8"]
    assert [cell.is_on_ladder for cell in found[:5]] == [True, False, True, False, True]


def test_a_size_of_which_nothing_is_left_in_the_book_has_no_hole_off_the_ladder():
    assert len(cells({"6 mm": CountedSize()})) == 8


@pytest.mark.parametrize(
    ("counted", "state", "mark"),
    [
        (CountedSize(good=2, worn=1, out=1), SizeState.HELD, "3"),
        (CountedSize(worn=1, out=1), SizeState.WORN, "worn"),
        (CountedSize(out=1), SizeState.OUT, "out"),
        (CountedSize(unfit=1), SizeState.MISSING, ""),
    ],
)
def test_a_hole_shows_the_best_that_can_be_said(counted, state, mark):
    cell = BoardCell(size=parse("3/4"), counted=counted)

    assert (cell.state, cell.mark) == (state, mark)


def test_a_missing_size_that_was_asked_for_says_so_in_the_hole():
    assert BoardCell(size=parse("3/4"), asked=3).mark == "asked"
    assert BoardCell(size=parse("3/4"), want="to order").mark == "asked"


def test_a_hole_says_all_of_it_in_words():
    cell = BoardCell(
        size=parse("3/4"), counted=CountedSize(good=2, unfit=1, truest=parse("0.0003")), asked=1, want="on order"
    )

    assert cell.words == "3/4: 2 held, 1 damaged or lost, truest 0.0003 in TIR; looked for 1 time; on order"


def test_what_people_asked_for_stands_at_the_size_that_would_hold_it_best():
    figures = on_hand.series()
    asks = [(stock_from("0.7485"), 3), (stock_from("0.749"), 2), (stock_from("1/2", shape="hex"), 9)]

    assert asked_sizes(figures, asks) == {parse("3/4"): 5}


def test_the_summary_counts_what_there_is():
    found = cells({"1/4": CountedSize(good=1), "1/2": CountedSize(worn=1)}, asked={"3/4": 2})

    assert summary(found) == "8 sizes from 1/8 to 1: 1 held, 1 worn, 6 missing; 1 of the missing is asked for."


def test_a_series_without_ladder_or_pieces_says_that_no_size_is_known():
    assert summary(cells(step="")).startswith("No size is known")


def test_a_series_without_limits_has_no_capacity():
    assert capacity(on_hand.series(first="")) is None
    assert capacity(on_hand.series()) == Stretch(parse("1/32"), parse("1-1/8"))


def test_the_ruler_is_cut_into_lines_of_a_handy_length():
    lines = rulers([Stretch(parse("0.7455"), parse("0.7545"))], Stretch(parse("1/32"), parse("1-1/8")))

    assert [(line.start, line.end) for line in lines] == [
        ("0", "1/4 in"), ("1/4", "1/2 in"), ("1/2", "3/4 in"), ("3/4", "1 in"), ("1", "1-1/4 in"),
    ]  # fmt: skip
    assert lines[2].words == "1/2 to 3/4: gripped 0.7455 to 0.7500 in"
    assert lines[0].words == "0 to 1/4: nothing is gripped"
    assert len(lines) <= MOST_LINES


def test_a_metric_series_has_a_metric_ruler():
    lines = rulers([], Stretch(Length.mm(2), Length.mm(20)))

    assert [line.end for line in lines] == ["5 mm", "10 mm", "15 mm", "20 mm"]


def test_the_ruler_is_to_scale():
    lines = rulers([Stretch(parse("1/8"), parse("1/4"))], Stretch(parse("1/8"), parse("1/2")))

    assert (lines[0].start, lines[0].end) == ("1/8", "1/4 in")
    assert (lines[0].gripped[0].start, lines[0].gripped[0].width) == ("8.0", "342.0")
    assert lines[1].gripped == ()
