"""What is remembered between questions is never older than the database."""

import threading

import pytest
from django.db import connection, transaction

from fitfinder.questions import Question
from inventory.models import Tool
from tests import factories

pytestmark = pytest.mark.django_db(transaction=True)


def tags():
    return [grip.piece.tag for grip in Question("2").answer().grips]


@pytest.fixture
def shop():
    factories.lathe()
    factories.chuck(tag="K-1")


def test_a_piece_that_was_entered_after_the_last_question_is_found(shop):
    assert tags() == ["K-1"]

    factories.chuck(tag="K-2")

    assert tags() == ["K-1", "K-2"]


def test_a_piece_that_was_changed_in_bulk_is_read_anew(shop):
    assert tags() == ["K-1"]

    Tool.objects.filter(tag="K-1").update(condition="damaged")

    assert tags() == []


def test_what_was_written_over_another_connection_is_found(shop):
    assert tags() == ["K-1"]

    def write():
        factories.chuck(tag="K-2")
        connection.close()

    other = threading.Thread(target=write)
    other.start()
    other.join()

    assert tags() == ["K-1", "K-2"]


def test_what_was_taken_back_is_not_remembered(shop):
    with transaction.atomic():
        factories.chuck(tag="K-2")
        assert tags() == ["K-1", "K-2"]
        transaction.set_rollback(True)

    assert tags() == ["K-1"]


def test_a_lathe_of_one_question_is_not_the_lathe_of_the_next(shop):
    factories.lathe("Lathe 2", nose="1-1/2-8")

    assert [grip.piece.tag for grip in Question("2", lathe="Lathe 2").answer().grips] == []
    assert tags() == ["K-1"]


def test_a_piece_is_out_for_one_asker_and_here_for_the_other(shop):
    kim, lee = factories.user("machinist", name="kim"), factories.user("machinist", name="lee")
    factories.loan(Tool.objects.get(tag="K-1"), to=kim)

    assert [grip.piece.tag for grip in Question("2").answer(asker_id=kim.pk).grips] == ["K-1"]
    assert [grip.piece.tag for grip in Question("2").answer(asker_id=lee.pk).grips] == []


def test_the_rig_is_not_read_again_while_nobody_writes(shop):
    tags()

    asked = []

    def keeping(execute, sql, *rest):
        asked.append(sql)
        return execute(sql, *rest)

    with connection.execute_wrapper(keeping):
        tags()

    assert asked
    assert [sql for sql in asked if "t.pilot" in sql] == []
