"""Figures that nothing outside of the tables vouches for, on the page and in the list."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.reference import tables
from inventory.reference.catalog import TABLES, why_unwitnessed
from tests.witness.figures import reading_by

LONELY = {"table": "morse_tapers", "name": "MT7", "column": "socket_depth", "why": "one print only"}


@pytest.fixture
def one_without_a_witness():
    honest = tables.rows
    with reading_by(lambda table: iter([tables.TableRow(LONELY)]) if table == "unwitnessed" else honest(table)):
        yield


def numbers_page(client_of, **query):
    return unescape(client_of("machinist").get(reverse("numbers"), query).content.decode())


def test_each_line_of_the_list_is_a_cell_of_a_table_and_says_why():
    names = {(table.key, line.name) for table in TABLES for line in table.lines}

    for row in tables.rows("unwitnessed"):
        assert (row.text("table"), row.text("name")) in names
        assert row.text("column") in next(tables.rows(row.text("table"))).cells
        assert row.text("why")


def test_the_page_tells_what_nothing_vouches_for_beside_its_figure(client_of, one_without_a_witness):
    assert "No second witness for socket depth: one print only." in numbers_page(client_of, q="MT7")
    assert "No second witness" not in numbers_page(client_of, q="MT6")


def test_the_page_counts_the_rows_and_leads_to_them(client_of, one_without_a_witness):
    page = numbers_page(client_of)

    assert "?q=no%20second%20witness" in page and "1 row</a> has a figure" in page
    assert "1 row with “no second witness”" in numbers_page(client_of, q="no second witness")


def test_what_has_a_witness_has_no_reason(one_without_a_witness):
    assert why_unwitnessed("morse_tapers", "MT7", "socket_depth") == "one print only"
    assert why_unwitnessed("morse_tapers", "MT7", "large_end") == ""
