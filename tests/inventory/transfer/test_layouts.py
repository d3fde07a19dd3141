"""How the columns and tags of a sheet stand: two rows of headings, one thing in two columns, tags with blanks."""

import pytest

from inventory.measures.lengths import Length
from inventory.models import Tool
from inventory.transfer import entry, imports, sheets
from inventory.transfer.reading.remarks import read_remark
from inventory.transfer.reading.sizes import prepared, spans_in

TWO_ROWS = """Liste der Dreherei;;;;;;;;;
Lfd.;Inv.;Benennung;Spannzange;;Spannbereich;;Platz;;EK-Preis
;Nr.;;System;Ø/SW (mm);von;bis;Schrank;Fach;(EUR)
1;E 7;Spannzg.;ER25;8,0;;;3;A;14,90
2;E 8;Spannzange Vkt.;5C;SW 10;;;3;B;
3;F 1;Dreibackenfutter;;;5;200;5;;1.480,00
"""


def read(text):
    sheet = sheets.read(text.encode(), name="crib.csv")
    return imports.plan(sheet, unit="mm")


def taken(text):
    done = entry.take(read(text).question, by=None)
    assert not done.report()["refused"]
    return {tool.tag: tool for tool in Tool.objects.for_list()}


@pytest.mark.django_db
def test_two_rows_of_headings_are_read_together_though_one_of_them_is_not_known():
    tools = taken(TWO_ROWS)

    assert sorted(tools) == ["E-7", "E-8", "F-1"]
    assert (tools["E-7"].size.nominal, tools["E-7"].cost_cents) == (Length.mm(8), 1490)
    assert (tools["E-8"].size.shape, tools["E-8"].size.nominal) == ("square", Length.mm(10))


@pytest.mark.django_db
def test_a_cabinet_and_its_drawer_are_one_place_and_the_ends_of_a_range_one_range():
    tools = taken(TWO_ROWS)

    assert [tools[tag].location.name for tag in ("E-7", "E-8", "F-1")] == [
        "Schrank 3 / Fach A",
        "Schrank 3 / Fach B",
        "Schrank 5",
    ]
    chuck = tools["F-1"]
    assert (chuck.outside_smallest, chuck.outside_largest) == (Length.mm(5), Length.mm(200))


@pytest.mark.django_db
def test_the_ends_of_a_range_have_the_unit_of_their_headings():
    tools = taken("ID,Item,Nose,Cap. min (in),Cap. max (in)\nW-1,steady rest,,1/2,4-1/4\n")

    rest = tools["W-1"]
    assert (rest.outside_smallest, rest.outside_largest) == (Length.inches("0.5"), Length.inches("4.25"))


@pytest.mark.django_db
def test_a_cabinet_alone_stays_what_it_is():
    assert taken("ID,Item,Cabinet,Condition\nW-1,steady rest,3,good\n")["W-1"].location.name == "3"


@pytest.mark.django_db
def test_one_tag_with_a_blank_among_others_is_a_slip():
    plan = read("Tag,Kind,Series,Size\nM-1,collet,5C,8\nM-2,collet,5C,9\nM 3,collet,5C,10\n")

    assert [(row["line"], row["field"]) for row in plan.report()["refused"]] == [(4, "tag")]


@pytest.mark.django_db
def test_two_spellings_of_one_tag_are_one_where_tags_have_blanks():
    plan = read("Tag,Kind,Series,Size\nM 1,collet,5C,8\nM 2,collet,5C,9\nM-2,collet,5C,10\n")

    assert [row["line"] for row in plan.report()["refused"]] == [4]


@pytest.mark.django_db
def test_the_running_number_of_a_row_is_no_tag_beside_one():
    assert list(taken("Lfd. Nr.;Inventar-Nr.;Bezeichnung;System;Größe\n1;S-9;Spannzange;ER25;8\n")) == ["S-9"]


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("collet 1-1/4", []),
        ("1-1/4 to 2", [("1-1/4", "2")]),
        ("20-19", [("20", "19")]),
        ("1/8-6", [("1/8", "6")]),
    ],
)
def test_a_mixed_number_is_no_range(text, ends):
    assert [(span.low.number, span.high.number) for span in spans_in(prepared(text))] == ends


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("with Walt since 9/30", "Walt"),
        ("mit Bernd seit Mai", "Bernd"),
        ("verliehen an Kollege Hartwig", "Hartwig"),
        ("with key since new", ""),
    ],
)
def test_who_has_a_piece_is_heard_without_a_word_for_lending(text, name):
    remark = read_remark(text, "en")

    assert (remark.is_out, remark.borrower) == (bool(name), name)
