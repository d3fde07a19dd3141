import pytest

from inventory.measures.lengths import Unit
from inventory.models import Finding, Kind, Seat
from inventory.transfer import cells
from inventory.transfer.texts import DayCell, ErrorCell, Formula

SEATS = {
    code.upper(): Seat(code=code, family=family)
    for code, family in {
        "MT2": "taper",
        "MT3": "taper",
        "D1-4": "nose",
        "1-1/2-8": "thread",
        "5C": "collet",
        "ER32": "collet",
        "POST-B": "other",
    }.items()
}


def read(kind, *, unit=Unit.INCH, **texts):
    return cells.shop_texts(kind, texts, SEATS, unit)[0]


@pytest.mark.parametrize(
    ("kind", "texts", "found"),
    [
        (Kind.COLLET_CHUCK, {"series": "takes 5C", "size": "through 1-1/4"}, {"takes": "5C", "through": "1-1/4 in"}),
        (Kind.COLLET_CHUCK, {"series": "er32"}, {"takes": "ER32"}),
        (Kind.COLLET_CHUCK, {"series": "MT3 shank"}, {"mount": "MT3"}),
        (Kind.UNIVERSAL_CHUCK, {"series": "3 jaw", "size": "8 in body"}, {"jaws": "3", "body": "8 in"}),
        (Kind.INDEPENDENT_CHUCK, {"series": "4-jaw, D1-4"}, {"jaws": "4", "mount": "D1-4"}),
        (Kind.UNIVERSAL_CHUCK, {"series": "1-1/2-8 nose"}, {"mount": "1-1/2-8"}),
        (Kind.LIVE_CENTER, {"series": "MT3", "size": "60 deg"}, {"mount": "MT3", "angle": "60"}),
        (Kind.DEAD_CENTER, {"series": "mt2", "size": "75°"}, {"mount": "MT2", "angle": "75"}),
        (
            Kind.BULL_NOSE_CENTER,
            {"series": "MT3", "size": "holes 1 to 4 in"},
            {"mount": "MT3", "inside_min": "1 in", "inside_max": "4 in"},
        ),
        (Kind.SLEEVE, {"series": "MT3 outside, MT2 inside"}, {"mount": "MT3", "takes": "MT2"}),
        (Kind.SLEEVE, {"series": "MT3"}, {}),
        (Kind.LATHE_DOG, {"size": "1/2 to 1"}, {"outside_min": "1/2 in", "outside_max": "1 in"}),
        (
            Kind.DRILL_CHUCK,
            {"series": "MT3 arbor", "size": "1 to 13 mm"},
            {"mount": "MT3", "outside_min": "1 mm", "outside_max": "13 mm"},
        ),
        (Kind.MANDREL, {"size": "1/2–1"}, {"inside_min": "1/2 in", "inside_max": "1 in"}),
        (Kind.FACEPLATE, {"series": "D1-4", "size": "12 in, 4 slots"}, {"mount": "D1-4", "body": "12 in"}),
        (Kind.TOOL_POST_HOLDER, {"series": "post 200", "size": "MT2 socket"}, {"takes": "MT2"}),
        (Kind.TOOL_POST_HOLDER, {"series": "post 200", "shape": "parting", "size": "blade 11/16 high"}, {}),
        (Kind.SLEEVE, {"size": "1 to 2"}, {}),
        (Kind.LATHE_DOG, {"size": "small to large"}, {}),
    ],
)
def test_what_can_be_read_of_the_shops_own_words_becomes_fields(kind, texts, found):
    assert read(kind, **texts) == found


def test_bare_numbers_of_the_shops_words_are_in_the_unit_of_the_sheet():
    assert read(Kind.STEADY_REST, size="10 to 80", unit=Unit.MM) == {"outside_min": "10 mm", "outside_max": "80 mm"}


def test_a_seat_that_the_shop_made_itself_is_not_read_from_its_words():
    assert read(Kind.TOOL_POST_HOLDER, series="POST-B") == {}


def test_the_words_themselves_are_kept_for_the_notes():
    texts = {"series": "takes 5C", "shape": "", "size": "through 1-1/4"}

    assert cells.shop_texts(Kind.COLLET_CHUCK, texts, SEATS, Unit.INCH)[1] == [
        "series: takes 5C",
        "size: through 1-1/4",
    ]


def test_the_series_and_size_of_a_collet_are_no_words_of_the_shop():
    assert cells.shop_texts(Kind.COLLET, {"series": "5C", "size": "3/4"}, SEATS, Unit.INCH) == ({}, [])


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("4-Mar", "turned 3/4 into it. Write 0.75 or"),
        ("Mar-4", "turned 3/4 into it. Write 0.75 or"),
        ("3/4/2026", "turned 3/4 into it. Write 0.75 or"),
        ("2026-05-08", "turned 5/8 into it. Write 0.625 or"),
        (DayCell("2026-03-04"), "turned 3/4 into it. Write 0.75 or"),
        ("1/3/2026", "turned 1/3 into it. Write the size as a decimal or"),
    ],
)
def test_a_size_that_a_spreadsheet_turned_into_a_date_is_told_with_what_to_write(text, advice):
    assert advice in cells.odd_cell("size", text)


@pytest.mark.parametrize("text", ["3/4", "1-1/8", "23/64", "4-5/64", ".7485", "May be worn"])
def test_a_size_is_not_taken_for_a_date(text):
    assert cells.odd_cell("size", text) is None


def test_a_date_is_nothing_odd_where_dates_belong():
    assert cells.odd_cell("inspected_on", DayCell("2026-03-04")) is None


@pytest.mark.parametrize("text", [Formula("=A1*2"), ErrorCell("#REF!")])
def test_formulas_and_errors_are_odd_in_any_column(text):
    assert str(text) in cells.odd_cell(None, text)


def test_the_unit_of_a_heading_goes_to_bare_numbers_only():
    assert cells.with_unit("size", "12", "mm") == "12 mm"
    assert cells.with_unit("size", "1/2", "mm") == "1/2"
    assert cells.with_unit("jaws", "3", "mm") == "3"
    assert cells.with_unit("weight", "42", "lb") == "42 lb"
    assert cells.with_unit("grips_min", "19", "mm") == "19 mm"


@pytest.mark.parametrize(
    ("remarks", "finding"),
    [
        ("bell-mouthed at the nose", Finding.BELL_MOUTHED),
        ("Bell mouthed", Finding.BELL_MOUTHED),
        ("cracked at a slot, do not use", Finding.CRACKED),
        ("two cracks", Finding.CRACKED),
        ("SPRUNG", Finding.SPRUNG),
        ("not worn, but cracked", Finding.CRACKED),
        ("no rust; sprung", Finding.SPRUNG),
        ("do not use cracked", Finding.CRACKED),
        ("don't use: bell-mouth", Finding.BELL_MOUTHED),
        ("not the good one - sprung", Finding.SPRUNG),
        ("no cracks, later sprung", Finding.SPRUNG),
        ("not cracked", None),
        ("no visible sign of cracks", None),
        ("no cracks", None),
        ("isn't sprung", None),
        ("never cracked or bell-mouthed", None),
        ("checked for cracks", None),
        ("cracks: none", None),
        ("crack tested", None),
        ("runs well", None),
        ("", None),
    ],
)
def test_remarks_report_a_finding_unless_they_deny_it(remarks, finding):
    assert cells.finding_in(remarks) == finding


@pytest.mark.parametrize(
    ("field", "text", "read"),
    [
        ("size", "'1/4", "1/4"),
        ("size", " '.7485", ".7485"),
        ("size", "’#7", "#7"),
        ("size", "'three", "'three"),
        ("size", "1/4'", "1/4'"),
        ("notes", "'90 model", "'90 model"),
    ],
)
def test_only_an_apostrophe_before_the_figures_of_a_size_is_taken_off(field, text, read):
    assert cells.without_apostrophe(field, text) == read
