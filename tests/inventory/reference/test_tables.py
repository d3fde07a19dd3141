"""What holds for every table."""

import pytest

from inventory.reference import tables
from inventory.reference.practice import figure

WITHOUT_SOURCE = {"sources", "grades", "unwitnessed", "none_on_file"}
TABLES = sorted(path.stem for path in tables.DATA.glob("*.csv") if path.stem not in WITHOUT_SOURCE)


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_citation_and_a_basis(table):
    assert all(row.source and row.basis in tables.BASES for row in tables.rows(table))


def test_no_citation_is_left_without_a_figure():
    used = {key for table in TABLES for row in tables.rows(table) for key in row.text("source").split()}
    assert {row.text("key") for row in tables.rows("sources")} == used


def test_a_working_figure_that_is_not_there_is_a_key_error():
    with pytest.raises(KeyError):
        figure("run-out", "magnetic chuck")
