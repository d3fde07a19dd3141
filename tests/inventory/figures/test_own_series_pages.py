"""A keeper enters a series that no table has, copies one, edits and retires it, and gives it further names."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.figures.builtin import load
from inventory.figures.names import series_named
from inventory.measures.lengths import Length, parse
from inventory.models import Kind, Seat, Series, SeriesShape, Tool
from inventory.pieces.form import PieceForm
from tests import factories

W20 = {
    "code": "W20", "shapes": ["round", "hex"], "unit_of_bare": "mm", "smallest": "1", "largest": "14",
    "steps": "by 0.5",
    "closes_by": "0.1", "opens_by": "0.1", "true_under": "0.05", "true_over": "0", "typical_tir": "0.01",
    "body": "20", "length": "70", "thread": "19.7 x 1.666", "half_angle": "20", "closing": "inside",
    "holds_work": "on", "source": "measured here",
}  # fmt: skip


@pytest.fixture
def browser(client_of, keeper):
    return client_of(keeper)


def enter(browser, **changes):
    return browser.post(reverse("series_add"), {**W20, **changes}, follow=True)


def collet(series):
    fields = {"tag": "W-1", "series": series, "shape": "round", "size": "6 mm", "condition": "good"}
    return PieceForm(fields, kind=Kind.COLLET)


def text_of(answer):
    return unescape(answer.content.decode())


def shape(code, of="round"):
    return SeriesShape.objects.select_related("series__seat").get(series__code=code, shape=of)


def test_what_is_entered_counts_with_every_figure(browser, keeper):
    answer = enter(browser)

    assert "W20 is a series of this shop now" in text_of(answer) and "W20 is a new seat" in text_of(answer)
    for row in (shape("W20"), shape("W20", "hex")):
        assert (row.smallest, row.ladder_step, row.closes_by) == tuple(map(parse, ("1 mm", "0.5 mm", "0.1 mm")))
        assert (row.changed_by, row.source, row.edge_top) == (keeper, "measured here", Length(0))
    series = Series.objects.get(code="W20")
    assert (series.seat.code, series.closing, series.body, str(series.half_angle)) == (
        "W20", "inside", parse("20 mm"), "20.000",
    )  # fmt: skip


def test_a_collet_of_it_is_entered_by_the_form_of_a_piece_in_any_spelling(browser):
    enter(browser)
    form = PieceForm(
        {"tag": "W-1", "series": "w-20", "shape": "round", "size": "6 mm", "condition": "good"}, kind=Kind.COLLET
    )

    assert form.is_valid(), form.errors
    size = form.save(by=None).size
    assert (size.series.code, size.clamps_from, size.true_from) == ("W20", parse("5.9 mm"), parse("5.95 mm"))


def test_it_outlives_the_loading_of_the_tables(browser):
    enter(browser)
    load()

    assert shape("W20").closes_by == parse("0.1 mm")


def test_one_is_entered_like_another_with_the_figures_of_that(browser):
    drawn = text_of(browser.get(reverse("series_add"), {"like": "ER32/round"}))
    assert "A series like ER32 round" in drawn and 'value="ER32"' in drawn and 'value="by 1 mm"' in drawn

    enter(browser, code="ER32 fine", seat="ER-32", closing="nut", typical_tir="0.005", shapes=["round"])
    assert Series.objects.get(code="ER32 fine").seat == Series.objects.get(code="ER32").seat


def test_a_shape_that_a_series_of_the_tables_lacks_is_added(browser):
    fields = {"shape": "square", "unit_of_bare": "mm", "smallest": "3", "largest": "14",
              "steps": "3; 4; 5; 6; 8; 10 mm", "closes_by": "1", "opens_by": "0", "edge_bottom": "0",
              "edge_top": "0"}  # fmt: skip
    answer = browser.post(reverse("series_add_shape", args=["ER32"]), fields, follow=True)

    assert "ER32 square collets can be entered and found now." in text_of(answer)
    assert "6 mm holds up to 6 mm, 8 mm from 7 mm" in text_of(answer)
    load()
    assert shape("ER32", "square").listed_sizes[-1] == parse("10 mm")


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"code": ""}, "Name is empty. Write it like W20"),
        ({"code": "5-C"}, "names 5C, which is here already."),
        ({"code": "DIN 6499-32"}, "names ER32, which is here already"),
        ({"code": "a/b"}, "cannot be the name of a series"),
        ({"shapes": []}, "Nothing is chosen under Shapes; tick one at least."),
        ({"smallest": "15"}, "is more than “Largest nominal”"),
        ({"closes_by": "2"}, "it would close to nothing"),
        ({"closes_by": "wide"}, "“wide” cannot be read as a length"),
        ({"steps": "by 20"}, "is more than the whole way from 1 mm to 14 mm"),
        ({"true_over": ""}, "Say both ends of where it runs as marked, or neither."),
        ({"half_angle": "steep"}, "“steep” is no angle. Write degrees a side, like 8."),
        ({"body": "20", "head": "18"}, "is less than the body"),
        ({"unit_of_bare": "ells"}, "none of the choices here"),
    ],
)
def test_nonsense_is_refused_with_a_sentence_beside_its_field(browser, changes, sentence):
    assert sentence in text_of(enter(browser, **changes))
    assert not Series.objects.filter(code="W20").exists()


def test_a_step_that_leaves_gaps_is_kept_and_told(browser):
    answer = enter(browser, steps="by 1")

    assert "there are gaps that none of them holds: 1 mm holds up to 1.1 mm, 2 mm from 1.9 mm." in text_of(answer)
    assert shape("W20").ladder_step == parse("1 mm")


def test_its_figures_and_its_sizes_are_changed_on_its_page(browser, keeper):
    enter(browser)
    factories.collet("6 mm", series="W20")
    page = text_of(browser.get(reverse("series", args=["W20", "round"])))
    assert "Built in:" not in page and "Made by 0.5 mm." in page

    fields = {"smallest": "1 mm", "largest": "14 mm", "closes_by": "0.2 mm", "opens_by": "0.1 mm", "edge_bottom": "0",
              "edge_top": "0", "steps": "2 mm; 4 mm; 6 mm", "keep": "yes"}  # fmt: skip
    answer = browser.post(reverse("series", args=["W20", "round"]), fields, follow=True)

    assert "W20 round is changed, and 1 size with it." in text_of(answer)
    assert shape("W20").listed_sizes == tuple(map(parse, ("2 mm", "4 mm", "6 mm")))
    assert Tool.objects.get().size.clamps_from == parse("5.8 mm")


def test_renamed_it_is_still_found_by_its_old_name_and_tells_what_depends_on_it(browser):
    enter(browser)
    factories.collet("6 mm", series="W20")
    answer = browser.get(reverse("series_edit", args=["W20"]))
    assert "Depends on it: 1 piece." in text_of(answer)

    fields = {**W20, "code": "W20 lathe", "seat": "W20"}
    answer = browser.post(reverse("series_edit", args=["W20"]), fields, follow=True)

    assert "W20 lathe is changed. Of it there are 1 piece." in text_of(answer)
    assert series_named("w 20").code == "W20 lathe"
    assert browser.get(reverse("series_whole", args=["W20"])).url == reverse("series_whole", args=["W20 lathe"])


def test_another_seat_takes_its_collets_along(browser):
    enter(browser)
    factories.collet("6 mm", series="W20")
    browser.post(reverse("series_edit", args=["W20"]), {**W20, "seat": "Morse 3"})

    assert Tool.objects.get().mounts_in == Seat.objects.get(code="MT3")


def test_retired_it_stays_for_what_is_here_and_takes_nothing_more(browser, keeper):
    enter(browser)
    answer = browser.post(reverse("series_retire", args=["W20"]), follow=True)
    assert "W20 is retired" in text_of(answer) and f", {keeper}</small>" in text_of(answer)
    form = PieceForm(
        {"tag": "W-1", "series": "W20", "shape": "round", "size": "6 mm", "condition": "good"}, kind=Kind.COLLET
    )
    assert "W20 is retired here" in str(form.errors["series"])

    browser.post(reverse("series_retire", args=["W20"]), {"back": "yes"})
    assert Series.objects.get(code="W20").retired_at is None


def test_a_further_name_is_read_everywhere_and_can_be_forgotten(browser):
    enter(browser)
    whole = reverse("series_whole", args=["W20"])
    browser.post(whole, {"text": "watch lathe collet"})
    assert series_named("Watch-lathe  COLLET").code == "W20"

    assert "is read as W20 already" in text_of(browser.post(whole, {"text": "w-20"}, follow=True))
    assert "“5-C” is a name of the seat 5C already." in text_of(browser.post(whole, {"text": "5-C"}, follow=True))

    browser.post(whole, {"forget": "watch lathe collet"})
    assert series_named("watch lathe collet") is None


def test_a_series_of_the_tables_is_neither_edited_nor_retired(browser):
    answer = browser.post(reverse("series_edit", args=["5C"]), {**W20, "code": "6C"}, follow=True)
    assert "5C is of the tables" in text_of(answer)
    assert "5C is of the tables" in text_of(browser.post(reverse("series_retire", args=["5C"]), follow=True))
    assert Series.objects.get(code="5C").retired_at is None


def test_an_address_in_another_spelling_leads_to_the_series(browser):
    assert browser.get("/series/er-32/round/").url == "/series/ER32/round/"
    assert browser.get("/series/of/5-C/").url == "/series/of/5C/"
    assert browser.get("/series/of/7Q/").status_code == 404


def test_a_machinist_sees_a_series_and_may_not_enter_one(client_of, browser):
    enter(browser)
    machinist = client_of("machinist")
    assert "Body diameter" in text_of(machinist.get(reverse("series_whole", args=["W20"])))
    assert "Add the name" not in text_of(machinist.get(reverse("series_whole", args=["W20"])))
    assert machinist.get(reverse("series_add")).status_code == 403
    assert machinist.post(reverse("series_whole", args=["W20"]), {"text": "x"}).status_code == 403
