"""The pages on which the shop's own figures are looked at and changed."""

from html import unescape

import pytest
from django.urls import reverse

from inventory.figures.builtin import load
from inventory.figures.series import OWN_FIGURES, in_words, values_of
from inventory.measures.lengths import exact, parse
from inventory.models import SeriesShape, ShopFigures
from inventory.reference.collets import builtin_series
from tests import factories

ADDRESS = ("series", ("5C", "round"))


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def figures():
    return SeriesShape.objects.select_related("series", "changed_by").get(series__code="5C", shape="round")


def in_the_table():
    return builtin_series("5C", "round")


def typed(**changes):
    row = figures()
    texts = {name: "" if value is None else exact(value) for name, value in values_of(row).items()}
    return {**texts, "drawn_from": row.history.first().history_id, **changes}


def page(client, name="series", args=("5C", "round")):
    return unescape(client.get(reverse(name, args=args)).content.decode())


def send(client, **fields):
    return client.post(reverse(*ADDRESS[:1], args=ADDRESS[1]), fields)


def test_every_series_and_shape_has_its_page(keepers_browser):
    said = page(keepers_browser, "series_list", ())

    assert {f'href="/series/{row.series.code}/{row.shape}/"' in said for row in SeriesShape.objects.all()} == {True}


def test_the_built_in_figure_stands_beside_each_that_can_be_changed(keepers_browser):
    assert page(keepers_browser).count("Built in:") == len(OWN_FIGURES)


def test_what_is_not_known_is_said_and_is_no_zero(keepers_browser):
    said = page(keepers_browser, args=("R8", "hex"))

    assert "Built in: not known" in said and "<span>Smallest nominal</span><span>not known</span>" in said


def test_a_machinist_sees_the_figures_and_no_form(client_of):
    load()
    said = page(client_of("machinist"))

    assert f"<span>{in_words(figures().closes_by)}</span>" in said and "See which sizes change" not in said


def test_a_series_that_is_not_there_is_not_found(keepers_browser):
    assert keepers_browser.get(reverse("series", args=("6C", "round"))).status_code == 404


def test_before_anything_is_kept_it_is_shown_which_sizes_change(keepers_browser):
    factories.size("3/4")
    answer = send(keepers_browser, **typed(closes_by=".003"))

    said = unescape(answer.content.decode())
    assert "1 size would change" in said and "0.7450 to 0.7550 in" in said and "0.7470 to 0.7550 in" in said
    assert figures().closes_by == parse("0.005")


def test_kept_they_count_with_who_and_when(keepers_browser, keeper):
    size = factories.size("3/4")
    send(keepers_browser, **typed(closes_by=".003", keep="yes"))

    size.refresh_from_db()
    assert (size.clamps_from, figures().changed_by) == (parse("0.747"), keeper)
    said = page(keepers_browser)
    assert "closes by: 0.0050 in (0.127 mm) → 0.0030 in (0.076 mm)" in said and f", {keeper}</small>" in said
    assert f"the shop's; built in: {in_words(in_the_table().closes_by)}" in said


def test_the_same_figures_again_change_nothing(keepers_browser):
    answer = keepers_browser.post(reverse("series", args=("5C", "round")), typed(keep="yes"), follow=True)

    assert "Nothing was changed." in answer.content.decode()
    assert figures().history.count() == 1


def test_the_way_back_to_the_tables_is_shown_first_and_then_kept(keepers_browser):
    factories.size("3/4")
    send(keepers_browser, **typed(closes_by=".003", keep="yes"))

    preview = send(keepers_browser, built_in="yes")
    assert "1 size would change" in preview.content.decode()
    send(keepers_browser, **dict(preview.context["form"].as_typed), keep="yes")

    assert (figures().closes_by, figures().changed_by) == (in_the_table().closes_by, None)


def test_what_somebody_else_changed_meanwhile_is_not_overwritten(keepers_browser, client_of):
    drawn = typed(opens_by=".004")
    send(client_of("keeper"), **typed(closes_by=".003", keep="yes"))

    answer = send(keepers_browser, **drawn, keep="yes")

    assert "Changed meanwhile by keeper" in answer.content.decode()
    assert (figures().opens_by, figures().closes_by) == (parse("0.005"), parse("0.003"))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"closes_by": ""}, "Closes, under nominal, by is empty."),
        ({"closes_by": "wide"}, "“wide” cannot be read as a length."),
        ({"closes_by": "1"}, "Read as 1 in; write at most 1/4 in."),
        ({"true_under": ".006"}, "0.0060 in (0.152 mm) is more than “Closes, under nominal, by”"),
        ({"true_over": ".006"}, "is more than “Opens, over nominal, by”"),
        ({"true_over": ""}, "Say both ends of where it runs as marked, or neither."),
        ({"small_upto": "1/8"}, "Say both for small sizes, or neither."),
        ({"smallest": "2"}, "2 in (50.800 mm) is more than “Largest nominal”"),
        ({"passes_with_stop_thread": "1-1/8"}, "is more than “Round bar passes up to”"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_with_a_sentence(changes, sentence, keepers_browser):
    answer = send(keepers_browser, **typed(**changes, keep="yes"))

    assert sentence in unescape(answer.content.decode())
    assert figures().changed_by is None


def test_no_zone_and_no_allowance_at_all_can_be_kept(keepers_browser):
    send(keepers_browser, **typed(true_under="", true_over="", edge_top="0", edge_bottom="0 in", keep="yes"))

    assert (figures().true_under, figures().edge_top.nm) == (None, 0)


def test_the_measuring_allowance_is_kept_with_who_and_when(keepers_browser, keeper):
    keepers_browser.post(reverse("measuring"), {"measuring_allowance": ".0002"})
    keepers_browser.post(reverse("measuring"), {"measuring_allowance": ".0003"})

    assert ShopFigures.objects.now().measuring_allowance == parse("0.0003")
    said = page(keepers_browser, "measuring", ())
    assert "measuring allowance: 0.0002 in (0.005 mm) → 0.0003 in (0.008 mm)" in said and str(keeper) in said


def test_a_measuring_allowance_that_is_none_is_refused(keepers_browser):
    answer = keepers_browser.post(reverse("measuring"), {"measuring_allowance": "1/2"})

    assert "Read as 1/2 in; write at most 0.0100 in." in unescape(answer.content.decode())
    assert ShopFigures.objects.now().measuring_allowance is None


def test_the_measuring_allowance_can_be_taken_away_again(keepers_browser):
    keepers_browser.post(reverse("measuring"), {"measuring_allowance": ".0002"})
    keepers_browser.post(reverse("measuring"), {"measuring_allowance": ""})

    assert ShopFigures.objects.now().measuring_allowance is None
