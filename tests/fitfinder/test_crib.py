"""From the rows of the book to what is on hand, and the whole answer over real rows."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from fitfinder import crib
from fitfinder.find.question import Question
from fitfinder.find.telling import answer_json
from fitfinder.holding.texts.stock_texts import stock_from
from inventory.measures.lengths import Length, parse
from inventory.models import Kind, Tool
from tests import factories


@pytest.fixture
def lathe(db):
    return factories.lathe("Lathe 1", tir="0.0001")


@pytest.fixture
def closer(lathe):
    return factories.closer(tag="H-0061", tir="0.0002")


def now(text, **more):
    shape = more.pop("shape", "round")
    return crib.crib_now(stock_from(text, shape=shape), **more)


def ask(size, *, by=None, **texts):
    return Question.from_texts({"size": size, **texts}).answer(asker_id=by.pk if by else None)


def tags(grips):
    return [grip.piece.tag for grip in grips]


def left_out(answer):
    return {item.tag: item.why for item in answer.left_out}


def test_a_collet_carries_the_figures_of_its_series(lathe):
    factories.collet("3/4", tag="C-0011", location="A2", tir="0.0003")

    (piece,) = now("3/4").collets

    assert (piece.tag, piece.location, piece.tir, piece.condition) == (
        "C-0011",
        "A2",
        parse("0.0003"),
        "good",
    )
    assert (piece.size.series, piece.size.seat, piece.size.nominal) == ("5C", "5C", parse("3/4"))
    assert (piece.size.reach.smallest, piece.size.reach.largest) == (parse("0.745"), parse("0.755"))
    assert (piece.size.reach.true_from, piece.size.reach.true_to) == (parse("0.748"), parse("0.750"))
    assert piece.size.passes == parse("1-1/16")


def test_a_lathe_carries_its_seats(lathe):
    (found,) = now("3/4").lathes

    assert (found.nose.code, found.headstock_taper.code, found.tailstock_taper.code) == ("D1-4", "MT5", "MT3")
    assert found.headstock_taper.needs_drawbar
    assert not found.nose.needs_drawbar


def test_a_threaded_nose_is_known_as_such(db):
    factories.lathe(nose="1-1/2-8")

    assert now("3/4").lathes[0].nose.is_thread


def test_only_the_lathe_in_question_counts(lathe):
    factories.lathe("Lathe 2")

    assert [one.name for one in now("3/4", lathe="lathe 2").lathes] == ["Lathe 2"]


def test_a_retired_piece_is_nowhere(lathe, closer):
    tool = factories.collet(tag="C-0011")
    Tool.objects.filter(pk=tool.pk).update(retired_at="2026-03-18T08:00Z")

    answer = ask("3/4")

    assert (answer.verdict, left_out(answer)) == ("nothing", {})


def test_a_collet_of_another_shape_does_not_hold_it(lathe, closer):
    factories.collet("3/4", shape="hex")

    assert ask("3/4").verdict == "nothing"
    assert ask("3/4", shape="hex").verdict == "holds"


@pytest.mark.parametrize(
    ("columns", "why"),
    [
        pytest.param({"condition": "damaged"}, "damaged", id="damaged"),
        pytest.param({"condition": "scrapped"}, "scrapped", id="scrapped"),
        pytest.param({"missing_since": date(2026, 2, 1)}, "missing since 2026-02-01", id="missing"),
    ],
)
def test_what_is_out_of_use_is_left_out_with_the_reason(columns, why, lathe, closer):
    factories.collet(tag="C-0024", **columns)

    answer = ask("3/4")

    assert (answer.verdict, left_out(answer)) == ("nothing", {"C-0024": why})


def test_a_finding_is_told_with_the_damage(lathe, closer):
    factories.reading(factories.collet(tag="C-0024"), finding="cracked")

    assert left_out(ask("3/4")) == {"C-0024": "damaged: cracked"}


def test_what_is_out_to_another_is_left_out_naming_who(lathe, closer, machinist):
    factories.loan(factories.collet(tag="C-0011"), to=factories.user("machinist", name="kim"))

    answer = ask("3/4", by=machinist)

    assert (answer.verdict, left_out(answer)) == ("nothing", {"C-0011": f"out to kim since {timezone.now():%Y-%m-%d}"})


def test_what_is_out_is_told_with_the_day_that_it_is_due_back(lathe, closer, machinist):
    due = timezone.localdate() + timedelta(days=3)
    factories.loan(factories.collet(tag="C-0011"), to=factories.user("machinist", name="kim"), due_on=due)

    (piece,) = now("3/4", asker_id=machinist.pk).collets
    (entry,) = answer_json(ask("3/4", by=machinist))["left_out"]

    assert (piece.lent_to, piece.lent_since, piece.due_back) == ("kim", timezone.localdate(), due)
    assert (entry["who"], entry["since"], entry["due"]) == ("kim", timezone.localdate().isoformat(), due.isoformat())
    assert entry["why"].endswith(f", due back {due}")


def test_what_is_lost_by_its_note_is_never_led_with(lathe, closer):
    factories.collet(tag="C-0011", notes="Lost in the move?")

    answer = ask("3/4")

    assert (answer.verdict, left_out(answer)) == ("nothing", {"C-0011": "lost, as its note says"})


def test_what_is_out_to_the_asker_counts_as_here(lathe, closer, machinist):
    factories.loan(factories.collet(tag="C-0011"), to=machinist)

    answer = ask("3/4", by=machinist)

    assert (answer.verdict, tags(answer.grips)) == ("holds", ["C-0011"])
    assert "you have it" in answer.grips[0].reasons


def test_what_came_back_counts_as_here(lathe, closer):
    loan = factories.loan(factories.collet(tag="C-0011"))
    type(loan).objects.filter(pk=loan.pk).update(returned_at=loan.issued_at)

    assert tags(ask("3/4").grips) == ["C-0011"]


def test_a_closer_that_is_out_to_another_breaks_the_chain(lathe, closer):
    factories.collet(tag="C-0011")
    factories.loan(closer, to=factories.user("machinist", name="kim"))

    assert left_out(ask("3/4")) == {"C-0011": f"H-0061, which takes 5C, is out to kim since {timezone.now():%Y-%m-%d}"}


def test_a_closer_that_is_out_to_the_asker_is_a_link(lathe, closer, machinist):
    factories.collet()
    factories.loan(closer, to=machinist)

    assert ask("3/4", by=machinist).verdict == "holds"


def test_a_reading_in_the_closer_counts_the_closer_once(lathe, closer):
    tool = factories.collet()
    tool.record(tir=parse("0.0006"), taken_on=date(2026, 3, 18), by=None, in_holder=closer)

    assert ask("3/4").grips[0].runout.total == parse("0.0007")


def test_three_pieces_of_a_size_stand_and_the_rest_are_counted(lathe, closer):
    for number in range(8):
        factories.collet(tag=f"C-{number}")

    answer = ask("3/4")

    assert tags(answer.grips) == ["C-0", "C-1", "C-2"]
    assert answer.more == 5


def test_ten_sizes_stand_and_the_rest_are_counted(lathe, closer):
    for number in range(12):
        factories.collet(f"0.75{number:02d}")

    answer = ask("0.7505")

    assert len({grip.nominal for grip in answer.grips}) == 10
    assert answer.more == 2


def test_pieces_that_no_holder_takes_are_not_counted_as_more(lathe):
    for _ in range(8):
        factories.collet()

    assert (ask("3/4").verdict, ask("3/4").more) == ("nothing", 0)


def test_only_what_a_holder_here_takes_is_counted_as_more(lathe, closer):
    for series in ("5C", "16C"):
        for _ in range(8):
            factories.collet(series=series)

    assert ask("3/4").more == 5


def test_the_best_pieces_of_a_size_are_found_among_many_that_are_worse(lathe, closer):
    for _ in range(9):
        factories.collet(condition="worn", tir="0.002")
    factories.collet(tag="best", tir="0.0002")

    assert ask("3/4").grips[0].piece.tag == "best"


def test_the_truest_piece_of_a_size_is_found_though_it_is_worn(lathe, closer):
    for _ in range(9):
        factories.collet(tir="0.002")
    factories.collet(tag="truest", condition="worn", tir="0.0002")

    assert ask("3/4", tir=".001").grips[0].piece.tag == "truest"


def test_a_mounted_piece_of_a_size_is_found_among_many(lathe, closer):
    for number in range(9):
        factories.collet(tag=f"A-{number}", tir="0.0002")
    factories.collet(tag="mounted", mounted_on=lathe)

    assert ask("3/4").grips[0].piece.tag == "mounted"


def test_a_blank_that_can_be_bored_is_the_answer_and_the_gap_is_named(lathe, closer):
    factories.blank(tag="C-0046")

    answer = ask("0.748")

    assert answer.verdict == "blank"
    assert (answer.gap.series, answer.gap.size, answer.gap.blanks) == ("5C", parse("3/4"), ("C-0046",))


def test_a_chuck_holds_what_no_collet_does(lathe):
    factories.chuck(tag="K-0001", outside=("1/8", "6"))

    answer = ask("2")

    assert (answer.verdict, tags(answer.grips)) == ("chuck", ["K-0001"])
    assert answer.grips[0].margin == parse("1.875")


def test_work_goes_between_centers(lathe):
    factories.piece(Kind.FACEPLATE, tag="plate", mount="D1-4")
    factories.sleeve(tag="sleeve")
    factories.center(kind=Kind.DEAD_CENTER, tag="head")
    factories.piece(Kind.LATHE_DOG, tag="dog", outside=("1/2", "2"))
    factories.center(tag="tail")

    assert ask("1").grips[0].tags == ("plate", "sleeve", "head", "dog", "tail")


def test_square_in_a_round_collet_by_its_corners_is_a_make_do(lathe, closer):
    factories.collet("3/4", tag="C-0011")

    answer = ask("0.5303", shape="square")

    assert (answer.verdict, tags(answer.make_dos)) == ("nothing", ["C-0011"])


def test_the_nearest_sizes_on_each_side_are_told(lathe, closer):
    factories.collet("1/2", tag="far below")
    factories.collet("3/4", tag="below")
    factories.collet("49/64", tag="above")

    nearest = ask("0.757").nearest

    assert [(near.tag, near.misses_by) for near in nearest[:2]] == [
        ("below", parse("0.002")),
        ("above", Length.inches("0.757") - Length.inches("0.760625")),
    ]
    assert nearest[-1].tag == "far below"


def test_no_more_than_three_nearest_sizes_on_a_side(lathe, closer):
    for number in range(5):
        factories.collet(f"{number + 1}/8")

    assert len(ask("0.757").nearest) == 3


def test_what_is_out_of_use_is_no_nearest_size(lathe, closer):
    factories.collet("3/4", condition="damaged")

    assert ask("0.757").nearest == ()


def test_pieces_whose_details_are_missing_are_counted(lathe):
    factories.blank(pilot=None)
    factories.chuck(jaws=None)
    factories.blank(pilot=None, condition="damaged")

    assert ask("3/4").details_missing == 2


def test_the_tag_of_a_collet_stands_for_its_size(lathe, closer):
    factories.collet("7/16", shape="hex", tag="C-0033")

    answer = ask("c-0033")

    assert (answer.stock.shape, answer.stock.band.smallest) == ("hex", parse("7/16"))
    assert tags(answer.grips) == ["C-0033"]


def test_the_largest_grip_is_that_of_anything_in_the_book(db):
    assert crib.shop_now().largest_grip is None

    factories.collet("1")
    assert crib.shop_now().largest_grip == parse("1.005")

    factories.chuck(outside=("1/8", "8"))
    assert crib.shop_now().largest_grip == parse("8")


def test_a_marked_range_beats_the_series(lathe, closer):
    size = factories.size()
    type(size).objects.filter(pk=size.pk).update(is_marked=True, clamps_to=parse("0.752"))
    factories.piece(Kind.COLLET, size=size, mounts_in=size.series.seat)

    assert ask("0.7515").verdict == "holds"
    assert ask("0.7521").verdict == "nothing"


def test_figures_that_the_shop_changed_count(lathe, closer):
    tool = factories.collet("3/4")
    figures = tool.size.series.shapes.get(shape="round")
    figures.opens_by = parse("0.010")
    figures.save()
    figures.recompute_sizes()

    assert ask("0.7590").verdict == "holds"


def test_an_empty_book_answers_that_nothing_holds_it(db):
    answer = ask("3/4")

    assert (answer.verdict, answer.grips, answer.nearest) == ("nothing", (), ())


# More is kept out than an answer tells -------------------------------------------------------------------------------


@pytest.fixture
def six_kept_out(lathe):
    """As many as are told, of two series that come before 5C by their tags."""
    factories.chuck(tag="K-1")
    for number in range(3):
        factories.collet("3/4", series="16C", tag=f"A-{number}", condition="damaged")
        factories.collet("3/4", series="3J", tag=f"B-{number}", condition="damaged")


def test_the_gap_says_which_piece_of_its_size_is_kept_out(six_kept_out, closer):
    factories.collet("3/4", tag="C-1", condition="damaged")

    gap = ask("3/4").gap

    assert (gap.series, gap.why) == ("5C", "C-1 is damaged")


def test_the_link_that_a_usable_piece_lacks_is_said(six_kept_out):
    factories.collet("3/4", tag="C-1")

    assert "C-1 would hold it, but no closer or collet chuck for 5C on Lathe 1." in ask("3/4").headline


def test_who_has_the_piece_that_would_hold_it_is_said(six_kept_out, closer):
    factories.loan(factories.collet("3/4", tag="C-1"), to=factories.user("machinist", name="kim"))

    answer = ask("3/4")

    assert "C-1 would hold it, but is out to kim" in answer.headline
    assert len(answer.left_out) == 6


def test_what_was_counted_stays_counted_when_more_sizes_have_to_be_looked_into(lathe):
    """Of two closers one is good and one is on the lathe: no size is sure to be the best, so all are looked into."""
    factories.closer(tag="H-1")
    mounted = factories.closer(tag="H-2", condition="worn", mounted_on=lathe)
    for number in range(12):
        for _ in range(4):
            tool = factories.collet(f"0.75{number:02d}")
    tool.record(tir=parse("0.0006"), taken_on=date(2026, 3, 18), by=None, in_holder=mounted)

    answer = ask("0.7505")

    assert len(answer.grips) == 30
    assert answer.more == 18
