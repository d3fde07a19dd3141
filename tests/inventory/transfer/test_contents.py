import pytest

from inventory.transfer import contents, headings
from inventory.transfer.headings import LEFT_OUT, NOTED
from inventory.transfer.texts import DayCell

SERIES = {"5C", "ER32"}


def guessed(columns, *, remembered=None):
    """The choice for each column, which is given as its heading and its cells."""
    looked_at = [contents.content(cells, series=SERIES) for _, cells in columns]
    return headings.guessed_choices([heading for heading, _ in columns], looked_at, remembered=remembered or {})


@pytest.mark.parametrize(
    ("field", "cells"),
    [
        ("tag", ["C-0001", "C-0002", "K-0081"]),
        ("kind", ["collet", "Collet, soft", "live center", "thing"]),
        ("series", ["5C", "er-32", "5C"]),
        ("shape", ["round", "HEX", "round"]),
        ("condition", ["good", "worn", "Good"]),
        ("inspected_on", ["2026-03-18", "3/4/2026", DayCell("2026-03-18")]),
        ("inspected_on", ["46099", "46100"]),
        ("size", ["3/4", ".5", "12 mm"]),
        ("tir", [".0005", "0.0004"]),
        ("cost", ["$28", "31.50 €"]),
        ("location", ["A1", "A1", "B12"]),
    ],
)
@pytest.mark.parametrize("heading", ["", "Zzz"])
def test_a_column_whose_heading_says_nothing_is_told_by_its_cells(field, cells, heading):
    assert guessed([("Tag", ["x"]) if field != "tag" else ("Mark up", [""]), (heading, cells)])[1] == field


@pytest.mark.parametrize("cells", [["3", "4", "3"], ["some", "words"], ["28", "31.50"], ["A 1 left", "B"]])
def test_cells_that_could_be_anything_are_kept_in_the_notes(cells):
    assert guessed([("Tag", ["C-1"]), ("", cells)])[1] == NOTED


def test_lengths_under_a_heading_that_says_diameter_are_the_size():
    assert guessed([("Tag", ["C-1"]), ("Dia.", ["3/4", "1/2"])])[1] == "size"


def test_a_heading_that_only_sounds_like_a_field_gives_way_to_its_cells():
    assert guessed([("Tag", ["C-1"]), ("Type", ["5C", "ER32", "5C"]), ("What", ["collet", "closer"])]) == [
        "tag", "series", "kind",
    ]  # fmt: skip


def test_our_own_name_stays_a_field_whatever_its_cells_say():
    assert guessed([("Tag", ["C-1"]), ("Kind", ["5C", "5C", "ER32"])])[1] == "kind"


@pytest.mark.parametrize("heading", ["Next due", "Bought", "Date ordered"])
def test_days_of_something_else_are_not_taken_for_an_inspection(heading):
    assert guessed([("Tag", ["C-1"]), (heading, ["2026-03-18", "2026-04-01"])])[1] == NOTED


def test_a_column_without_heading_and_cells_is_left_out():
    assert guessed([("Tag", ["C-1"]), ("", ["", " "])])[1] == LEFT_OUT


def test_what_was_chosen_for_an_earlier_sheet_goes_before_heading_and_cells():
    remembered = {"drawer": "notes", "peg no": "tag", "bought from": LEFT_OUT}

    assert guessed(
        [("Peg No.", ["7"]), ("DRAWER", ["A1"]), ("Bought  from", ["a friend"]), ("Tag", ["x"])], remembered=remembered
    ) == ["tag", "notes", LEFT_OUT, NOTED]


def test_of_two_columns_headed_alike_the_first_gets_the_remembered_field():
    assert guessed([("Peg", ["7"]), ("Peg", ["8"])], remembered={"peg": "tag"}) == ["tag", NOTED]


def test_three_texts_that_differ_are_shown_of_a_column():
    assert contents.content(["a", "a", "", " b", "c", "d"], series=()).samples == ["a", "b", "c"]


def test_states_in_another_language_are_states():
    cells = ["gut", "neu", "verschlissen", "gut"]

    assert guessed([("Inventar-Nr.", ["S-1", "S-2", "S-3", "S-4"]), ("Zustand", cells)])[1] == "condition"
