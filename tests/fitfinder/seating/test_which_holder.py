"""Which holder: post, shank, operation and center height, each with its reason."""

import pytest
from msgspec.structs import replace

from fitfinder.questions import QuestionError
from fitfinder.seating.holders import HolderQuestion, on_the_post_itself, which_holder
from fitfinder.seating.tools import Serving, ToolOnHand
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop

LATHE = replace(small_shop.lathe(), post=on_hand.seat("Wedge post 1"))


def holder(low="1/4", high="5/8", *, shape="square", operations=("turning", "facing"), is_set=True, **fields):
    piece = on_hand.piece("tool-post holder", **{"mount": "Wedge post 1", **fields})
    return ToolOnHand(
        piece=piece,
        shank_shape=shape,
        operations=operations,
        set_for=frozenset({LATHE.id} if is_set else ()),
        capacity=(parse(low), parse(high)) if low else (None, None),
    )


def asked(shank="1/2", **texts):
    return HolderQuestion.from_texts({"shank": shank, **texts})


@pytest.mark.parametrize(
    ("shank", "serving"),
    [
        ("0.249", Serving.DOES_NOT),
        ("1/4", Serving.SERVES),
        ("5/8", Serving.SERVES),
        ("0.626", Serving.DOES_NOT),
        ("16 mm", Serving.DOES_NOT),
    ],
)
def test_a_holder_takes_the_shanks_of_its_range(shank, serving):
    assert which_holder(asked(shank), LATHE, [holder()])[0].serving == serving


def test_a_round_bar_is_not_for_a_square_slot():
    assert which_holder(asked(shape="round"), LATHE, [holder()])[0].serving == Serving.DOES_NOT


def test_boring_asks_for_a_round_bar_where_no_shape_is_told():
    assert asked(operation="boring").shape == "round"


def test_a_holder_of_another_post_does_not_serve():
    assert which_holder(asked(), LATHE, [holder(mount="Post 2")])[0].serving == Serving.DOES_NOT


def test_with_a_post_that_is_not_filled_in_nothing_is_sure():
    assert which_holder(asked(), replace(LATHE, post=None), [holder()])[0].serving == Serving.LOOK_FIRST


def test_the_holder_that_is_kept_for_the_operation_leads():
    rig = [holder(tag="H-1"), holder(tag="H-2", operations=("threading",))]

    assert which_holder(asked(operation="threading"), LATHE, rig)[0].piece.tag == "H-2"


def test_the_holder_whose_center_height_is_set_for_this_lathe_leads():
    rig = [holder(tag="H-1", is_set=False), holder(tag="H-2")]
    first, then = which_holder(asked(), LATHE, rig)

    assert first.piece.tag == "H-2"
    assert then.sentences == ("its center height is not set for any lathe: set it first",)


def test_a_holder_whose_shanks_are_not_filled_in_is_to_be_looked_at_first():
    assert which_holder(asked(), LATHE, [holder(low=None)])[0].serving == Serving.LOOK_FIRST


@pytest.mark.parametrize(("operation", "count"), [("knurling", 1), ("turning", 0)])
def test_a_knurling_head_that_sits_on_the_post_itself_is_offered_for_knurling_only(operation, count):
    head = ToolOnHand(piece=on_hand.piece("knurling head", mount="Wedge post 1"))

    assert len(on_the_post_itself(asked(operation=operation), LATHE, [head])) == count


@pytest.mark.parametrize(
    ("texts", "field"),
    [({"shank": ""}, "shank"), ({"shank": "thick"}, "shank"), ({"shank": "1/2", "operation": "milling"}, "operation"),
     ({"shank": "1/2", "shape": "oval"}, "shape"), ({"shank": "1/2", "unit": "cm"}, "unit")],
)  # fmt: skip
def test_what_cannot_be_read_is_refused_by_its_field(texts, field):
    with pytest.raises(QuestionError) as refused:
        HolderQuestion.from_texts(texts)

    assert refused.value.field == field
