"""The minutes of a way."""

from fractions import Fraction

from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by


def test_minutes_are_the_fit_once_and_each_part_at_each_gripping():
    own = {"universal chuck": Fraction(2), "chuck change, camlock": Fraction(7)}
    way = way_by("universal chuck", job("1", parts=10, setups=3), on_hand.chuck(), minutes=own)

    assert way.minutes == 7 + 2 * 10 * 3


def test_what_is_mounted_now_costs_no_fitting():
    lathe = small_shop.lathe()
    mounted = on_hand.chuck(mounted_on=lathe.id)
    own = {"universal chuck": Fraction(2)}

    assert way_by("universal chuck", job("1"), mounted, lathes=(lathe,), minutes=own).minutes == 2
