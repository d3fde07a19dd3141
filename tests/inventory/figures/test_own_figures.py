"""The shop's own figures of a series: what they change, and a range that is marked on one piece."""

import pytest

from inventory.figures.builtin import FIGURES, load
from inventory.figures.series import OWN_FIGURES, built_in, keep, own_figures, values_of, what_changes
from inventory.measures.lengths import Length, parse
from inventory.models import SeriesShape
from inventory.pieces.book import marked_size
from tests import factories

pytestmark = pytest.mark.django_db


def figures(series="5C", shape="round"):
    return SeriesShape.objects.select_related("series").get(series__code=series, shape=shape)


def with_changes(row, **texts):
    return values_of(row) | {name: parse(text) for name, text in texts.items()}


def test_a_shop_may_change_all_that_is_loaded_but_the_ladder_and_the_source():
    of_the_tables = {"ladder_from", "ladder_to", "ladder_step", "source", "basis"}

    assert {own.name for own in OWN_FIGURES} == set(FIGURES) - of_the_tables


def test_what_would_change_is_told_and_nothing_is_kept():
    factories.size("3/4"), factories.size("7/8"), factories.size("1/2", shape="hex")
    row = figures()

    changes = what_changes(row, with_changes(row, closes_by="0.003"))

    assert [change.after.clamps_from for change in changes] == [parse("0.747"), parse("0.872")]
    assert factories.size("3/4").clamps_from == parse("0.745")


def test_kept_figures_bring_every_size_of_the_series_and_shape_with_them(keeper):
    load()
    factories.size("3/4"), factories.size("1/2", shape="hex")
    row = figures()

    assert keep(row, with_changes(row, closes_by="0.003"), by=keeper) == 1
    assert factories.size("3/4").clamps_from == parse("0.747")
    assert factories.size("1/2", shape="hex").clamps_from == parse("0.495")
    assert (figures().changed_by, own_figures(figures())) == (keeper, ["closes_by"])


def test_figures_of_the_tables_again_are_no_longer_the_shops(keeper):
    row = figures()
    keep(row, with_changes(row, closes_by="0.003"), by=keeper)

    keep(figures(), built_in(row), by=keeper)

    assert (figures().changed_by, own_figures(figures())) == (None, [])


def test_figures_that_the_shop_changed_outlive_the_next_loading_of_the_tables(keeper):
    row = figures()
    keep(row, with_changes(row, closes_by="0.003"), by=keeper)
    load()

    assert figures().closes_by == parse("0.003")


def test_an_er_keeps_its_class_by_size_while_the_shop_changes_something_else(keeper):
    # ISO 15488 Table 4: 0.015 mm to 10 mm, 0.020 mm above.
    factories.size("8 mm", series="ER32")
    row = figures("ER32")

    keep(row, with_changes(row, edge_bottom="0.2 mm"), by=keeper)
    assert factories.size("8 mm", series="ER32").typical_tir == Length.mm("0.015")

    keep(row, with_changes(row, typical_tir="0.030 mm"), by=keeper)
    assert factories.size("8 mm", series="ER32").typical_tir == Length.mm("0.030")


def test_a_marked_range_stays_while_its_allowances_and_its_zone_follow(keeper):
    row = figures()
    size = marked_size(row, parse("3/4"), smallest=parse("0.749"), largest=parse("0.752"))
    assert (size.true_from, size.true_to) == (parse("0.749"), parse("0.75"))

    keep(row, with_changes(row, closes_by="0.003", edge_top="0.001"), by=keeper)
    size.refresh_from_db()

    assert (size.clamps_from, size.clamps_to, size.edge_top) == (parse("0.749"), parse("0.752"), parse("0.001"))


def test_a_marked_range_that_misses_the_zone_promises_nothing():
    size = marked_size(figures("ER32"), parse("20 mm"), smallest=parse("19 mm"), largest=parse("20 mm"))
    narrow = marked_size(figures(), parse("3/4"), smallest=parse("0.7505"), largest=parse("0.752"))

    assert (size.true_from, size.true_to) == (parse("19.9 mm"), parse("20 mm"))
    assert (narrow.true_from, narrow.true_to) == (None, None)


def test_the_same_marked_range_is_one_size():
    limits = {"smallest": parse("0.749"), "largest": parse("0.752")}

    assert marked_size(figures(), parse("3/4"), **limits) == marked_size(figures(), parse("3/4"), **limits)
