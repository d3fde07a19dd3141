"""A machinable collet that is bored, in the answer."""

import pytest

from fitfinder.find.question import Question
from inventory.models import Kind
from tests import factories

pytestmark = pytest.mark.one_database("rules of an answer; test_every_piece.py tries its reader on each database")


@pytest.fixture
def chain(db):
    factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tag="H-0061", tir="0.0002")


def ask(size, **texts):
    return Question.from_texts({"size": size, **texts}).answer()


@pytest.mark.parametrize(("size", "verdict"), [(".3999", "blank"), (".4", "holds"), (".4001", "blank")])
def test_it_holds_its_bore_and_nothing_beside_it(size, verdict, chain):
    factories.bored(".4", tag="C-1")
    factories.blank("1/16", tag="C-2")

    assert ask(size).verdict == verdict


def test_it_is_told_as_what_it_is_and_is_no_longer_a_blank(chain):
    factories.bored(".4", tag="C-1")

    grip = ask(".4").grips[0]

    assert (grip.piece.kind, grip.name) == ("machinable collet", "0.4000 round, 5C, bored blank")
    assert any("put in again, indicate it" in reason for reason in grip.reasons)
    assert ask(".5").blanks == ()


def test_how_truly_it_runs_is_not_promised_from_the_links_before_it(chain):
    factories.bored(".4", tag="C-1")

    assert ask(".4", tir=".001").grips[0].runout.total is None


def test_a_reading_of_it_counts(chain):
    factories.bored(".4", tag="C-1", tir=".0002")

    assert ask(".4", tir=".001").grips[0].meets_tir is True


def test_cutting_tools_and_keys_are_no_way_to_hold(chain):
    factories.piece(Kind.TURNING_TOOL, shank=None)
    factories.piece(Kind.KEY, fits="D1-4")

    answer = ask(".4")

    assert (answer.grips, answer.verdict) == ((), "nothing")


def test_a_step_collet_that_takes_the_stock_is_a_way_where_no_other_collet_is(chain):
    factories.piece(Kind.STEP_COLLET, tag="S-1", mount="5C", outside=("1/8", "2"))

    answer = ask(".4")

    assert [grip.tags[-1] for grip in answer.grips] == ["S-1"]
    assert (
        answer.headline == "No collet here holds it. Turn the step of S-1 from drawer A2 to it: it can only be opened."
    )
