"""The rows of an answer page."""

from fitfinder.views.rows import Rows
from tests.fitfinder import on_hand


def rows_of(*chucks):
    ways = [on_hand.answer("0.75", chuck, lathes=[on_hand.lathe()]).grips[0] for chuck in chucks]
    return Rows().without_collet(ways)


def test_two_chucks_of_one_kind_are_told_apart_by_their_tags():
    html = rows_of(on_hand.chuck(tag="K-1"), on_hand.chuck(tag="K-2"))

    assert ">Universal chuck, 3 jaws, K-1</a>" in html
    assert ">Universal chuck, 3 jaws, K-2</a>" in html


def test_a_name_that_only_one_of_them_has_stands_without_a_tag():
    html = rows_of(on_hand.chuck(tag="K-1"), on_hand.independent_chuck(tag="K-2"))

    assert ">Universal chuck, 3 jaws</a>" in html
