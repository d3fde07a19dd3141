"""The rows of an answer's page."""

from fitfinder.find.rows import Rows
from tests.fitfinder import on_hand


def names(*chucks):
    ways = [on_hand.answer("0.75", chuck, lathes=[on_hand.lathe()]).grips[0] for chuck in chucks]
    return [row.name for row in Rows().without_collet(ways)]


def test_two_chucks_of_one_kind_are_told_apart_by_their_tags():
    assert names(on_hand.chuck(tag="K-1"), on_hand.chuck(tag="K-2")) == [
        "Universal chuck, 3 jaws, K-1",
        "Universal chuck, 3 jaws, K-2",
    ]


def test_a_name_that_only_one_of_them_has_stands_without_a_tag():
    assert names(on_hand.chuck(tag="K-1"), on_hand.independent_chuck(tag="K-2"))[0] == "Universal chuck, 3 jaws"


def test_a_way_of_which_there_is_no_more_to_say_ends_with_its_run_out():
    answer = on_hand.answer("2", on_hand.chuck(tir="0.003"), lathes=[on_hand.lathe()])
    (row,) = Rows().without_collet(answer.grips[:1])

    assert row.small.endswith("in TIR, measured")
