"""Which center: by the work, the room for the tool, and the speed; best first, with the reason of each."""

import pytest

from fitfinder.holding.seats import LatheRig
from fitfinder.questions import QuestionError
from fitfinder.seating.centers import CenterQuestion, cautions, lacking, which_center
from fitfinder.seating.tools import Serving, ToolOnHand
from inventory.measures.lengths import parse
from tests.fitfinder.holding import small_shop

LATHE = small_shop.lathe()


def center(kind="live center", *, tag=None, bores=None, extension="", mount="MT3", **fields):
    piece = small_shop.center(kind, mount=mount, tag=tag, **fields)
    piece = small_shop.inside(piece, *bores) if bores else piece
    return ToolOnHand(piece=piece, extension=parse(extension) if extension else None)


def asked(**texts):
    return CenterQuestion.from_texts(texts)


def centers(question, *tools):
    rig = LatheRig(LATHE, tuple(tool.piece for tool in tools))
    return which_center(question, LATHE, tools, rig)


LIVE = center(tag="N-1", max_rpm=4500)
DEAD = center("dead center", tag="N-2")
BULL = center("bull-nose center", tag="N-3", bores=("3/4", "3-1/2"), max_rpm=2000)
LONG = center("extended-point center", tag="N-4", extension="1-1/8", max_rpm=3500)


@pytest.mark.parametrize(
    ("texts", "leads"),
    [({}, "N-1"), ({"bore": "2-3/4"}, "N-3"), ({"clearance": "1"}, "N-4"), ({"speed": "4000"}, "N-1")],
)
def test_the_center_for_the_work_leads(texts, leads):
    best = centers(asked(**texts), LIVE, DEAD, BULL, LONG)[0]

    assert (best.piece.tag, best.serving) == (leads, Serving.SERVES)


@pytest.mark.parametrize(
    ("bore", "serving"),
    [("0.749", Serving.DOES_NOT), ("3/4", Serving.SERVES), ("3-1/2", Serving.SERVES), ("3.501", Serving.DOES_NOT)],
)
def test_a_bull_nose_enters_the_bores_of_its_range(bore, serving):
    assert centers(asked(bore=bore), BULL)[0].serving == serving


def test_a_bull_nose_is_not_for_solid_work():
    assert centers(asked(), BULL)[0].serving == Serving.DOES_NOT


@pytest.mark.parametrize(
    ("clearance", "serving"), [("1.124", Serving.SERVES), ("1-1/8", Serving.SERVES), ("1.126", Serving.DOES_NOT)]
)
def test_an_extended_point_gives_room_up_to_how_far_it_reaches(clearance, serving):
    assert centers(asked(clearance=clearance), LONG)[0].serving == serving


@pytest.mark.parametrize(
    ("speed", "serving"), [("4499", Serving.SERVES), ("4500", Serving.SERVES), ("4501", Serving.DOES_NOT)]
)
def test_a_marked_maximum_is_a_hard_stop(speed, serving):
    assert centers(asked(speed=speed), LIVE)[0].serving == serving


def test_a_live_center_without_a_marking_is_a_question_where_a_speed_is_told():
    assert centers(asked(speed="800"), center())[0].serving == Serving.LOOK_FIRST
    assert centers(asked(), center())[0].serving == Serving.SERVES


# ASME B5.10: the large end of Morse 3 is 0.938 in; a dead center's point is no wider.
@pytest.mark.parametrize(("bore", "serving"), [("0.937", Serving.LOOK_FIRST), ("0.938", Serving.DOES_NOT)])
def test_the_point_of_a_dead_center_is_no_wider_than_its_shank(bore, serving):
    assert centers(asked(bore=bore), DEAD)[0].serving == serving


def test_what_is_lacking_is_said_and_what_is_here_is_not():
    question = asked(bore="2")

    assert lacking(question, LATHE, centers(question, LIVE)) == (
        "no bull-nose center for a bore of 2 in for the MT3 tailstock of Lathe 1"
    )
    assert lacking(question, LATHE, centers(question, LIVE, BULL)) == ""
    assert lacking(asked(), LATHE, centers(asked(), LIVE)) == ""


def test_a_dead_center_is_told_to_be_lubricated_and_a_live_one_is_not():
    told = {tool.piece.tag: [c.text for c in cautions(centers(asked(), tool)[0])] for tool in (LIVE, DEAD)}

    assert any("lubricant" in text for text in told["N-2"])
    assert not any("lubricant" in text for text in told["N-1"])


@pytest.mark.parametrize(("field", "text"), [("speed", "fast"), ("speed", "0"), ("bore", "wide"), ("clearance", "-1")])
def test_what_cannot_be_read_is_refused_by_its_field(field, text):
    with pytest.raises(QuestionError) as refused:
        asked(**{field: text})

    assert refused.value.field == field
