"""What bar passes between the jaws and the rear end of the spindle, and how long work may be for the bed."""

import pytest
from msgspec.structs import replace

from fitfinder.holding.chains import Chain
from fitfinder.holding.rules import passage
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job, way_by, words


def in_chuck(asked, *more, lathe=None, through="3", **fields):
    chuck = on_hand.chuck(tag="K-1", through=through, **fields)
    return way_by("universal chuck", asked, chuck, *more, lathes=(lathe or small_shop.lathe(),))


# Fed.


@pytest.mark.parametrize(
    ("through", "bore", "size", "can"),
    [("2", "1.5", "1.5", True), ("2", "1.5", "1.501", False), ("1", "1.5", "1", True), ("1", "1.5", "1.001", False)],
)
def test_bar_that_is_fed_passes_the_smallest_hole_of_all(through, bore, size, can):
    assert in_chuck(job(size, fed="yes"), through=through, lathe=small_shop.lathe(bore=bore)).can is can


def test_a_hole_that_nobody_entered_is_a_doubt_and_not_a_yes():
    way = in_chuck(job("1", fed="yes"), through=None)

    assert way.is_here
    assert "whether bar of 1 in passes K-1 is not known" in words(way.doubts)


@pytest.mark.parametrize(("thread", "can", "is_sure"), [(False, True, True), (None, True, False), (True, False, True)])
def test_fed_hex_meets_the_stop_thread_of_its_collet_with_its_corners(thread, can, is_sure):
    # A hex of 7/8 in is 1.0104 in across its corners: between 63/64 and 1-1/16 in.
    collet = on_hand.collet("7/8", shape="hex", narrow="63/64", stop_thread=thread)
    way = way_by("collet", job("7/8", shape="hex", fed="yes"), on_hand.closer(through="1-1/2"), collet)

    assert (way.can, not way.doubts) == (can, is_sure or not can)


def test_fed_bar_that_a_collet_does_not_pass_is_told_by_how_much():
    collet = on_hand.collet("7/8", shape="hex", narrow="63/64", stop_thread=True, tag="C-1")
    why_not = way_by("collet", job("7/8", shape="hex", fed="yes"), on_hand.closer(through="1-1/2"), collet).why_not

    assert (why_not.needs, why_not.has) == (job("7/8", shape="hex").circle, parse("63/64"))
    assert "C-1" in str(why_not)


def test_an_emergency_collet_passes_as_deep_as_somebody_bored_it():
    way = way_by("collet", job("3/4", fed="yes"), on_hand.closer(), on_hand.blank(), series=[on_hand.series()])

    assert way.is_here
    assert any("is not known" in text for text in words(way.doubts))


def test_nothing_passes_a_sleeve_unless_its_hole_is_entered():
    chain = Chain(lathe=on_hand.lathe(), links=(on_hand.sleeve(),))
    hollow = Chain(lathe=on_hand.lathe(), links=(on_hand.sleeve(through="1"),))

    assert passage.passes(parse("1/2"), on_hand.collet(), chain) is False
    assert passage.passes(parse("1/2"), on_hand.collet(), hollow) is True


# The part that lies inside.


@pytest.mark.parametrize(
    ("length", "stick_out", "can"),
    # Of a chuck of 6 in the jaws are 1 in long and the nose is 3.9 in behind them.
    [("6", "4", True), ("8.9", "4", True), ("8.901", "4", False), ("30", "4", False), ("30", "", True)],
)
def test_bar_that_does_not_pass_the_spindle_lies_in_the_chuck_at_most(length, stick_out, can):
    asked = job("2-1/4", length=length, stick_out=stick_out)
    way = in_chuck(asked, small_shop.center(), body=parse("6"))

    assert (way.can and way.stick_out == way.job.stands_out == (asked.stick_out or way.stick_out)) is can


def test_bar_that_does_not_pass_the_chuck_lies_in_its_jaws_at_most():
    def out(stick_out):
        return in_chuck(job("2-1/4", length="6", stick_out=stick_out), through="1", body=parse("6")).stick_out

    assert (out("5.1"), out("5"), out("4.9")) == (parse("5.1"), parse("5"), parse("5"))


def test_bar_that_passes_may_lie_inside():
    assert in_chuck(job("1-1/2", length="30", stick_out="4"), body=parse("6")).can


def test_what_it_would_stand_out_is_told():
    why_not = in_chuck(job("2-1/4", length="30", stick_out="4"), body=parse("6")).why_not

    assert str(why_not) == (
        "bar of 2-1/4 in does not pass the spindle of Lathe 1, 1.5700 in: 26 in of it cannot lie inside, and it would "
        "stand out 25.1000 in"
    )


@pytest.mark.parametrize(
    ("size", "length", "can"), [("5", "8", True), ("2-1/4", "8.25", True), ("2-1/4", "8.251", False)]
)
def test_short_work_that_cannot_lie_as_far_inside_as_asked_is_held_standing_out_further(size, length, can):
    # What stands out is free to three diameters: with jaws of 1-1/2 in 2-1/4 in bar is 8-1/4 in long then.
    way = in_chuck(job(size, length=length, stick_out="3"), through="1", body=parse("8"), jaw_length=parse("1-1/2"))

    assert way.can is can
    if can:
        assert way.stick_out == parse(length) - parse("1-1/2")
        assert words(way.reasons)[0].startswith("it stands out")
        assert words(way.reasons)[0].endswith("in, not 3 in: bar of " + f"{size} in does not pass K-1, 1 in")


def test_a_hole_that_nobody_entered_is_no_doubt_of_what_stands_out_freely_anyway():
    asked = job("100 mm", length="200 mm", stick_out="60 mm")
    way = in_chuck(asked, through=None, outside=("1/8", "8"), lathe=small_shop.lathe(bore="5"))

    assert not way.doubts
    assert "passes K-1 is not known: if not, it stands out 6.6240 in, not 2.3622 in" in words(way.reasons)[0]


def test_in_a_collet_the_closer_and_the_spindle_come_behind_it():
    def held(length):
        rig = on_hand.closer(through="3/4"), on_hand.collet("1")
        return way_by("collet", job("1", length=length, stick_out="2"), *rig)

    # A 5C is 3.28 in long.
    assert [held(length).stick_out for length in ("5.28", "5.281")] == [parse("2"), parse("2.001")]
    assert [held(length).can for length in ("6.28", "6.281")] == [True, False]


# Room on the bed.


@pytest.mark.parametrize(("length", "can"), [("39.1", True), ("39.101", False)])
def test_chuck_and_center_leave_of_the_bed_what_the_chuck_does_not_take(length, can):
    way = in_chuck(job("4", length=length, grip="1"), small_shop.center(), body=parse("6"), jaw_length=parse("1"))

    assert way.can is can


@pytest.mark.parametrize(("length", "can"), [("59.1", True), ("59.101", False)])
def test_what_passes_the_spindle_has_that_length_too(length, can):
    lathe = replace(small_shop.lathe(), spindle_length=parse("20"))
    rig = (small_shop.center(), on_hand.piece("steady rest", outside=("1/8", "4")))
    way = in_chuck(job("1-1/2", length=length, grip="1"), *rig, lathe=lathe, body=parse("6"), jaw_length=parse("1"))

    assert way.can is can


METHODS = ("universal chuck", "independent chuck", "collet", "faceplate", "soft jaws", "split bushing")


@pytest.mark.parametrize("method", METHODS)
def test_a_way_that_lacks_its_pieces_cannot_hold_what_the_bed_cannot_either(method):
    way = way_by(method, job("2", length="42.1"))

    assert not way.can
    assert "Lathe 1 has room for" in str(way.why_not)


def test_between_centers_the_work_is_no_longer_than_the_bed():
    assert way_by("between centers", job("4", length="40"), *CENTERED).can
    assert not way_by("between centers", job("4", length="40.001"), *CENTERED).can
    assert not way_by("between centers", job("4", length="40.001")).can


def test_a_lathe_of_which_nothing_is_known_sets_no_limit():
    lathe = on_hand.lathe(bore=None)

    assert in_chuck(job("2", length="200"), small_shop.center(), lathe=lathe).can


def test_work_that_is_longer_than_the_bed_in_front_stands_out_so_far_and_lies_in_the_spindle():
    lathe = replace(small_shop.lathe(centers="40"), spindle_length=parse("20"))
    chuck = on_hand.chuck(body=parse("6"))
    long, short = job("1-1/4", length="41", grip="1-1/4"), job("1-1/4", length="39", grip="1-1/4")
    found = [small_shop.way_by("universal chuck", asked, chuck, lathes=[lathe]) for asked in (long, short)]

    # 40 in between the centers and 2 in of the headstock's own, less 0.65 of a 6 in body: 38.1 in, to the quarter.
    assert [way.stick_out for way in found] == [parse("38"), parse("37-3/4")]
    assert "38 in stand out at most, to the tailstock: the rest lies in the spindle" in small_shop.words(
        found[0].reasons
    )
