"""The pocket card: what stands on it, what does not, and the file that it is written into."""

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.utils import timezone

from fitfinder.pocket import file
from fitfinder.pocket.file import MOST_BYTES, card_file, read_card
from fitfinder.pocket.runs import runs_of
from fitfinder.pocket.telling import page_of
from inventory.measures import display
from inventory.measures.length_words import brief, brief_span
from inventory.measures.lengths import Length, Unit, parse
from inventory.models import Lathe, Reservation, Size, Tool
from tests import factories

MORNING = datetime(2026, 11, 29, 10, 12, tzinfo=UTC)
CALLED = re.compile(r"""(?:src|href|action)=["'](?!#|data:|["'])|url\(|@import|fetch\(|import\(|XMLHttp|https?:""")


@pytest.fixture
def shop(db):
    """A lathe with its closer, and a collet in drawer A2."""
    factories.lathe("Lathe 1")
    factories.closer(tag="H-0061", location=factories.place("D1"))
    return factories.collet("3/4", tag="C-0011", location=factories.place("A2"))


def lines():
    return [line for lathe in page_of(read_card()).lathes for family in lathe.families for line in family.lines]


def html():
    return card_file(read_card(), as_of=MORNING).html


def words(text):
    return " ".join(re.sub("<[^>]+>", " ", text).split())


def test_a_size_stands_with_its_decimal_what_it_grips_and_its_drawer(shop):
    (line,) = lines()

    assert (line.name, line.decimal, line.grips) == ("3/4", ".7500", ".745-.755")
    assert "drawer A2" in words(html())


def test_a_drawer_that_is_called_so_is_not_called_so_twice(shop):
    Tool.objects.filter(pk=shop.pk).update(location=factories.place("Drawer 166"))

    assert "drawer 166" in words(html()) and "drawer Drawer" not in words(html())


def test_the_way_to_the_lathe_is_told_with_the_drawer_of_each_link(shop):
    assert "5C round 1 size through H-0061 ( drawer D1 )" in words(html())


@pytest.mark.parametrize(
    "befallen",
    [
        {"condition": "damaged"},
        {"condition": "scrapped"},
        {"missing_since": date(2026, 11, 1)},
        {"retired_at": MORNING},
        {"notes": "lost, Dana looked everywhere"},
    ],
    ids=["damaged", "scrapped", "missing", "retired", "lost by its note"],
)
def test_what_cannot_be_used_does_not_stand_there(shop, befallen):
    Tool.objects.filter(pk=shop.pk).update(**befallen)

    assert lines() == []
    assert "C-0011" not in html()


def test_what_is_lent_does_not_stand_there_and_neither_does_who_has_it(shop):
    factories.loan(shop, to=factories.user("machinist", name="Dana"))

    assert lines() == []
    assert "Dana" not in html()


def test_what_a_job_wants_soon_is_left_out_and_named_and_what_it_wants_later_is_not(shop):
    factories.reservation(shop, starts_at=timezone.now() - timedelta(hours=1))
    assert lines() == []
    assert "Left out, as a job has reserved it: C-0011." in html()

    Reservation.objects.update(
        starts_at=timezone.now() + timedelta(days=5), lapses_at=timezone.now() + timedelta(days=6)
    )
    assert [line.tag for line in lines()] == ["C-0011"]
    assert "reserved" not in html()


def test_without_the_closer_no_collet_stands_there(shop):
    factories.loan(Tool.objects.get(tag="H-0061"))

    assert "Nothing that is here holds work on it" in html()


def test_what_is_on_another_lathe_stands_with_that_one_alone(shop):
    other = factories.lathe("Lathe 2")
    Tool.objects.filter(tag="H-0061").update(mounted_on=other, mounted_at="spindle")

    card = read_card()

    assert [(lathe.name, len(lathe.families)) for lathe in card.lathes] == [("Lathe 1", 0), ("Lathe 2", 1)]
    assert "H-0061 (on Lathe 2)" in html()


def test_a_good_piece_is_named_before_a_worn_one_and_a_worn_one_is_told(shop):
    factories.collet("3/4", tag="C-0001", condition="worn", location=factories.place("A1"))
    assert (lines()[0].tag, lines()[0].note) == ("C-0011", "")

    Tool.objects.filter(pk=shop.pk).update(condition="damaged")
    assert (lines()[0].tag, lines()[0].note) == ("C-0001", "worn")


def test_the_same_sizes_on_a_second_lathe_stand_once(shop):
    factories.lathe("Lathe 2")

    first, second = page_of(read_card()).lathes

    assert (first.families[0].same_as, second.families[0].same_as) == ("", "Lathe 1")
    assert "The same sizes as on Lathe 1" in html()


def test_a_chuck_stands_with_its_range_its_shapes_and_its_marked_speed(shop):
    factories.chuck(tag="K-0081", max_rpm=2800)

    (chuck,) = page_of(read_card()).lathes[0].chucks

    assert (chuck.what, chuck.shapes, chuck.note) == ("universal chuck, 3 jaws", "round hex", "2800 rpm at most")
    assert chuck.holds == ("1/8 to 6 in", "bores 2 to 5-1/2 in")


def test_a_jaw_set_that_reaches_further_is_told_with_where_it_lies(shop):
    factories.jaws(of=factories.chuck(tag="K-0081"), outside=("4", "9"), location=factories.place("J1"))

    (chuck,) = page_of(read_card()).lathes[0].chucks

    assert chuck.holds[1] == "outside jaws from J1: 4 to 9 in"


def test_what_is_dangerous_about_a_chuck_stands_with_it(shop):
    threaded = factories.lathe("Lathe 2", nose="1-1/2-8")
    factories.chuck(tag="K-0084", mount="1-1/2-8", mounted_on=threaded, mounted_at="spindle")

    page = page_of(read_card())
    (chuck,) = page.lathes[1].chucks

    assert any("K-0084 can unscrew" in caution for caution in chuck.cautions)
    assert "K-0084 can unscrew" in words(html())


@pytest.mark.parametrize(
    ("fastest", "note"),
    [
        (None, "2000 rpm at most; above 4 in 1000 rpm, as its jaws reach beyond its body"),
        (1500, "1500 rpm at most, the fastest of the lathe; above 4 in 1000 rpm, as its jaws reach beyond its body"),
        (900, "900 rpm at most, the fastest of the lathe"),
    ],
)
def test_a_chuck_says_from_which_size_on_it_turns_slower_and_never_above_the_lathe(shop, fastest, note):
    factories.chuck(tag="K-0085", body="6", max_rpm=2000)
    Lathe.objects.update(fastest_rpm=fastest)

    (chuck,) = page_of(read_card()).lathes[0].chucks

    assert chuck.note == note and not any("Half of the mark" in caution for caution in chuck.cautions)


def test_blanks_that_are_alike_stand_together_with_what_they_can_be_bored_to(shop):
    factories.blank("1/8", tag="C-0046")
    factories.blank("1/8", tag="C-0047")

    (blank,) = page_of(read_card()).lathes[0].blanks

    assert (blank.series, blank.count, blank.bores) == ("5C", 2, "1/8 to 1-1/8 in")


def test_where_the_shop_mixes_them_both_units_are_told(shop):
    assert not page_of(read_card()).has_both_units

    factories.collet_chuck(mount="D1-4", takes="ER32")
    factories.collet("12 mm", series="ER32")

    told = {line.name: (line.decimal, line.other) for line in lines()}
    assert told == {"3/4": (".7500", "19.050 mm"), "12 mm": (".4724", "")}


def test_in_a_metric_shop_it_is_in_millimetres(shop):
    with display.shown_as(display.in_unit(Unit.MM)):
        (line,) = lines()

        assert (line.name, line.decimal, line.grips) == ("3/4 in", "19.05", "18.93-19.17")


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [(".745", ".755", ".745-.755"), ("1", "1.0625", "1.000-1.0625"), (".98425", ".99605", ".9843-.996")],
)
def test_a_range_in_brief_never_says_more_than_is_gripped(low, high, told):
    assert brief_span(parse(low), parse(high)) == told
    assert brief(parse("1/64")) == ".0156"


def test_many_sizes_are_told_in_the_steps_of_their_ladder():
    sizes = ["1/16", "5/64", "3/32", "7/64", "1/4", "1/2", "3 mm", "3.5 mm", "4 mm"]

    assert runs_of(list(map(parse, sizes))) == "1/16 to 7/64 every 1/64, 1/4, 1/2; 3 mm to 4 mm every 0.5 mm"


def test_the_file_says_when_it_was_made_and_that_it_may_be_old(shop):
    assert "As of <time>2026-11-29 10:12</time>" in html()
    assert "It may be old" in html()


def test_the_file_asks_for_nothing_outside_of_itself(shop):
    assert CALLED.findall(html()) == []


def test_what_was_typed_into_the_book_is_only_text_in_it(shop):
    Tool.objects.filter(pk=shop.pk).update(location=factories.place("<script>alert(1)</script>"))

    assert html().count("<script>") == 1


def test_a_card_that_grows_too_large_says_what_it_leaves_out(shop, monkeypatch):
    for number in range(12):
        factories.collet(f"{number + 10} mm", tag=f"C-10{number:02}")
    whole = card_file(read_card(), as_of=MORNING)
    assert "C-0011" in whole.html and "left out" not in whole.html

    monkeypatch.setattr(file, "MOST_BYTES", whole.size - 1)

    assert "Tags are left out" in html()
    assert "C-0011" not in html()
    assert ".745-.755" in html()


def test_a_shop_of_a_thousand_sizes_stays_below_two_hundred_kilobytes(shop):
    of, step, some = shop.size, Length(19_000), Length(9_000)
    Size.objects.bulk_create(
        Size(
            series=of.series,
            shape="round",
            nominal=step * number,
            clamps_from=step * number - some,
            clamps_to=step * number + some,
            edge_bottom=Length(0),
            edge_top=Length(0),
        )
        for number in range(1, 1501)
    )
    sizes = Size.objects.exclude(pk=of.pk)
    Tool.objects.bulk_create(Tool(tag=f"Z-{one.pk}", kind="collet", size=one, location=shop.location) for one in sizes)

    made = card_file(read_card(), as_of=MORNING)

    assert made.page.sizes > 1400
    assert made.size <= MOST_BYTES
    assert made.page.cut and made.page.cut in made.html


def test_the_command_writes_the_file_and_says_how_large_it_is(shop, tmp_path, capsys):
    written = tmp_path / "card.html"

    call_command("pocket_card", str(written))

    assert "drawer A2" in written.read_text(encoding="utf-8")
    assert re.fullmatch(r".*card\.html is written: 1 sizes?, [0-9]+ kB\.\n", capsys.readouterr().out)


def test_the_command_writes_one_lathe_alone(shop, tmp_path):
    factories.lathe("Lathe 2")
    written = tmp_path / "card.html"

    call_command("pocket_card", str(written), "--lathe", "lathe 2")

    assert "Lathe 1" not in written.read_text(encoding="utf-8")


def test_a_lathe_that_there_is_not_and_a_file_that_cannot_be_written_are_refused_with_two(shop, tmp_path):
    with pytest.raises(CommandError, match="It has: Lathe 1") as no_lathe:
        call_command("pocket_card", str(tmp_path / "card.html"), "--lathe", "Lathe 9")
    with pytest.raises(CommandError, match="cannot be written") as no_file:
        call_command("pocket_card", str(tmp_path / "nowhere" / "card.html"))

    assert (no_lathe.value.returncode, no_file.value.returncode) == (2, 2)


def test_an_empty_book_makes_a_card_that_says_so(db):
    assert "Nothing that is here holds work" in html()
