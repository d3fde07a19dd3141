"""What another job wants comes behind what is free, and says for whom and from when on: page, program and terminal."""

import json
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from fitfinder.find.question import Question
from fitfinder.find.telling import answer_json
from fitfinder.plan.question import JobQuestion
from inventory.models import Tool
from tests import factories

DAY = timedelta(days=1)


@pytest.fixture
def crib(db):
    factories.lathe("Lathe 1")
    factories.closer(tag="H-1")


@pytest.fixture
def wanted(crib, keeper):
    """Of two collets alike the truer one, which a keeper's job wants tomorrow."""
    tool = factories.collet(tag="C-1", tir="0.0002", location="A2")
    factories.collet(tag="C-2", tir="0.0008", location="A3")
    sheet = factories.setup_sheet(tool, title="Idler shaft", by=keeper)
    return factories.reservation(tool, sheet=sheet, by=keeper)


def when(row):
    begins = timezone.localtime(row.starts_at)
    return f"tomorrow {begins.hour}:{begins.minute:02}"


def tags(size="3/4", *, asker=None, **texts):
    answer = Question.from_texts({"size": size, **texts}).answer(asker_id=asker)
    return [grip.piece.tag for grip in answer.grips]


def test_a_reserved_piece_comes_behind_a_free_one_that_is_less_true(wanted):
    assert tags() == ["C-2", "C-1"]


def test_it_comes_behind_a_free_one_of_another_size_at_its_limit_but_not_behind_one_that_may_not_hold(wanted):
    Tool.objects.filter(tag="C-2").delete()
    factories.collet_chuck(tag="H-3", mount="D1-4")
    factories.collet("20 mm", series="ER32", tag="C-3")

    def verdicts(low, high):
        grips = Question.from_texts({"size": low, "size2": high}).answer().grips
        return [(grip.piece.tag, grip.verdict.value) for grip in grips]

    assert verdicts("0.7482", "0.7500") == [("C-3", "at the limit"), ("C-1", "holds")]
    assert verdicts("0.7470", "0.7500") == [("C-1", "holds"), ("C-3", "measure first")]


def test_whose_job_it_is_sees_it_as_free(wanted, keeper):
    assert tags(asker=keeper.pk) == ["C-1", "C-2"]


@pytest.mark.parametrize(("days", "first"), [(2.9, "C-2"), (3.1, "C-1"), (40, "C-1")])
def test_what_a_job_wants_after_three_days_is_said_and_pushes_nothing_back(days, first, wanted):
    starts_at = timezone.now() + days * DAY
    wanted.starts_at, wanted.lapses_at = starts_at, starts_at + DAY
    wanted.save()

    answer = Question.from_texts({"size": "3/4"}).answer()

    assert answer.grips[0].piece.tag == first
    assert any("reserved for Idler shaft" in reason for grip in answer.grips for reason in grip.reasons)


def test_what_lapsed_says_nothing(wanted):
    wanted.starts_at, wanted.lapses_at = timezone.now() - 2 * DAY, timezone.now() - DAY
    wanted.save()

    assert tags() == ["C-1", "C-2"]
    assert "reserved" not in json.dumps(_json())


def _json():
    return answer_json(Question.from_texts({"size": "3/4"}).answer())


def test_a_program_reads_for_which_job_by_whom_and_from_when(wanted, keeper, client_of):
    answer = client_of("machinist").get(reverse("find_json"), {"size": "3/4"}).json()

    free, reserved = answer["grips"]
    assert "reserved_for" not in free
    assert reserved["reserved_for"] == f"Idler shaft, {when(wanted)}"
    assert reserved["reserved"] == {
        "tag": "C-1",
        "job": "Idler shaft",
        "by": str(keeper),
        "from": timezone.localtime(wanted.starts_at).isoformat(),
    }


def test_the_page_says_it_beside_the_piece_and_where_it_leads(wanted, client_of):
    words = f"C-1 is reserved for Idler shaft, {when(wanted)}"
    browser = client_of("machinist")
    assert words in browser.get(reverse("find"), {"size": "3/4"}).content.decode()

    factories.loan(Tool.objects.get(tag="C-2"))
    page = browser.get(reverse("find"), {"size": "3/4"})

    assert page.context["page"].lead.reserved == (words,)
    assert f"{words}." in page.context["reply"].headline


def test_the_terminal_says_it(wanted, capsys):
    call_command("fit", "3/4")

    assert f"C-1 is reserved for Idler shaft, {when(wanted)}" in capsys.readouterr().out


def test_a_closer_that_is_reserved_gives_way_to_a_free_one(crib, keeper):
    factories.collet(tag="C-1")
    factories.closer(tag="H-2", condition="worn")
    factories.reservation(Tool.objects.get(tag="H-1"), by=keeper)

    answer = Question.from_texts({"size": "3/4"}).answer()

    assert answer.grips[0].tags == ("H-2", "C-1")


def test_pieces_of_one_job_are_said_in_one_sentence(wanted, keeper):
    Tool.objects.filter(tag="C-2").delete()
    factories.reservation(Tool.objects.get(tag="H-1"), sheet=wanted.sheet, by=keeper, starts_at=wanted.starts_at)

    (grip,) = Question.from_texts({"size": "3/4"}).answer().grips

    assert f"H-1 and C-1 are reserved for Idler shaft, {when(wanted)}" in grip.reasons


def test_the_plan_puts_it_behind_as_well_and_says_it(wanted, capsys):
    plan = JobQuestion.from_texts({"size": "3/4"}).plan()
    collet = next(way for way in plan.usable if way.collet is not None)
    assert collet.tags[-1] == "C-2"

    factories.loan(Tool.objects.get(tag="C-2"))
    call_command("plan", "3/4")

    assert f"C-1 is reserved for Idler shaft, {when(wanted)}" in capsys.readouterr().out


def test_a_free_chuck_leads_the_plan_before_one_that_is_wanted_and_truer(crib, keeper):
    wanted = factories.chuck(tag="K-1", tir="0.0010", body="6")
    factories.chuck(tag="K-2", tir="0.0030", body="8")
    factories.reservation(wanted, by=keeper)

    plan = JobQuestion.from_texts({"size": "2"}).plan()

    assert "K-2" in plan.lead.tags


def test_a_blank_that_a_job_wants_is_bored_last(crib, keeper):
    wanted = factories.blank(tag="B-1")
    factories.blank(tag="B-2")
    factories.reservation(wanted, by=keeper)

    answer = Question.from_texts({"size": "3/4"}).answer()

    assert [blank.tag for blank in answer.blanks] == ["B-2", "B-1"]
