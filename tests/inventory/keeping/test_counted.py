"""Counted stock: what a tap does to the count, to the row of it, and to a second tap."""

import uuid

import pytest
from django.utils import timezone

from inventory.models import CountedItem, CountedMovement, CountedStock
from inventory.models.counted import MOST, CountRefused
from tests import factories

TAKEN, TOPPED_UP, COUNTED = "taken", "topped up", "counted as"


@pytest.fixture
def stock(db):
    return factories.counted(A4=3).stocks.get()


def moved(stock, what, how_many, *, by, token=None):
    return CountedStock.objects.move(stock, what, how_many, by=by, at=timezone.now(), token=token or uuid.uuid4())


def left_of(stock):
    return CountedStock.objects.get(pk=stock.pk).count


@pytest.mark.parametrize(
    ("what", "how_many", "left"), [(TAKEN, 1, 2), (TAKEN, 3, 0), (TOPPED_UP, 5, 8), (COUNTED, 7, 7), (COUNTED, 0, 0)]
)
def test_a_tap_keeps_what_was_left_after_it(what, how_many, left, stock, machinist):
    movement = moved(stock, what, how_many, by=machinist)

    assert (left_of(stock), movement.left, movement.how_many) == (left, left, how_many)


def test_taking_more_than_is_left_is_refused(stock, machinist):
    with pytest.raises(CountRefused, match=r"Only 3 are left in drawer A4\."):
        moved(stock, TAKEN, 4, by=machinist)

    assert left_of(stock) == 3
    assert not CountedMovement.objects.exists()


@pytest.mark.parametrize(("count", "says"), [(1, "Only 1 is left in drawer A4."), (0, "None are left in drawer A4.")])
def test_the_last_ones_are_spoken_of_as_one_speaks(count, says, stock, machinist):
    moved(stock, COUNTED, count, by=machinist)

    with pytest.raises(CountRefused) as refusal:
        moved(stock, TAKEN, 2, by=machinist)

    assert str(refusal.value) == says


@pytest.mark.parametrize(("how_many", "is_kept"), [(MOST - 4, True), (MOST - 3, True), (MOST - 2, False)])
def test_a_place_holds_up_to_a_million(how_many, is_kept, stock, machinist):
    if is_kept:
        assert moved(stock, TOPPED_UP, how_many, by=machinist).left == 3 + how_many
    else:
        with pytest.raises(CountRefused, match="Drawer A4 holds 3 already"):
            moved(stock, TOPPED_UP, how_many, by=machinist)


@pytest.mark.parametrize("what", [TAKEN, TOPPED_UP, COUNTED])
def test_a_tap_that_is_sent_again_does_nothing_twice(what, stock, machinist):
    token = uuid.uuid4()
    first = moved(stock, what, 2, by=machinist, token=token)

    again = moved(stock, what, 2, by=machinist, token=token)

    assert (again.pk, again.is_resent, first.is_resent) == (first.pk, True, False)
    assert left_of(stock) == first.left


def test_the_tap_that_took_the_last_one_can_be_sent_again(stock, machinist):
    token = uuid.uuid4()
    moved(stock, TAKEN, 3, by=machinist, token=token)

    assert moved(stock, TAKEN, 3, by=machinist, token=token).is_resent


# The low mark itself counts as low: three cases, over all places together.
@pytest.mark.parametrize(("in_a4", "in_b1", "is_low"), [(1, 1, True), (2, 1, True), (2, 2, False)])
def test_a_thing_is_low_from_its_mark_down_over_all_places(in_a4, in_b1, is_low, db):
    item = factories.counted(low_mark=3, A4=in_a4, B1=in_b1)

    assert CountedItem.objects.low().filter(pk=item.pk).exists() is is_low
    assert CountedItem.objects.with_total().get(pk=item.pk).is_low is is_low


def test_what_has_no_mark_or_is_retired_is_never_low(db):
    factories.counted(low_mark=None, A4=0)
    retired = factories.counted(low_mark=3, A4=0)
    CountedItem.objects.filter(pk=retired.pk).update(retired_at=timezone.now())

    assert not CountedItem.objects.low().exists()


@pytest.mark.parametrize(("in_places", "where"), [({}, "no place is written down"), ({"A4": 0, "B1": 0}, "none left")])
def test_what_lies_nowhere_is_low(in_places, where, db):
    factories.counted(low_mark=0, **in_places)

    item = CountedItem.objects.low().with_places().get()
    assert (item.total, item.where) == (0, where)


def test_what_is_left_is_said_by_place(db):
    factories.counted(low_mark=9, A4=3, B1=0, C1=2)

    assert CountedItem.objects.low().with_places().get().where == "3 left in drawer A4, 2 left in drawer C1"
