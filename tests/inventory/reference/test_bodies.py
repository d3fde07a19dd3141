"""The outside of collets beside the other tables of a series."""

from fractions import Fraction

from inventory.measures.lengths import NM_PER_INCH, Length, parse
from inventory.reference import tables
from inventory.reference.bodies import Closing, Dimension, Pitch, bodies
from inventory.reference.collets import collet_series
from inventory.reference.draw_in import collet_heads, draw_in


def value(code, dimension):
    figure = next(body for body in bodies() if body.code == code).figure(dimension)
    return figure and figure.value


def test_a_body_has_the_thread_that_stands_with_its_series():
    on_file = {body.code for body in bodies()}
    for series in collet_series():
        if series.shape == "round" and series.code in on_file:
            assert_thread_is_the_same(series)


def assert_thread_is_the_same(series):
    thread, pitch = value(series.code, Dimension.THREAD), value(series.code, Dimension.PITCH)
    if not series.closing_thread:
        assert thread is not None
    elif value(series.code, Dimension.CLOSING) is Closing.NUT:
        diameter, step = series.closing_thread.removeprefix("M").split(" x ")
        assert (thread, pitch) == (Length.mm(diameter), Pitch(Fraction(Length.mm(step).nm)))
    else:
        inches = thread.fraction_text or thread.inch_text.rstrip("0").removeprefix("0")
        assert f"{inches}-{NM_PER_INCH / pitch.nm}" in series.closing_thread


def test_every_figure_names_its_source_and_how_far_it_can_be_trusted():
    for body in bodies():
        for figure in body.figures:
            assert figure.source
            assert figure.basis in tables.BASES


def test_a_length_that_is_remembered_too_badly_stays_unknown():
    assert value("3J", Dimension.LENGTH) is None


def test_a_head_that_is_not_known_says_nothing():
    # R8 is a milling seat whose angle is in no table of heads.
    assert draw_in("R8", parse("0.001")) is None


def test_work_of_one_size_stops_in_one_place():
    assert draw_in("5C", Length(0)) == Length(0)


def test_every_head_belongs_to_a_series():
    assert {head.code for head in collet_heads()} <= {series.code for series in collet_series()}
