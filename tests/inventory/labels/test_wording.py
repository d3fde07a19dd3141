"""What stands on a label of a place or a piece."""

from django.utils import timezone

from inventory.labels import wording
from inventory.models import Kind, Location
from tests import factories


def fetched(drawer):
    return Location.objects.prefetch_related(*wording.WITH_BELONGINGS).get(pk=drawer.pk)


def words(belongings):
    return [belonging.words for belonging in belongings]


def test_a_drawer_names_its_collets_by_series_and_range_and_the_rest_by_tag(drawer):
    assert words(wording.belongings(fetched(drawer))) == [
        "5C hex 1/2",
        "5C round 1/2 to 3/4, 3 pcs",
        "K-0081 universal chuck",
    ]


def test_what_is_more_than_asked_for_is_counted_by_pieces(drawer):
    label = wording.of_place(fetched(drawer), most=1)

    assert words(label.belongings) == ["5C hex 1/2", "and 4 more"]


def test_a_retired_piece_belongs_nowhere(drawer):
    factories.piece(Kind.FACEPLATE, tag="F-0001", location="A2", retired_at=timezone.now())

    assert "F-0001" not in str(wording.belongings(fetched(drawer)))


def test_a_cabinet_names_the_drawers_in_it(drawer):
    label = wording.of_place(fetched(drawer.parent))

    assert words(label.belongings) == ["A2"]
    assert label.stands_in == ""


def test_a_label_of_a_piece_has_its_tag_its_size_and_its_place(drawer):
    label = wording.of_piece(drawer.tools.get(tag="C-0011"))

    assert (label.name, words(label.belongings), label.stands_in, label.path) == (
        "3/4", ["5C round", "C-0011"], "in Cabinet A, drawer A2", "/t/C-0011/",
    )  # fmt: skip
    assert label.words == "3/4 C-0011"


def test_a_label_of_a_piece_without_a_size_has_its_tag_first(drawer):
    label = wording.of_piece(drawer.tools.get(tag="K-0081"))

    assert (label.name, label.words) == ("K-0081", "K-0081")


def test_a_label_of_a_drawer_calls_it_one(drawer):
    label = wording.of_place(fetched(drawer))

    assert (label.name, label.stands_in) == ("A2", "drawer in Cabinet A")
