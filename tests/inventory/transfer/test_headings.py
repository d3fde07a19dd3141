import pytest

from inventory.pieces.fields import SHEET_FIELDS
from inventory.transfer import headings
from inventory.transfer.errors import PAGE, SheetError


def fields(*texts, chosen=()):
    return {column.heading: column.field for column in headings.columns(list(texts), chosen)}


def test_our_own_names_are_known():
    assert fields(*SHEET_FIELDS) == {name: name for name in SHEET_FIELDS}


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("What it is", "kind"),
        ("TYPE", "kind"),
        ("Drawer", "location"),
        ("Bin", "location"),
        ("Bin no.", "location"),
        ("State", "condition"),
        ("Checked", "inspected_on"),
        ("Last inspected", "inspected_on"),
        ("Inspected on", "inspected_on"),
        ("Paid", "cost"),
        ("Price, each", "cost"),
        ("Remarks", "notes"),
        ("T.I.R.", "tir"),
        ("Run-out", "tir"),
        ("Outside min", "outside_min"),
        ("Max RPM", "max_rpm"),
        ("Bought from", None),
        ("Next due", None),
    ],
)
def test_a_heading_is_guessed_by_its_words(heading, field):
    assert fields("Tag", heading)[heading] == field


def test_our_own_name_wins_over_a_guess_that_stands_before_it():
    assert fields("Number", "Tag") == {"Number": None, "Tag": "tag"}


def test_a_second_column_for_a_field_belongs_to_none():
    columns = headings.columns(["Tag", "Remarks", "Comments"])

    assert [column.field for column in columns] == ["tag", "notes", None]


@pytest.mark.parametrize(
    ("heading", "unit"), [("Size (mm)", "mm"), ("TIR, in", "in"), ("Weight [kg]", "kg"), ("Size", None)]
)
def test_a_heading_can_say_the_unit_of_its_column(heading, unit):
    column = headings.columns(["Tag", heading])[1]

    assert column.field is not None
    assert column.unit == unit


def test_a_choice_wins_over_a_guess():
    assert fields("Tag", "Drawer", "Shelf", chosen=["shelf=location"]) == {
        "Tag": "tag",
        "Drawer": None,
        "Shelf": "location",
    }


def test_a_heading_with_an_equals_sign_can_be_chosen():
    assert fields("Tag", "a=b", chosen=["a=b=notes"])["a=b"] == "notes"


@pytest.mark.parametrize(
    ("choice", "said"),
    [
        ("Drawr=location", "“Drawr” is no heading of the sheet"),
        ("Drawer=place", "names no field"),
        ("Drawer", "names no field"),
        ("=location", "is no heading"),
    ],
)
def test_a_choice_that_names_nothing_is_answered_with_a_sentence(choice, said):
    with pytest.raises(SheetError, match=said) as caught:
        headings.columns(["Tag", "Drawer"], [choice])

    assert caught.value.field == "map"


def test_two_headings_cannot_be_one_field():
    with pytest.raises(SheetError, match="Two headings"):
        headings.columns(["Tag", "A", "B"], ["A=notes", "B=notes"])


def test_a_sheet_without_a_column_of_tags_is_refused():
    with pytest.raises(SheetError, match="--map HEADING=tag"):
        headings.columns(["Name", "Colour"])


def test_a_column_without_a_heading_is_named_by_its_place():
    assert headings.columns(["Tag", ""])[1].heading == "column 2"


def test_our_own_reasons_beside_refused_rows_are_no_part_of_a_piece():
    assert fields("Tag", headings.REASONS) == {"Tag": "tag"}


def test_a_page_does_not_speak_of_the_options_of_the_command():
    with pytest.raises(SheetError, match="say under “Match headings” which column it is") as caught:
        headings.columns(["Name", "Colour"], advice=PAGE)

    assert "--map" not in caught.value.message


@pytest.mark.parametrize(
    ("heading", "key"), [("Bin  No.", "bin no"), ("GRÖSSE", "grösse"), ("Size (mm)", "size mm"), ("—", "")]
)
def test_a_heading_is_remembered_without_its_case_and_punctuation(heading, key):
    assert headings.key_of(heading) == key
