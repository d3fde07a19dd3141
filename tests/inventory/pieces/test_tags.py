"""The next free tag."""

import pytest

from inventory.models import Kind
from inventory.pieces.tags import free_tags, next_tag, tags_from
from tests import factories

pytestmark = pytest.mark.django_db


def test_the_numbers_go_on_behind_the_highest_of_the_prefix():
    factories.collet(tag="C-0007")
    factories.collet(tag="C-0003")

    assert free_tags("C-", 2) == ["C-0008", "C-0009"]


@pytest.mark.parametrize(
    ("newest", "free"), [("C-0011", "C-0012"), ("C12", "C13"), ("5C-099", "5C-100"), ("0999", "1000"), ("BLUE", "")]
)
def test_a_piece_is_numbered_as_the_newest_of_its_kind_is(newest, free):
    factories.collet(tag=newest)

    assert next_tag(Kind.COLLET) == free


@pytest.mark.parametrize(
    ("first", "tags"), [("C-0006", ["C-0006", "C-0008", "C-0009"]), ("BLUE", ["BLUE", "BLUE-0001", "BLUE-0002"])]
)
def test_what_comes_in_together_is_numbered_on_from_its_first_tag_without_those_in_use(first, tags):
    factories.collet(tag="C-0007")

    assert tags_from(first, 3) == tags


def test_the_first_of_a_kind_is_numbered_as_its_group_is():
    factories.closer(tag="H-0061")

    assert next_tag(Kind.SLEEVE) == "H-0062"


def test_no_tag_is_proposed_where_nothing_like_it_is_in_the_book():
    factories.closer(tag="H-0061")

    assert next_tag(Kind.COLLET) == ""


def test_a_tag_that_would_be_too_long_is_not_proposed():
    factories.collet(tag="COLLET-OF-THE-SHOP-9")

    assert next_tag(Kind.COLLET) == ""
