"""What a look at a piece changes, and what is left of one that was mistyped."""

from datetime import date

import pytest

from inventory.inspections.findings import FINDINGS
from inventory.inspections.readings import trend_of
from inventory.measures.lengths import parse
from inventory.models import Condition, Finding, Inspection, Kind
from tests import factories

JANUARY, MARCH, MAY = date(2026, 1, 10), date(2026, 3, 10), date(2026, 5, 10)


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011")


def state(tool):
    tool.refresh_from_db()
    return tool.tir, tool.inspected_on, tool.finding, tool.condition


def test_the_verdict_of_a_look_is_the_condition(tool):
    factories.reading(tool, "0.0009", taken_on=MARCH, verdict=Condition.WORN)

    assert state(tool) == (parse("0.0009"), MARCH, "", "worn")


@pytest.mark.parametrize("finding", [Finding.BELL_MOUTHED, Finding.JAWS_BELL_MOUTHED, Finding.CRACKED, Finding.SPRUNG])
def test_what_can_let_go_takes_a_piece_out_of_use(tool, finding):
    factories.reading(tool, "0.0001", finding=finding, verdict=Condition.GOOD)

    assert tool.condition == Condition.DAMAGED
    assert not tool.is_in_service


def test_galled_does_not(tool):
    factories.reading(tool, "0.0001", finding=Finding.GALLED, verdict=Condition.GOOD)

    assert tool.is_in_service


def test_scrapped_stays_scrapped_when_it_is_cracked_too(tool):
    factories.reading(tool, None, finding=Finding.CRACKED, verdict=Condition.SCRAPPED)

    assert tool.condition == Condition.SCRAPPED


def test_a_correction_counts_in_place_of_the_mistyped_one(tool):
    mistyped = factories.reading(tool, "0.005", taken_on=MARCH, finding=Finding.CRACKED)

    factories.reading(tool, "0.0005", taken_on=MARCH, verdict=Condition.GOOD, corrects=mistyped)

    assert state(tool) == (parse("0.0005"), MARCH, "", "good")
    assert Inspection.objects.get(pk=mistyped.pk).tir == parse("0.005")
    assert Inspection.objects.standing().count() == 1


def test_a_corrected_reading_stands_in_no_trend(tool):
    mistyped = factories.reading(tool, "0.005", taken_on=JANUARY, is_bare=True)
    factories.reading(tool, "0.0005", taken_on=JANUARY, is_bare=True, corrects=mistyped)

    assert [reading.tir for reading in trend_of(tool).alike] == [parse("0.0005")]


def test_correcting_an_older_one_leaves_the_newest_current(tool):
    older = factories.reading(tool, "0.003", taken_on=JANUARY)
    factories.reading(tool, "0.0006", taken_on=MARCH, finding=Finding.GALLED, verdict=Condition.WORN)

    factories.reading(tool, "0.0003", taken_on=JANUARY, verdict=Condition.GOOD, corrects=older)

    assert state(tool) == (parse("0.0006"), MARCH, "galled", "worn")


def test_a_reading_that_is_taken_back_brings_the_one_before(tool):
    factories.reading(tool, "0.0004", taken_on=JANUARY)
    mistyped = factories.reading(tool, "0.004", taken_on=MARCH)

    tool.record(tir=None, taken_on=MARCH, by=None, verdict=Condition.GOOD, corrects=mistyped)

    assert state(tool) == (parse("0.0004"), MARCH, "", "good")


def test_a_correction_can_be_corrected(tool):
    first = factories.reading(tool, "0.005", taken_on=MARCH)
    second = factories.reading(tool, "0.0005", taken_on=MARCH, corrects=first)
    factories.reading(tool, "0.0006", taken_on=MARCH, corrects=second)

    assert tool.tir == parse("0.0006")
    assert Inspection.objects.standing().count() == 1


def test_a_late_inspection_goes_behind_the_newest(tool):
    factories.reading(tool, "0.0006", taken_on=MAY)

    tool.record(tir=parse("0.0004"), taken_on=MARCH, by=None, finding="", verdict=Condition.WORN, is_late=True)

    assert state(tool) == (parse("0.0006"), MAY, "", "good")
    assert [look.taken_on for look in tool.standing_inspections()] == [MARCH, MAY]


def test_each_kind_is_asked_for_what_can_be_found_on_it():
    assert set(FINDINGS) == set(Kind)
    assert Finding.POINT_WORN not in FINDINGS[Kind.COLLET]
    assert Finding.BELL_MOUTHED not in FINDINGS[Kind.LIVE_CENTER]
    assert Finding.BEARING_ROUGH not in FINDINGS[Kind.DEAD_CENTER]
