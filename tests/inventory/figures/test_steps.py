"""The sizes of a series as people say them."""

import pytest

from inventory.figures.steps import gaps_between, read_steps
from inventory.measures.lengths import Length, LengthError, Unit, exact, parse

ENDS = {"smallest": parse("1/16"), "largest": parse("1")}
MM = {"smallest": Length.mm(1), "largest": Length.mm(20)}


@pytest.mark.parametrize(
    "text",
    ["by 64ths", "64ths", "every 1/64", "1/64", "in steps of 1/64 in", "steps of 1/64ths", "by 64ths of an inch"],
)
def test_one_step_over_the_whole_series(text):
    steps = read_steps(text, Unit.INCH, **ENDS)
    assert (steps.step, steps.sizes, steps.words) == (parse("1/64"), (), "by 1/64 in")


def test_a_bare_step_is_in_the_unit_that_counts():
    assert read_steps("by 1", Unit.MM, **MM).step == Length.mm(1)


@pytest.mark.parametrize("text", ["6; 8; 10 mm", "6, 8, 10 mm", "6 mm, 8 mm and 10 mm", "10; 8; 6; 6 mm"])
def test_a_list_of_sizes(text):
    assert read_steps(text, Unit.INCH, **MM).sizes == tuple(Length.mm(size) for size in (6, 8, 10))


def test_what_is_said_of_stretches_becomes_their_sizes():
    steps = read_steps("by 0.5 mm to 3 mm, then by 1 mm to 6 mm, then by 5 mm", Unit.INCH, **MM)
    assert [exact(size) for size in steps.sizes] == [
        "1 mm", "1.5 mm", "2 mm", "2.5 mm", "3 mm", "4 mm", "5 mm", "6 mm", "11 mm", "16 mm",
    ]  # fmt: skip


@pytest.mark.parametrize("text", ["by 1 mm", "6 mm; 8 mm", "by 0.5 mm to 10 mm then by 1 mm", ""])
def test_what_is_shown_again_is_read_the_same(text):
    steps = read_steps(text, Unit.MM, **MM)
    assert read_steps(steps.words, Unit.INCH, **MM) == steps


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("by 30 mm", "is more than the whole way from 1 mm to 20 mm"),
        ("by 0.01 mm", "it would be 1,901 sizes; at most 400"),
        ("by the dozen", "cannot be read as a step. Write by 64ths"),
        ("6 mm; 25 mm", "25 mm is in the list, and the series goes from 1 mm to 20 mm"),
        ("by 1 mm to 10 mm then by 1 mm to 5 mm", "ends at 5 mm, and the sizes before it reach 10 mm"),
        ("6 mm; wide", "“wide”"),
    ],
)
def test_what_cannot_be_is_said_with_a_sentence(text, sentence):
    with pytest.raises(LengthError) as error:
        read_steps(text, Unit.MM, **MM)
    assert sentence in error.value.message


def test_the_first_gap_between_two_sizes_is_told_and_none_where_they_meet():
    sizes = tuple(Length.mm(size) for size in (6, 8, 9))
    zone = {"opens_by": Length(0)}

    assert gaps_between(sizes, closes_by=Length.mm(1), **zone) == "6 mm holds up to 6 mm, 8 mm from 7 mm"
    assert gaps_between(sizes, closes_by=Length.mm(2), **zone) == ""
