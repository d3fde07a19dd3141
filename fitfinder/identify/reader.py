"""The outside of the shop's own series, as the tables have that of the others."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

from fitfinder.identify.measured import read_thread
from fitfinder.questions import QuestionError
from inventory.models import Series
from inventory.reference.bodies import Angle, Body, BodyFigure, Closing, Dimension, Value, bodies


def all_bodies() -> tuple[Body, ...]:
    """Those of the tables, then those of the shop's own series of which anything is known."""
    own = (_body(row) for row in Series.objects.all() if row.is_own)
    return (*bodies(), *(body for body in own if body.figures))


def _body(row: Series) -> Body:
    thread, pitch = None, None
    if row.thread:
        # What is in words that are no thread a person reads on the page of the series.
        with suppress(QuestionError):
            thread, pitch = read_thread(row.thread)
    values: dict[Dimension, Value | None] = {
        Dimension.BODY: row.body,
        Dimension.HEAD: row.head,
        Dimension.LENGTH: row.length,
        Dimension.CLOSING: Closing(row.closing) if row.closing else None,
        Dimension.THREAD: thread,
        Dimension.PITCH: pitch,
        Dimension.ANGLE: None if row.half_angle is None else Angle(Fraction(row.half_angle)),
    }
    source = row.standard or "entered by this shop"
    return Body(
        row.code,
        tuple(
            BodyFigure(dimension=dimension, value=value, source=source, basis="")
            for dimension, value in values.items()
            if value is not None
        ),
    )
