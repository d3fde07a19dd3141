"""From a lathe's seats to the work through what is on hand."""

import pytest
from msgspec.structs import replace

from fitfinder.holding.chains import Missing, chains_to
from fitfinder.holding.rules.passage import passes
from fitfinder.holding.texts.stock_texts import stock_from
from tests.fitfinder import on_hand


def tags(chain):
    return [link.tag for link in chain.links]


def only(seat, *rig, lathes):
    """The one way there is."""
    (chain,) = chains_to(seat, rig=rig, lathes=lathes)
    return chain


def missing(seat, *rig, lathes):
    chains = chains_to(seat, rig=rig, lathes=lathes)
    assert isinstance(chains, Missing)
    return chains.why


def test_a_closer_on_the_nose_takes_its_series():
    lathe = on_hand.lathe()
    chain = only("5C", on_hand.closer(tag="H-0061"), lathes=[lathe])

    assert (chain.lathe, tags(chain), chain.is_checked) == (lathe, ["H-0061"], True)


def test_a_spindle_that_takes_the_collet_itself_needs_no_link():
    assert tags(only("5C", lathes=[on_hand.lathe(nose="5C")])) == []


def test_each_lathe_is_a_way_of_its_own():
    lathes = [on_hand.lathe("Lathe 1"), on_hand.lathe("Lathe 2")]
    chains = chains_to("5C", rig=[on_hand.closer()], lathes=lathes)

    assert [chain.lathe.name for chain in chains] == ["Lathe 1", "Lathe 2"]


def test_a_closer_mounted_on_another_lathe_is_no_link_here():
    first, second = on_hand.lathe("Lathe 1"), on_hand.lathe("Lathe 2")
    chain = only("5C", on_hand.closer(mounted_on=second.id), lathes=[first, second])

    assert chain.lathe is second


def test_a_morse_collet_chuck_comes_with_its_drawbar():
    rig = [on_hand.collet_chuck(tag="H-0070"), on_hand.drawbar(tag="H-0071")]

    assert tags(only("ER32", *rig, lathes=[on_hand.lathe()])) == ["H-0071", "H-0070"]


def test_a_morse_collet_chuck_without_its_drawbar_is_no_way_and_the_drawbar_is_named():
    why = missing("ER32", on_hand.collet_chuck(tag="H-0070"), lathes=[on_hand.lathe()])

    assert why == "no MT5 drawbar for H-0070"


def test_a_drawbar_of_another_taper_does_not_draw_it():
    rig = [on_hand.collet_chuck(tag="H-0070"), on_hand.drawbar(mount="MT3")]

    assert missing("ER32", *rig, lathes=[on_hand.lathe()]) == "no MT5 drawbar for H-0070"


def test_a_drawbar_that_does_not_say_what_it_draws_leaves_the_way_unchecked():
    rig = [on_hand.collet_chuck(), on_hand.drawbar(tag="H-0071", mount=None)]
    chain = only("ER32", *rig, lathes=[on_hand.lathe()])

    assert not chain.is_checked
    assert "H-0071" in chain.doubt


def test_a_collet_chuck_on_the_nose_needs_no_drawbar():
    chain = only("ER32", on_hand.collet_chuck(tag="H-0070", mount="D1-4"), lathes=[on_hand.lathe()])

    assert tags(chain) == ["H-0070"]


def test_a_sleeve_goes_between_the_spindle_and_a_smaller_shank():
    rig = [
        on_hand.sleeve(tag="H-0080"),
        on_hand.collet_chuck(tag="H-0070", mount="MT3"),
        on_hand.drawbar(tag="H-0071", mount="MT3"),
    ]

    assert tags(only("ER32", *rig, lathes=[on_hand.lathe()])) == ["H-0071", "H-0080", "H-0070"]


def test_without_the_sleeve_the_smaller_shank_does_not_fit():
    rig = [on_hand.collet_chuck(tag="H-0070", mount="MT3"), on_hand.drawbar(mount="MT3")]

    assert missing("ER32", *rig, lathes=[on_hand.lathe()]) == "H-0070, which takes ER32, does not fit Lathe 1"


def test_without_any_holder_it_is_said_which_is_missing():
    assert missing("5C", lathes=[on_hand.lathe()]) == "no closer or collet chuck for 5C on Lathe 1"


def test_a_holder_that_cannot_be_used_is_named_with_the_reason():
    closer = on_hand.closer(tag="H-0061", why_not="missing since 2026-02-01")

    assert missing("5C", closer, lathes=[on_hand.lathe()]) == ("H-0061, which takes 5C, is missing since 2026-02-01")


def test_a_holder_that_is_out_to_someone_else_is_no_link():
    closer = on_hand.closer(tag="H-0061", why_not="out to Kim")

    assert missing("5C", closer, lathes=[on_hand.lathe()]).endswith("is out to Kim")


def test_a_holder_for_another_nose_does_not_fit():
    closer = on_hand.closer(tag="H-0061", mount="D1-6")

    assert missing("5C", closer, lathes=[on_hand.lathe()]) == "H-0061, which takes 5C, does not fit Lathe 1"


def test_a_holder_with_details_missing_keeps_the_way_open_and_unchecked():
    closer = on_hand.closer(tag="H-0061", mount=None)
    chain = only("5C", closer, lathes=[on_hand.lathe()])

    assert not chain.is_checked
    assert chain.doubt == "H-0061 has details missing."


def test_a_holder_that_may_take_another_series_does_not_open_this_one():
    closer = on_hand.closer(mount=None, takes="3J")

    assert missing("5C", closer, lathes=[on_hand.lathe()])


def test_a_lathe_without_a_described_nose_keeps_the_way_open_and_unchecked():
    lathe = on_hand.lathe(nose=None)
    chain = only("5C", on_hand.closer(), lathes=[lathe])

    assert not chain.is_checked
    assert chain.doubt == f"Where {chain.links[0].tag} mounts on Lathe 1 is not described."


def test_a_way_that_is_known_leaves_no_room_for_a_doubtful_one():
    rig = [on_hand.closer(tag="H-0061"), on_hand.closer(tag="H-0062", mount=None)]

    assert tags(only("5C", *rig, lathes=[on_hand.lathe()])) == ["H-0061"]


def test_without_a_lathe_every_way_is_open_and_unchecked():
    chain = only("5C", on_hand.closer(tag="H-0061"), lathes=[])

    assert (chain.lathe, chain.is_checked, tags(chain)) == (None, False, ["H-0061"])
    assert "No lathe is described" in chain.doubt


def passes_by(text, *, shape="round", rig=None, lathe=None, collet=None):
    lathe = lathe or on_hand.lathe()
    collet = collet or on_hand.collet(text, shape=shape)
    chain = only("5C", *(rig or [on_hand.closer()]), lathes=[lathe])
    return passes(stock_from(text, shape=shape).across_corners, collet, chain)


def test_a_bar_passes_where_every_hole_is_large_enough():
    assert passes_by("3/4") is True


def test_the_smallest_hole_decides():
    assert passes_by("3/4", rig=[on_hand.closer(through="1/2")]) is False


def test_the_spindle_bore_is_a_hole_too():
    assert passes_by("3/4", lathe=on_hand.lathe(bore="0.7")) is False


def test_a_hole_just_as_large_as_the_bar_passes_it():
    assert passes_by("3/4", rig=[on_hand.closer(through="3/4")]) is True


def test_an_unknown_hole_leaves_it_open():
    assert passes_by("3/4", rig=[on_hand.closer(through=None)]) is None


def test_a_hole_known_to_be_too_small_decides_even_where_another_is_unknown():
    assert passes_by("3/4", rig=[on_hand.closer(through="1/2")], lathe=on_hand.lathe(bore=None)) is False


def test_hex_passes_by_its_corners_and_not_its_flats():
    assert passes_by("7/8", shape="hex", rig=[on_hand.closer(through="0.95")]) is False


def test_a_solid_drawbar_passes_no_bar():
    rig = [on_hand.collet_chuck(mount="MT5", takes="5C"), on_hand.drawbar(is_solid=True)]

    assert passes_by("1/4", rig=rig) is False


def test_a_hollow_drawbar_passes_what_fits_its_hole():
    rig = [on_hand.collet_chuck(mount="MT5", takes="5C"), on_hand.drawbar(through="3/8")]

    assert passes_by("1/4", rig=rig) is True
    assert passes_by("1/2", rig=rig) is False


def test_an_unchecked_way_promises_no_passage():
    chain = replace(only("5C", on_hand.closer(), lathes=[on_hand.lathe()]), is_checked=False)

    assert passes(on_hand.length("3/4"), on_hand.collet(), chain) is None


@pytest.mark.parametrize(
    ("size", "thread", "passes"),
    [
        ("63/64", True, True),
        ("1", True, False),
        ("1", False, True),
        ("1", None, None),
        ("63/64", None, True),
        ("1-3/32", None, False),
    ],
)
def test_a_thread_for_a_stop_narrows_a_collet(size, thread, passes):
    # Common practice: a 5C passes 1-1/16 in, 63/64 in where the stop thread is cut; unknown stays unknown.
    collet = on_hand.collet(size, narrow="63/64", stop_thread=thread)

    assert passes_by(size, collet=collet, rig=[on_hand.closer(through="1-1/2")]) is passes


@pytest.mark.parametrize(("nose", "is_a_way"), [("1-1/2-8", True), ("2-1/4-8", False), ("D1-4", False)])
def test_a_threaded_nose_takes_the_same_thread_only(nose, is_a_way):
    # Common practice: the thread has to be the same, and the register is checked beside it.
    closer = on_hand.closer(mount="1-1/2-8")
    ways = chains_to("5C", rig=[closer], lathes=[on_hand.lathe(nose=nose)])

    assert (not isinstance(ways, Missing)) is is_a_way
