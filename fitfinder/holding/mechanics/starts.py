"""Threads of several starts: by what their places around the spindle are counted."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.indexing import step


def teeth_for(teeth: int, starts: int, *, ratio: Fraction = Fraction(1)) -> int | None:
    """By how many teeth a gear is moved on for each start, where it turns `ratio` times to one turn of the spindle;
    None where that is no whole number."""
    moved = teeth * ratio / starts
    return int(moved) if moved.denominator == 1 else None


def error_on_pitch(lead: Fraction, degrees: Fraction) -> Fraction:
    """How far a start lies off where its place is off by this angle; in the unit of the lead."""
    return lead * degrees / 360


def divides(places: int | None, starts: int) -> bool | None:
    """Whether so many places around can be counted for it; None where nobody wrote down how many there are."""
    return None if places is None else places > 0 and step(places, starts) is not None
