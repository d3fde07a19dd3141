"""Find and the plan are one model: what the one leads with, the other has as here, just so."""

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fitfinder.find.question import Question
from fitfinder.holding.job import Job
from fitfinder.holding.method import Method
from fitfinder.holding.verdicts import Outcome
from fitfinder.plan.plan import plan
from fitfinder.questions import QuestionError
from tests.fitfinder import made_up_cribs
from tests.fitfinder.read_plainly import WholeCrib

pytestmark = pytest.mark.one_database("Find and plan have one reader; test_every_piece.py tries it on each database")

QUESTIONS = 25
few_and_large = settings(
    max_examples=12,
    deadline=None,
    phases=[Phase.generate],  # a crib that fails is told by its seed
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


def pairs(seed):
    """Each question of this crib that can be read, with Find's answer and the plan for work of just that stock."""
    wholes = {}
    for texts, asker_id in made_up_cribs.questions(seed, QUESTIONS):
        question = Question.from_texts(texts)
        try:
            stock, tir = question.stock(), question.asked_tir()
        except QuestionError:
            continue
        if asker_id not in wholes:
            wholes[asker_id] = WholeCrib(asker_id=asker_id)
        whole = wholes[asker_id].plan_crib(stock, lathe=question.lathe)
        yield texts, question.answer(asker_id=asker_id), plan(Job.of_stock(stock, runs_within=tir), whole)


def of_grip(grip):
    return grip.tags, grip.runout.total, grip.runout.basis, grip.cautions


def of_way(way):
    tags = tuple(piece.tag for piece in way.holding)
    return (tags, way.of_one_gripping.total, way.of_one_gripping.basis, way.cautions) if way.is_here else None


def told_apart(answer, planned):
    """What the two say differently of one question."""
    if answer.verdict is Outcome.BLANK:
        blank = planned.by(Method.COLLET)
        return [] if blank.is_here and answer.blanks[0].tag in blank.tags else [("blank", blank.tags)]
    if not answer.grips:
        return [("nothing holds it", way.name) for way in planned.usable if not way.but]
    lead = answer.grips[0]
    way = planned.by(lead.method)
    found = [] if of_grip(lead) == of_way(way) else [("lead", of_grip(lead), of_way(way))]
    offered = {grip.method for grip in (*answer.grips, *answer.fallbacks)}
    return found + [("not offered", way.name) for way in planned.usable if not way.but and way.method not in offered]


@few_and_large
@given(seed=st.integers(0, 10_000), pieces=st.sampled_from([200, 60, 30, 15, 3]))
def test_what_find_leads_with_the_plan_has_as_here_with_the_same_pieces_run_out_and_cautions(seed, pieces, db):
    with transaction.atomic():
        made_up_cribs.fill(seed, pieces=pieces)
        found = [(texts, apart) for texts, *both in pairs(seed) if (apart := told_apart(*both))]
        transaction.set_rollback(True)

    assert found == []


@few_and_large
@given(seed=st.integers(0, 10_000), pieces=st.sampled_from([30, 15, 8, 3]))
def test_what_no_way_can_hold_find_does_not_offer(seed, pieces, db):
    with transaction.atomic():
        made_up_cribs.fill(seed, pieces=pieces)
        found = [
            (texts, answer.headline) for texts, answer, planned in pairs(seed) if answer.grips and not planned.usable
        ]
        transaction.set_rollback(True)

    assert found == []
