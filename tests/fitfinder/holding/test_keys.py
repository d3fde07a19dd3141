"""The keys that a way wants."""

from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words


def test_the_key_that_the_shop_keeps_for_a_chuck_is_on_the_list():
    rig = [on_hand.chuck(tag="K-1"), on_hand.piece(Kind.KEY, tag="T-1", tightens="K-1")]

    assert way_by("universal chuck", job("1"), *rig).tags == ("K-1", "T-1")


def test_a_key_that_is_out_is_missing():
    key = on_hand.piece(Kind.KEY, tag="T-1", tightens="K-1", why_not="out to dana")

    assert words(way_by("universal chuck", job("1"), on_hand.chuck(tag="K-1"), key).missing) == (
        "no key for K-1: T-1 is out to dana",
    )


def test_one_key_may_be_for_several_pieces_in_any_case():
    key = on_hand.piece(Kind.KEY, tag="T-1", tightens="k-1, K-2")

    assert [way_by("universal chuck", job(), on_hand.chuck(tag=tag), key).tags for tag in ("K-1", "K-2", "K-3")] == [
        ("K-1", "T-1"), ("K-2", "T-1"), ("K-3",),
    ]  # fmt: skip


def test_the_key_of_the_nose_is_for_what_has_to_be_put_on_it():
    lathe, key = small_shop.lathe(), on_hand.piece(Kind.KEY, tag="T-1", tightens="D1-4")
    on_it = on_hand.chuck(tag="K-1", mounted_on=lathe.id)

    assert way_by("universal chuck", job(), on_it, key, lathes=(lathe,)).tags == ("K-1",)
    assert way_by("universal chuck", job(), on_hand.chuck(tag="K-2"), key, lathes=(lathe,)).tags == ("K-2", "T-1")
