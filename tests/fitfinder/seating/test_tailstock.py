"""What goes into a tailstock: the sleeve that each shank needs, by name where it is missing, and its tang."""

import pytest

from fitfinder.holding.seats import LatheRig
from fitfinder.seating.tailstock import in_tailstock
from fitfinder.seating.tools import Serving, ToolOnHand
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop

LATHE = small_shop.lathe()  # its tailstock has MT3


def drill(mount="MT3", **fields):
    kind = fields.pop("kind", "taper-shank drill")
    named = {name: fields.pop(name) for name in ("has_tang", "is_by_hand", "shank") if name in fields}
    return ToolOnHand(piece=on_hand.piece(kind, mount=mount, **fields), cuts=parse("1/2"), **named)


def fits(*tools, sleeves=(), rig=()):
    pieces = [tool.piece for tool in (*tools, *sleeves)]
    groups = in_tailstock(LATHE, tools, sleeves, LatheRig(LATHE, (*pieces, *rig)))
    return [fit for group in groups.values() for fit in group]


def sleeve(outside="MT3", inside="MT2", slot=None, **fields):
    return ToolOnHand(piece=on_hand.sleeve(mount=outside, takes=inside, **fields), has_tang=slot)


def test_a_shank_of_the_same_taper_goes_in_by_itself():
    (fit,) = fits(drill("MT3"))

    assert (fit.serving, fit.sleeves) == (Serving.SERVES, ())


def test_a_smaller_shank_comes_with_its_sleeve():
    (fit,) = fits(drill("MT2"), sleeves=[sleeve(tag="H-1")])

    assert (fit.serving, [piece.tag for piece in fit.sleeves]) == (Serving.SERVES, ["H-1"])


def test_two_sleeves_one_in_the_other_are_found():
    (fit,) = fits(drill("MT1"), sleeves=[sleeve(tag="H-1"), sleeve("MT2", "MT1", tag="H-2")])

    assert [piece.tag for piece in fit.sleeves] == ["H-1", "H-2"]


def test_the_sleeve_that_is_not_here_is_named():
    (fit,) = fits(drill("MT2"))

    assert (fit.serving, fit.sentences) == (Serving.INCOMPLETE, ("no sleeve from MT2 to MT3",))


def test_the_sleeve_that_is_out_is_named_with_who_has_it():
    (fit,) = fits(drill("MT2"), sleeves=[sleeve(tag="H-1", why_not="out to dana")])

    assert fit.sentences == ("no sleeve from MT2 to MT3: H-1 is out to dana",)


def test_a_shank_larger_than_the_socket_never_goes_in():
    (fit,) = fits(drill("MT5"))

    assert (fit.serving, fit.sentences) == (
        Serving.DOES_NOT,
        ("its MT5 shank is larger than the MT3 of the tailstock",),
    )


def test_a_shank_that_nobody_filled_in_is_to_be_looked_at_first():
    assert fits(drill(None))[0].serving == Serving.LOOK_FIRST


def test_a_drill_that_is_out_says_who_has_it():
    (fit,) = fits(drill("MT3", why_not="out to dana"))

    assert (fit.serving, fit.sentences) == (Serving.INCOMPLETE, ("it is out to dana",))


@pytest.mark.parametrize(
    ("has_tang", "mount", "slot", "is_told"),
    [(True, "MT3", None, True), (False, "MT3", None, False), (None, "MT3", None, False),
     (True, "MT2", True, False), (True, "MT2", False, True), (True, "MT2", None, True)],
)  # fmt: skip
def test_a_tang_is_told_unless_what_it_goes_into_is_known_to_take_it(has_tang, mount, slot, is_told):
    (fit,) = fits(drill(mount, has_tang=has_tang), sleeves=[sleeve(slot=slot)])

    assert any("tang" in sentence for sentence in fit.sentences) is is_told


def test_a_straight_shank_goes_in_a_drill_chuck_that_takes_it_and_goes_in():
    chucks = [
        on_hand.piece("drill chuck", mount="MT3", outside=("1/32", "1/2"), tag="H-1"),
        on_hand.piece("drill chuck", mount="MT5", outside=("1/32", "1/2"), tag="H-2"),
        on_hand.piece("drill chuck", mount="MT3", outside=("1/32", "1/4"), tag="H-3"),
    ]
    (fit,) = fits(drill(None, kind="reamer", shank=parse("3/8")), rig=chucks)

    assert fit.sentences == ("straight shank of 3/8 in: in drill chuck H-1",)


def test_a_hand_reamer_is_not_for_the_tailstock():
    assert fits(drill("MT3", kind="reamer", is_by_hand=True)) == []


def test_what_goes_in_by_itself_stands_before_what_needs_a_sleeve_and_that_before_what_lacks_one():
    tools = [drill("MT1", tag="T-1"), drill("MT2", tag="T-2"), drill("MT3", tag="T-3"), drill("MT4", tag="T-4")]

    assert [match.piece.tag for match in fits(*tools, sleeves=[sleeve()])] == ["T-3", "T-2", "T-1", "T-4"]
