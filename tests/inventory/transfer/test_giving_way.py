"""A sheet that is read pauses while somebody's page is being answered, and never for long."""

import time

import pytest
from django.db import connection, transaction

from inventory.transfer.giving_way import PAUSE, give_way, let_others_write, others_first, working_on_a_copy


def seconds(call) -> float:
    started = time.monotonic()
    call()
    return time.monotonic() - started


def test_it_goes_on_where_nobody_asks():
    assert seconds(lambda: [give_way() for _ in range(1000)]) < 0.05


def test_it_pauses_while_a_page_is_answered_but_for_some_milliseconds_only():
    with others_first():
        assert 0.01 < seconds(give_way) < 1
    assert seconds(give_way) < 0.01


def test_who_has_hardly_worked_hardly_pauses():
    with others_first():
        give_way()
        assert seconds(give_way) < 0.05


def test_a_transaction_is_ended_first_but_for_one_on_a_copy_of_the_book(db):
    with others_first(), transaction.atomic():
        assert seconds(give_way) < 0.01
        with working_on_a_copy():
            assert 0.01 < seconds(give_way) < 1


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL has a queue of who waits to write")
def test_between_two_transactions_there_is_time_for_who_looks_every_tenth_of_a_second():
    assert seconds(let_others_write) >= PAUSE > 0.1
