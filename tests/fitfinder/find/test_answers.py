"""The answer that the core makes of a stock and what is on hand."""

import pytest

from inventory.measures.lengths import parse
from tests.fitfinder import on_hand


@pytest.fixture
def lathe():
    return on_hand.lathe(tir="0.0001")


def tags(grips):
    return [grip.piece.tag for grip in grips]


def left_out(answer):
    return {item.tag: item.why for item in answer.left_out}


@pytest.mark.parametrize(
    ("text", "grade", "expected"),
    [
        ("0.7500", "", "holds"),
        ("0.7550", "", "at the limit"),
        ("3/4", "hot-rolled", "measure first"),
        ("0.7551", "", "nothing"),
    ],
)
def test_the_verdict_is_that_of_the_best_collet(text, grade, expected, lathe):
    answer = on_hand.answer(text, on_hand.collet(), on_hand.closer(), lathes=[lathe], grade=grade)

    assert answer.verdict == expected


def test_a_grip_tells_its_pieces_from_the_spindle_to_the_work(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(tag="C-0011"), on_hand.closer(tag="H-0061"), lathes=[lathe])

    assert answer.grips[0].tags == ("H-0061", "C-0011")


def test_of_two_lathes_the_one_that_has_the_closer_on_it_is_told(lathe):
    other = on_hand.lathe("Lathe 2")
    closers = [on_hand.closer(), on_hand.closer(mounted_on=other.id)]
    answer = on_hand.answer("3/4", on_hand.collet(), *closers, lathes=[lathe, other])

    assert [grip.chain.lathe.name for grip in answer.grips] == ["Lathe 2"]


def test_a_collet_without_its_closer_is_left_out_naming_the_link(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(tag="C-0011"), lathes=[lathe])

    assert answer.verdict == "nothing"
    assert left_out(answer) == {"C-0011": "no closer or collet chuck for 5C on Lathe 1"}


def test_pieces_that_no_holder_takes_are_not_counted_as_more_that_hold_it(lathe):
    several = [on_hand.collet() for _ in range(5)]

    assert on_hand.answer("3/4", *several, lathes=[lathe]).more == 0


def test_a_collet_that_is_not_to_be_used_is_left_out_with_the_reason(lathe):
    damaged = on_hand.collet(tag="C-0024", condition="damaged", why_not="damaged: cracked")
    answer = on_hand.answer("3/4", damaged, on_hand.closer(), lathes=[lathe])

    assert left_out(answer) == {"C-0024": "damaged: cracked"}


def test_a_missing_link_is_told_once_of_a_size_and_of_the_piece_that_would_be_taken(lathe):
    worn = on_hand.collet(tag="C-0001", condition="worn", tir="0.0002")
    unread, truest = on_hand.collet(tag="C-0002"), on_hand.collet(tag="C-0003", tir="0.0004")

    answer = on_hand.answer("0.7495", worn, unread, truest, lathes=[lathe])

    assert left_out(answer) == {"C-0003": "no closer or collet chuck for 5C on Lathe 1"}


def test_what_is_left_out_is_told_nearest_to_the_stock_first_and_not_without_end(lathe):
    worse = [on_hand.collet("0.5010", tag=f"E-{number}", why_not="damaged") for number in range(9)]
    best = on_hand.collet("1/2", tag="C-9", why_not="out to Kim")

    reply = on_hand.answer("0.4995", on_hand.closer(), *worse, best, lathes=[lathe])

    assert [item.tag for item in reply.left_out] == ["C-9", "E-0", "E-1", "E-2", "E-3", "E-4"]


def test_a_collet_in_the_other_lathe_is_left_out(lathe):
    away = on_hand.collet(tag="C-0011", mounted_on=lathe.id + 1000)
    answer = on_hand.answer("3/4", away, on_hand.closer(), lathes=[lathe])

    assert left_out(answer) == {"C-0011": "mounted on another lathe"}


def test_a_collet_that_would_not_hold_it_is_not_left_out_but_absent(lathe):
    answer = on_hand.answer("3/4", on_hand.collet("1/2", why_not="damaged"), lathes=[lathe])

    assert left_out(answer) == {}


def test_without_a_lathe_the_verdict_stands_and_the_way_is_unchecked():
    answer = on_hand.answer("3/4", on_hand.collet())

    assert answer.verdict == "holds"
    assert not answer.grips[0].chain.is_checked
    assert "No lathe is described, so its seat is not checked." in answer.grips[0].reasons


def test_a_machinable_blank_is_the_answer_where_no_collet_holds(lathe):
    answer = on_hand.answer(
        "0.760",
        on_hand.blank(tag="C-0046", location="A4"),
        on_hand.closer(),
        lathes=[lathe],
        series=(on_hand.series(),),
    )

    assert answer.verdict == "blank"
    assert answer.headline.startswith("No collet here holds it. Bore blank C-0046 from drawer A4 to 0.7600 in")


def test_a_blank_whose_holder_is_not_here_is_no_answer(lathe):
    assert on_hand.answer("0.760", on_hand.blank(), lathes=[lathe], series=(on_hand.series(),)).verdict == "nothing"


def test_chucks_stand_in_the_answer_where_no_collet_holds(lathe):
    answer = on_hand.answer("2", on_hand.chuck(tag="K-0001", location="floor"), lathes=[lathe])

    assert (answer.verdict, tags(answer.grips)) == ("chuck", ["K-0001"])
    assert answer.headline == "No collet here holds it. Use K-0001 from floor, universal chuck, 3 jaws."


def test_beside_a_collet_that_holds_the_chuck_is_another_way(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(), on_hand.closer(), on_hand.chuck(tag="K-0001"), lathes=[lathe])

    assert answer.verdict == "holds"
    assert tags(answer.fallbacks) == ["K-0001"]


@pytest.mark.parametrize(
    ("shape", "chuck", "holds"),
    [
        pytest.param("hex", on_hand.chuck(jaws=3), True, id="hex in 3 jaws"),
        pytest.param("hex", on_hand.chuck(jaws=6), True, id="hex in 6 jaws"),
        pytest.param("hex", on_hand.chuck(jaws=4), False, id="hex in 4 jaws"),
        pytest.param("square", on_hand.chuck(jaws=4), True, id="square in 4 jaws"),
        pytest.param("square", on_hand.chuck(jaws=3), False, id="square in 3 jaws"),
        pytest.param("hex", on_hand.chuck(jaws=2), True, id="hex in 2 jaws"),
        pytest.param("square", on_hand.chuck(jaws=2), True, id="square in 2 jaws"),
        pytest.param("hex", on_hand.independent_chuck(), True, id="hex dialled in"),
        pytest.param("square", on_hand.independent_chuck(), True, id="square dialled in"),
    ],
)
def test_flats_sit_on_jaws_or_are_dialled_in(shape, chuck, holds, lathe):
    answer = on_hand.answer("1", chuck, lathes=[lathe], shape=shape)

    assert answer.verdict == ("chuck" if holds else "nothing")


def test_a_chuck_for_another_nose_holds_nothing_here(lathe):
    assert on_hand.answer("2", on_hand.chuck(mount="D1-6"), lathes=[lathe]).verdict == "nothing"


def between_centers(**but):
    """All that work between centers takes; `but` replaces or, as None, takes away a piece."""
    pieces = {
        "plate": on_hand.piece("faceplate", tag="plate", mount="D1-4"),
        "sleeve": on_hand.sleeve(tag="sleeve"),
        "head": on_hand.piece("dead center", tag="head", mount="MT3"),
        "dog": on_hand.piece("lathe dog", tag="dog", outside=("1/2", "2")),
        "tail": on_hand.piece("live center", tag="tail", mount="MT3"),
        **but,
    }
    return [piece for piece in pieces.values() if piece is not None]


def test_work_goes_between_centers_where_all_that_it_takes_is_here(lathe):
    answer = on_hand.answer("1", *between_centers(), lathes=[lathe])

    assert answer.verdict == "chuck"
    assert answer.grips[0].tags == ("plate", "sleeve", "head", "dog", "tail")
    assert answer.headline == ("No collet here holds it. Hold it between centers: plate, sleeve, head, dog, tail.")


@pytest.mark.parametrize("absent", ["plate", "sleeve", "head", "dog", "tail"])
def test_without_one_of_its_pieces_there_is_no_work_between_centers(absent, lathe):
    answer = on_hand.answer("1", *between_centers(**{absent: None}), lathes=[lathe])

    # Without jaws a plate is left to clamp it to.
    assert {grip.method for grip in answer.grips} <= {"faceplate"}


def test_a_center_that_lacks_its_details_is_not_considered(lathe):
    tail = on_hand.piece("live center", mount=None, lacks=("mounts_in",))
    answer = on_hand.answer("1", *between_centers(tail=tail), lathes=[lathe])

    assert ({grip.method for grip in answer.grips}, answer.details_missing) == ({"faceplate"}, 1)


def test_details_missing_counts_what_could_be_used_if_it_were_described(lathe):
    rig = [on_hand.blank(lacks=("pilot",)), on_hand.blank(lacks=("pilot",), why_not="damaged")]

    assert on_hand.answer("3/4", *rig, lathes=[lathe]).details_missing == 1


def test_square_stock_by_its_corners_in_a_round_collet_is_a_make_do_and_never_the_verdict(lathe):
    # Across corners of 0.5303 in square is 0.7500 in.
    answer = on_hand.answer(
        "0.5303", on_hand.closer(), on_hand.collet(tag="C-0011"), shape="square", lathes=[lathe]
    )  # fmt: skip

    assert tags(answer.make_dos) == ["C-0011"]
    assert answer.verdict == "nothing"
    assert "a make-do: only the corners of the square touch" in answer.make_dos[0].reasons


def test_a_damaged_collet_is_no_make_do(lathe):
    damaged = on_hand.collet(why_not="damaged")
    answer = on_hand.answer("0.5303", on_hand.closer(), damaged, shape="square", lathes=[lathe])

    assert answer.make_dos == ()


def test_the_nearest_sizes_say_by_how_much_they_miss(lathe):
    near = (on_hand.collet("49/64", tag="bigger"), on_hand.collet("3/4", tag="smaller"))
    answer = on_hand.answer("0.757", on_hand.closer(), *near, lathes=[lathe])

    assert [(one.tag, one.misses_by) for one in answer.nearest] == [
        ("smaller", parse("0.002")),
        ("bigger", parse("0.757") - parse("0.760625")),
    ]


def test_a_person_is_told_of_sizes_within_a_quarter_inch_only(lathe):
    near = (on_hand.collet("1/2", tag="far"), on_hand.collet("49/64", tag="near"))
    answer = on_hand.answer("0.757", on_hand.closer(), *near, lathes=[lathe])

    assert [one.tag for one in answer.near_enough] == ["near"]
    assert [one.tag for one in answer.nearest] == ["near", "far"]


def test_where_no_size_is_near_the_nearest_is_told(lathe):
    far = (on_hand.collet("1/4", tag="farther"), on_hand.collet("1/2", tag="far"))
    answer = on_hand.answer("1.01", on_hand.closer(), *far, lathes=[lathe])

    assert [one.tag for one in answer.near_enough] == ["far"]


def test_a_series_that_a_lathe_takes_is_the_missing_size(lathe):
    answer = on_hand.answer(
        "3/4",
        on_hand.closer(takes="3J"),
        lathes=[lathe],
        series=(on_hand.series("5C"), on_hand.series("3J")),
    )

    assert answer.gap.series == "3J"


def test_where_a_collet_holds_nothing_is_missing(lathe):
    answer = on_hand.answer("3/4", on_hand.collet(), on_hand.closer(), lathes=[lathe], series=(on_hand.series(),))

    assert answer.gap is None


def test_where_it_is_to_be_measured_first_the_size_that_would_hold_it_is_named(lathe):
    collet = on_hand.collet("3/4")
    answer = on_hand.answer(
        "0.748-0.7555", collet, on_hand.closer(), lathes=[lathe], series=(on_hand.series(first="0.751"),)
    )  # fmt: skip

    assert answer.verdict == "measure first"
    assert answer.gap.size == parse("0.751")


def test_work_between_centers_says_with_which_center_drill(lathe):
    # The inch guide of a shop textbook, from memory: No. 4 from 1 in.
    pieces = (
        on_hand.chuck(),
        on_hand.piece("lathe dog", outside=("1/4", "2")),
        on_hand.piece("live center", mount="MT3"),
    )
    way = next(grip for grip in on_hand.answer("1", *pieces, lathes=[lathe]).grips if grip.method == "soft center")

    assert any(reason.startswith("both ends are center-drilled first") for reason in way.reasons)


def test_all_pieces_more_are_counted_to_the_last(lathe):
    several = [on_hand.collet() for _ in range(40)]

    assert on_hand.answer("3/4", on_hand.closer(), *several, lathes=[lathe]).more == 37
