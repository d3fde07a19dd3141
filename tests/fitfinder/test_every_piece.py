"""The answer at the door is the answer of the rules over every piece that there is."""

from django.db import connection, transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fitfinder.find.finder import answer
from fitfinder.find.question import Question
from fitfinder.find.telling import answer_json
from fitfinder.questions import QuestionError
from tests import factories
from tests.fitfinder import made_up_cribs
from tests.fitfinder.read_plainly import WholeCrib

QUESTIONS = 50
few_and_large = settings(
    max_examples=12 if connection.vendor == "sqlite" else 4,  # the rules are the same, the statements are the same few
    deadline=None,
    phases=[Phase.generate],  # a crib that fails is told by its seed; to make a smaller one of it takes minutes
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


def asked_at_the_door(question, asker_id):
    return answer_json(question.answer(asker_id=asker_id))


def asked_of_every_piece(question, whole):
    return answer_json(
        answer(
            question.stock(),
            whole.plan_crib(question.stock(), lathe=question.lathe),
            asked_tir=question.asked_tir(),
        )
    )


def can_be_read(question):
    try:
        question.stock()
    except QuestionError:
        return False
    return True


def differing(seed):
    """The questions of this crib that are not answered as all pieces together would have them answered."""
    wholes, found = {}, []
    for texts, asker_id in made_up_cribs.questions(seed, QUESTIONS):
        question = Question.from_texts(texts)
        if not can_be_read(question):
            continue
        if asker_id not in wholes:
            wholes[asker_id] = WholeCrib(asker_id=asker_id)
        told = asked_at_the_door(question, asker_id)
        if told != (expected := asked_of_every_piece(question, wholes[asker_id])):
            found.append((texts, {name: (told[name], expected[name]) for name in told if told[name] != expected[name]}))
    return found


@few_and_large
@given(seed=st.integers(0, 10_000), pieces=st.sampled_from([400, 200, 60, 15, 3]))
def test_no_piece_that_would_change_the_answer_is_passed_over(seed, pieces, db):
    with transaction.atomic():
        made_up_cribs.fill(seed, pieces=pieces)
        found = differing(seed)
        transaction.set_rollback(True)

    assert found == []


def test_of_the_sizes_beside_the_stock_the_piece_that_nobody_reserved_is_named(db):
    factories.lathe("Lathe 1")
    factories.closer()
    reserved = factories.collet("3/4", tag="C-1")
    factories.collet("3/4", tag="C-2")
    factories.reservation(reserved)

    answer = asked_at_the_door(Question.from_texts({"size": "0.7300 in"}), None)

    assert [near["tag"] for near in answer["nearest"]] == ["C-2"]


def test_a_piece_that_was_never_read_is_taken_where_all_that_were_read_miss_the_tir(db):
    lathe = factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tir="0.0001")
    factories.chuck(kind="independent chuck", jaws=4)
    for tag, tir in (("X-1", "0.0012"), ("X-2", "0.0013"), ("X-3", "0.0014"), ("X-5", None)):
        factories.collet("59/64", tag=tag, tir=tir)

    reply = Question(".921", tir=".0012", lathe=lathe.name).answer()

    assert reply.headline.startswith("Take X-5 from drawer A2")
