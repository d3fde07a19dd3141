"""A drawer counted: what was said, what came of it, and what happened meanwhile."""

from datetime import date

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from inventory.keeping import counting
from inventory.keeping.counting import CannotCount
from inventory.keeping.mounting import mount
from inventory.models import Count, CountAnswer, CountLine, Move, Tool
from tests import factories

LONG_AGO = date(2026, 1, 5)


@pytest.fixture
def drawer(db):
    return factories.place("A2")


@pytest.fixture
def pieces(drawer):
    return [factories.collet(tag=f"C-{number}", location="A2") for number in range(1, 5)]


def new_count(drawer, keeper):
    return counting.begin(drawer, by=keeper, at=timezone.now())


def say(count, answer, *tools, by):
    return counting.mark(count, [tool.pk for tool in tools], answer, by=by, at=timezone.now())


def close(count, *, by, unsaid=()):
    return counting.close(count, unseen={tool.pk for tool in unsaid}, by=by, at=timezone.now())


def outcomes(count):
    return {line.tool.tag: line.outcome for line in count.lines.select_related("tool")}


def again(tool):
    return Tool.objects.get(pk=tool.pk)


def test_what_nobody_saw_is_missing_and_the_rest_stays(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, *pieces[:2], by=keeper)
    say(count, CountAnswer.NOT_HERE, pieces[2], by=keeper)

    ended = close(count, by=keeper, unsaid=[pieces[3]])

    assert [again(tool).missing_since is not None for tool in pieces] == [False, False, True, True]
    assert outcomes(ended) == {"C-1": "", "C-2": "", "C-3": "missing", "C-4": "missing"}
    assert ended.ended_by == keeper


def test_only_closing_a_count_changes_anything(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.NOT_HERE, *pieces, by=keeper)
    assert not Tool.objects.exclude(missing_since=None).exists()

    counting.drop(count, by=keeper, at=timezone.now())

    assert not Tool.objects.exclude(missing_since=None).exists()
    assert Count.objects.get().is_dropped
    assert CountLine.objects.count() == 4


def test_a_half_done_count_is_gone_on_with_by_somebody_else(drawer, pieces, keeper, administrator):
    say(new_count(drawer, keeper), CountAnswer.HERE, pieces[0], by=keeper)

    count = new_count(drawer, administrator)

    assert Count.objects.count() == 1
    assert [tool.tag for tool in counting.drawer(count).unseen] == ["C-2", "C-3", "C-4"]


def test_what_was_said_can_be_said_otherwise_and_counts_once(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    for answer in (CountAnswer.HERE, CountAnswer.NOT_HERE, CountAnswer.NOT_HERE):
        say(count, answer, pieces[0], by=keeper)

    assert [line.answer for line in count.lines.all()] == [CountAnswer.NOT_HERE]


def test_a_missing_piece_that_is_here_is_found(drawer, keeper):
    tool = factories.collet(tag="C-1", location="A2", missing_since=LONG_AGO)
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, tool, by=keeper)

    assert outcomes(close(count, by=keeper)) == {"C-1": "found"}
    assert again(tool).missing_since is None


def test_a_piece_missed_after_it_was_ticked_stays_missing(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, *pieces, by=keeper)
    pieces[0].missing_since = timezone.localdate()
    pieces[0].save()

    close(count, by=keeper)

    assert again(pieces[0]).missing_since == timezone.localdate()


def test_what_is_out_and_lies_here_counts_as_returned(drawer, pieces, keeper):
    away, kept = (factories.loan(tool) for tool in pieces[:2])
    count = new_count(drawer, keeper)
    assert [tool.tag for tool in counting.drawer(count).away] == ["C-1", "C-2"]
    say(count, CountAnswer.HERE, pieces[0], pieces[2], pieces[3], by=keeper)

    ended = close(count, by=keeper)

    away.refresh_from_db()
    kept.refresh_from_db()
    assert away.returned_by == keeper
    assert kept.returned_at is None
    assert outcomes(ended)["C-1"] == f"returned for {away.borrower}"


def test_a_piece_that_went_out_after_it_was_ticked_stays_out(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, *pieces, by=keeper)
    loan = factories.loan(pieces[0])

    close(count, by=keeper)

    loan.refresh_from_db()
    assert loan.returned_at is None


def test_what_went_out_meanwhile_is_not_missing(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.NOT_HERE, *pieces, by=keeper)
    factories.loan(pieces[0])

    assert "out to" in outcomes(close(count, by=keeper))["C-1"]
    assert again(pieces[0]).missing_since is None


def test_a_mounted_piece_in_its_drawer_is_taken_off(drawer, keeper):
    lathe = factories.lathe()
    tool = factories.chuck(tag="K-1", location="A2")
    mount(tool, lathe, key="nose", instead_of=None)
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, tool, by=keeper)

    assert outcomes(close(count, by=keeper)) == {"K-1": f"taken off {lathe}"}
    assert again(tool).mounted_on is None


def test_an_extra_piece_is_moved_here_or_goes_back(drawer, keeper):
    stays, leaves = (factories.collet(tag=tag, location="B2") for tag in ("C-8", "C-9"))
    count = new_count(drawer, keeper)
    counting.mark_extra(count, "c-8", CountAnswer.MOVE_IN, by=keeper, at=timezone.now())
    counting.mark_extra(count, "C-9", CountAnswer.GOES_BACK, by=keeper, at=timezone.now())

    ended = close(count, by=keeper)

    assert outcomes(ended) == {"C-8": "moved from drawer B2", "C-9": "goes back to drawer B2"}
    assert (again(stays).location.name, again(leaves).location.name) == ("A2", "B2")
    move = Move.objects.get()
    assert (move.from_place.name, move.to_place.name) == ("B2", "A2")


@pytest.mark.parametrize(
    ("columns", "tag", "words"),
    [
        ({}, "C-77", "No piece has the tag “C-77”"),
        ({"retired_at": timezone.now()}, "C-1", "C-1 is retired."),
        ({"location": None}, "C-1", "C-1 has no place to go back to."),
    ],
    ids=["unknown", "retired", "without a place"],
)
def test_an_extra_piece_that_cannot_be_kept_is_refused(columns, tag, words, drawer, keeper):
    factories.collet(tag="C-1", **{"location": "B2", **columns})

    with pytest.raises(CannotCount, match=words):
        counting.mark_extra(new_count(drawer, keeper), tag, CountAnswer.GOES_BACK, by=keeper, at=timezone.now())


def test_a_count_is_not_closed_over_what_was_not_shown(drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, *pieces[:2], by=keeper)

    with pytest.raises(CannotCount, match="Look again, then close"):
        close(count, by=keeper, unsaid=pieces[1:])

    assert Count.objects.open().exists()
    assert not Tool.objects.exclude(missing_since=None).exists()


@pytest.mark.parametrize("again", ["close", "drop", "say"])
def test_an_ended_count_is_left_as_it_is(again, drawer, pieces, keeper):
    count = new_count(drawer, keeper)
    say(count, CountAnswer.HERE, *pieces, by=keeper)
    close(count, by=keeper)

    with pytest.raises(CannotCount, match="closed already"):
        {
            "close": lambda: close(count, by=keeper),
            "drop": lambda: counting.drop(count, by=keeper, at=timezone.now()),
            "say": lambda: say(count, CountAnswer.NOT_HERE, *pieces, by=keeper),
        }[again]()


def test_a_piece_of_another_drawer_is_not_missing_here(drawer, pieces, keeper):
    other = factories.collet(tag="C-9", location="B2")

    assert say(new_count(drawer, keeper), CountAnswer.NOT_HERE, other, by=keeper) == 0


def test_the_database_refuses_a_second_open_count_of_a_place(drawer, keeper):
    new_count(drawer, keeper)

    with pytest.raises(IntegrityError), transaction.atomic():
        Count.objects.create(place=drawer, begun_at=timezone.now(), begun_by=keeper)


def test_a_retired_place_is_not_counted(drawer, keeper):
    drawer.retired_at = timezone.now()
    drawer.save()

    with pytest.raises(CannotCount, match="Drawer A2 is retired"):
        new_count(drawer, keeper)
