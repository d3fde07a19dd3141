"""What the name of a collet says beside its kind."""

import pytest

from inventory.models import Kind
from inventory.transfer import cells
from tests.inventory.transfer.test_imports import only, planned

SERIES = {"5C", "ER32", "R8"}


@pytest.mark.parametrize(
    ("texts", "found"),
    [
        ({"kind": "5C collet"}, {"series": "5C"}),
        ({"kind": "collet, ER32"}, {"series": "ER32"}),
        ({"kind": "5c hex collet"}, {"series": "5C", "shape": "hex"}),
        ({"kind": "Collet R8 rd."}, {"series": "R8", "shape": "round"}),
        ({"kind": "5C or R8 collet"}, {}),
        ({"kind": "collet", "size": "7/16 hex"}, {"shape": "hex", "size": "7/16"}),
        ({"kind": "collet", "size": "12 mm sq"}, {"shape": "square", "size": "12 mm"}),
        ({"kind": "collet", "size": "12 mm"}, {}),
        ({"kind": "collet", "size": "letter F"}, {}),
    ],
)
def test_series_and_shape_are_read_from_where_they_stand(texts, found):
    assert cells.spread_out(Kind.COLLET, texts, SERIES) == texts | found


def test_a_cell_of_its_own_always_stands():
    texts = {"kind": "5C hex collet", "series": "ER32", "shape": "square"}

    assert cells.spread_out(Kind.COLLET, texts, SERIES) == texts


def test_a_blank_is_told_its_series_and_no_shape():
    assert cells.spread_out(Kind.MACHINABLE_COLLET, {"kind": "soft 5C round collet"}, SERIES) == {
        "kind": "soft 5C round collet",
        "series": "5C",
    }


@pytest.mark.django_db
def test_a_sheet_without_a_column_of_the_series_comes_in_by_the_names():
    outcome = only(planned("C-9,5C hex collet,7/16,ok", headings="Tag,What,Size,State"))

    assert (outcome.verdict, outcome.piece.what) == ("new", "7/16 hex 5C collet")
