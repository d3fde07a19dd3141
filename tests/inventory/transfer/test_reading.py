"""Sheets of invented shops, in other layouts and languages: what a careful keeper would conclude of each row."""

import pytest

from inventory.measures.lengths import Length, Unit
from inventory.models import Tool
from inventory.reference.kinds import Kind
from inventory.transfer import entry, imports, sheets
from inventory.transfer.reading.columns import read_heading
from inventory.transfer.reading.kinds import named_kind
from inventory.transfer.reading.money import plain_amount
from inventory.transfer.reading.places import lathe_in, place_key, section_place
from inventory.transfer.reading.remarks import read_remark
from inventory.transfer.reading.seats import seats_in
from inventory.transfer.reading.sizes import prepared
from inventory.transfer.reading.vocabulary import fold


@pytest.mark.parametrize(
    ("text", "language", "kind"),
    [
        ("4 jaw SC", "en", Kind.UNIVERSAL_CHUCK),
        ("Running centre, pipe", "en", Kind.BULL_NOSE_CENTER),
        ("drill chk w/ key", "en", Kind.DRILL_CHUCK),
        ("QC holder, boring bars", "en", Kind.TOOL_POST_HOLDER),
        ("Lünette mitgehend", "de", Kind.FOLLOW_REST),
        ("Vierbackenfutter, Backen einzeln verstellbar", "de", Kind.INDEPENDENT_CHUCK),
        ("Körnerspitze Hartmetall", "de", Kind.DEAD_CENTER),
        ("Lunette à suivre 10 à 60", "fr", Kind.FOLLOW_REST),
        ("Mandrin de perçage", "fr", Kind.DRILL_CHUCK),
        ("Punto giratorio", "es", Kind.LIVE_CENTER),
        ("Mandrino portapinze ER32", "it", Kind.COLLET_CHUCK),
    ],
)
def test_a_kind_is_read_from_a_description_in_five_languages(text, language, kind):
    assert named_kind(prepared(fold(text)), language).kind == kind


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("4 jaw chuck", "4 jaw chuck"),
        ("Mandrin", "chuck"),
        ("Contre-pointe", "center"),
        ("Tapping collet ER20", "tapping"),
        ("Plato de arrastre", "driving plate"),
        ("Bench vise", "none"),
    ],
)
def test_what_could_be_several_things_is_not_guessed(text, doubt):
    assert named_kind(prepared(fold(text)), "en").doubt == doubt


@pytest.mark.parametrize(
    ("heading", "field", "unit"),
    [
        ("Run out (thou)", "tir", "thou"),
        ('TIR 0.001"', "tir", "thou"),
        ("Rundlauf µm", "tir", "um"),
        ("Medida (mm)", "size", "mm"),
        ("Cône ou nez", "mount", None),
        ("Last ck'd", "inspected_on", None),
        ("Q.tà", "quantity", None),
        ("old loc", "left out", None),
    ],
)
def test_a_heading_tells_field_and_unit(heading, field, unit):
    read = read_heading(heading)

    assert (read.fields[0], read.unit) == (field, unit)


@pytest.mark.parametrize(
    ("text", "finding"),
    [
        ("scroll is sloppy", "scroll worn"),
        ("Lager laut", "bearing rough"),
        ("mors ébréchés", "jaws chipped"),
        ("punta rovinata", "point worn"),
        ("punta quemada", "point worn"),
        ("cracked at slot", "cracked"),
    ],
)
def test_a_finding_is_heard_in_remarks(text, finding):
    assert read_remark(text, "en").findings[:1] == (finding,) or any(
        read_remark(text, language).findings[:1] == (finding,) for language in ("de", "fr", "it", "es")
    )


def test_what_is_denied_or_said_of_a_part_is_not_heard():
    assert not read_remark("not cracked, just a scratch", "en").says_something
    assert not read_remark("key missing", "en").is_missing
    assert read_remark("nicht mehr auffindbar", "de").is_missing


def test_words_of_trouble_that_are_not_understood_are_told_apart():
    assert read_remark("does not close", "en").troubles == ("does not close",)


@pytest.mark.parametrize(
    ("text", "seats"),
    [
        ("1 1/8 x 12 BSW", ["1-1/8-12"]),
        ("2MT/1MT", ["MT2", "MT1"]),
        ("DIN 55029 nº 6", ["D1-6"]),
        ("cono morse 3", ["MT3"]),
        ("1/8-6", []),
        ("10-9", []),
    ],
)
def test_seats_are_found_inside_texts(text, seats):
    known = {"MT1", "MT2", "MT3", "D1-6", "1-1/8-12"}

    assert [one.code for one in seats_in(prepared(fold(text)), known)] == seats


@pytest.mark.parametrize(
    ("text", "decimal", "amount"),
    [
        ("1.249,00 €", "", "1249.00"),
        ("£4.50", "", "4.50"),
        ("CHF 1'249.-", "", "1249"),
        ("1.249", ",", "1249"),
        ("1.249", "", None),
    ],
)
def test_prices_are_read_with_their_thousands(text, decimal, amount):
    assert plain_amount(text, decimal) == amount


def test_three_spellings_of_a_drawer_are_one_and_a_lathe_is_no_place():
    assert len({place_key(text) for text in ("Cab 1 / Dr 2", "cab 1 dr 2", "Cabinet 1, drawer 2")}) == 1
    assert lathe_in("on lathe 1", "en") == "lathe 1"
    assert lathe_in("floor by lathe 2", "en") == ""
    assert section_place("--- Futter (Regal A) ---") == "Regal A"


SHED = """Old shed tools,,,,
Item,Size,Kept,Clock (thou),Remarks
COLLETS,,,,
ER20 collet,10 mm,Cab 2 / Dr 1,0.4,
ER20 collet,7,cab 2 dr 1,,pair of
5C collet,1/2 A/F,Cab 2/Dr 1,,
"5C set 1/8 thru 1 by 8ths",,Box,,
Total,,,,
"""


def planned(text, **how):
    return imports.plan(sheets.read(text.encode(), name="shed.csv"), **how)


@pytest.mark.django_db
def test_pieces_without_tags_are_asked_about_once():
    asked = {ask["key"]: ask["lines"] for ask in planned(SHED).report()["asked"]}

    assert asked["tags"] == [4, 5, 6]
    assert asked["flats"] == [6]


@pytest.mark.django_db
def test_pieces_without_tags_get_the_next_free_ones_and_the_same_sheet_again_adds_nothing():
    how = {"numbers_pieces": True, "sections": "headings", "unit": Unit.INCH}

    entry.take(planned(SHED, **how).question, by=None)
    first = list(Tool.objects.order_by("tag").values_list("tag", flat=True))
    entry.take(planned(SHED, **how).question, by=None)

    assert first == ["C-0001", "C-0002", "C-0003"]
    assert Tool.objects.count() == 3
    assert {tool.location.name for tool in Tool.objects.all()} == {"Cab 2 / Dr 1"}
    assert Tool.objects.get(tag="C-0001").tir == Length.inches("0.0004")


@pytest.mark.parametrize(
    ("size", "words"),
    [("1/2 or so", "so"), ("approx 5/8", "approx"), ("~3/4", "?"), ("1/2?", "?"), ("7/8 roughly", "roughly")],
)
def test_a_size_with_a_word_beside_it_that_nobody_knows_is_asked(size, words, keeper):
    sheet = sheets.read(f"Tag,Kind,Series,Size\nC-1,collet,5C,{size}\nC-2,collet,5C,3/8 in\n".encode(), name="crib.csv")

    taken = entry.take(imports.SheetQuestion(sheet=sheet), by=keeper).report()

    assert [(ask["key"], ask["lines"]) for ask in taken["asked"]] == [(f"size:{words}", [2])]
    assert list(Tool.objects.values_list("tag", flat=True)) == ["C-2"]


@pytest.mark.django_db
def test_a_set_in_one_row_is_offered_and_entered_as_its_pieces():
    (key,) = [ask["key"] for ask in planned(SHED).report()["asked"] if ask["key"].startswith("set:")]
    answers = {key: "enter 8 pieces"}

    entry.take(planned(SHED, numbers_pieces=True, answers=answers).question, by=None)

    sizes = Tool.objects.filter(location__name="Box").order_by("tag")
    assert [tool.size.nominal for tool in sizes] == [Length.inches(f"{eighth}/8") for eighth in range(1, 9)]


@pytest.mark.django_db
def test_a_tag_that_stands_again_is_a_dated_reading_where_that_was_said():
    text = "Tag,Kind,Series,Size,TIR,Checked\nC-1,collet,5C,1/2,.0004,2026-01-05\nC-1,collet,5C,1/2,.0006,2026-03-05\n"

    entry.take(planned(text, keeps_repeats=True).question, by=None)

    tool = Tool.objects.get()
    assert (tool.inspections.count(), tool.tir) == (2, Length.inches("0.0006"))


@pytest.mark.django_db
def test_a_run_out_that_no_piece_has_is_asked_about():
    text = "Tag,Kind,Series,Size,TIR\nC-1,collet,5C,1/2,0.4\n"

    assert [ask["key"] for ask in planned(text).report()["asked"]] == ["tir:unit"]
    entry.take(planned(text, answers={"tir:unit": "thousandths of an inch"}).question, by=None)
    assert Tool.objects.get().tir == Length.inches("0.0004")
