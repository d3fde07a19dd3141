"""What a plan reads from the book: jaw sets, keys, the lathe of a rest, bored blanks, inside ranges and the post."""

import pytest
from django.utils import timezone

from fitfinder.crib import shop_now
from fitfinder.holding.reader import whole_crib_for
from fitfinder.plan.job_texts import job_from
from fitfinder.seating.reader import seating_crib
from inventory.measures.lengths import parse
from inventory.models import CenterHeight, CountedItem, Kind
from tests import factories


def crib(size="1", *, asker_id=None, **texts):
    return whole_crib_for(job_from({"size": size, **texts}), shop_now(), asker_id=asker_id)


def ends(reach):
    return None if reach is None else (reach.smallest, reach.largest)


@pytest.fixture
def lathe(db):
    return factories.lathe("Lathe 1", post="Wedge post 1", spindle_length="17-1/2")


def test_a_lathe_comes_with_its_post_and_the_length_of_its_spindle(lathe):
    (read,) = crib().crib.lathes

    assert (read.post.code, read.spindle_length) == ("Wedge post 1", parse("17-1/2"))


def test_a_rest_knows_its_lathe_and_a_key_what_it_tightens(lathe):
    factories.piece(Kind.STEADY_REST, tag="R-1", belongs_to=lathe, outside=(parse("1/2"), parse("4")))
    factories.piece(Kind.KEY, tag="T-1", fits="K-1, d1-4")
    by_tag = {piece.tag: piece for piece in crib().crib.rig}

    assert by_tag["R-1"].belongs_to == lathe.pk
    assert by_tag["T-1"].fits == {"K-1", "D1-4"}


def test_hard_jaws_have_the_ranges_of_their_rows(lathe):
    factories.jaws(kind="outside", outside=("1/8", "3"), inside=("2", "5"), location=factories.place("B1"))
    (jaws,) = crib().jaw_sets

    assert (ends(jaws.outside), ends(jaws.inside)) == ((parse("1/8"), parse("3")), (parse("2"), parse("5")))
    assert (jaws.kind, jaws.location, jaws.why_not) == ("outside", "B1", "")


@pytest.mark.parametrize(
    ("bored_to", "given", "reach"),
    [
        ("1-1/2", None, ("1-1/2", "6")),  # from the last bore to the largest of the chuck
        (None, ("1", "4"), ("1", "4")),  # not bored yet: as given
        (None, None, ("1/8", "6")),  # not bored yet and nothing given: as the chuck
        ("2", ("1", "4"), ("2", "4")),  # never below the last bore
    ],
)
def test_soft_jaws_reach_from_their_last_bore_up(lathe, bored_to, given, reach):
    factories.jaws(kind="soft", outside=given, bored_to=bored_to)
    (jaws,) = crib().jaw_sets

    assert ends(jaws.outside) == tuple(map(parse, reach))


def test_soft_jaws_that_are_in_the_chuck_reach_as_far_as_its_other_jaws(lathe):
    chuck = factories.chuck(outside=("1-1/2", "1-1/2"))
    factories.jaws(of=chuck, kind="outside", outside=("1/8", "8"))
    factories.jaws(of=chuck, kind="soft", outside=None, bored_to="1-1/2", is_in=True)
    soft = next(jaws for jaws in crib().jaw_sets if jaws.kind == "soft")

    assert ends(soft.outside) == (parse("1-1/2"), parse("8"))


def test_jaws_that_are_damaged_say_so_and_retired_ones_are_left_out(lathe):
    chuck = factories.chuck()
    factories.jaws(of=chuck, condition="damaged")
    factories.jaws(of=chuck, retired_at=factories.timezone.now())

    assert [jaws.why_not for jaws in crib().jaw_sets] == ["damaged"]


@pytest.mark.parametrize(("size", "count"), [("0.399", 0), ("0.4", 1), ("3/4", 1)])
def test_a_bored_blank_is_read_where_its_bore_can_be_opened_to_the_stock(lathe, size, count):
    factories.bored("0.4", tag="C-9")
    bored = crib(size).bored

    assert [piece.pilot for piece in bored] == [parse("0.4")] * count


def test_a_bored_blank_that_is_out_says_to_whom_unless_it_is_the_asker(lathe):
    blank, dana = factories.bored("0.4"), factories.user("machinist", name="dana")
    factories.loan(blank, to=dana)

    assert crib().bored[0].why_not == f"out to dana since {timezone.localdate()}"
    assert crib(asker_id=dana.pk).bored[0].is_usable


def test_seating_reads_shanks_tangs_operations_and_center_heights(lathe):
    factories.piece(Kind.TAPER_SHANK_DRILL, tag="T-1", mount="MT2", cuts="3/4", has_tang=True)
    made = factories.piece(
        Kind.TOOL_POST_HOLDER, tag="H-1", mount="Wedge post 1", operations="turning,facing", shank_shape="square"
    )
    CenterHeight.objects.create(tool=made, lathe=lathe)
    kinds = ("taper-shank drill", "tool-post holder")
    by_tag = {tool.piece.tag: tool for tool in seating_crib("lathe 1", kinds=kinds).tools}

    assert (by_tag["T-1"].shank_code, by_tag["T-1"].cuts, by_tag["T-1"].has_tang) == ("MT2", parse("3/4"), True)
    assert (by_tag["H-1"].operations, by_tag["H-1"].set_for) == (("turning", "facing"), {lathe.pk})


def test_an_unknown_lathe_has_no_seats(lathe):
    assert seating_crib("Lathe 9", kinds=()) is None


def test_the_center_drills_that_are_counted_are_read_with_where_most_of_them_lie(lathe):
    factories.counted("Center drill No. 3", E1=2, F1=5)
    factories.counted("centre drill No. 4")
    factories.counted("Way oil", E1=2)
    CountedItem.objects.filter(pk=factories.counted("Center drill No. 2", E1=2).pk).update(retired_at=timezone.now())

    drills = crib().center_drills

    assert {(one.name, one.count, one.location) for one in drills} == {
        ("Center drill No. 3", 7, "F1"),
        ("centre drill No. 4", 0, ""),
    }
