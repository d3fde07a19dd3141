"""Conversions against pint's own definitions of the units, in exact arithmetic.

Source: the unit definitions that pint ships (inch = 25.4 mm, thou = inch / 1000), read as fractions.
"""

from fractions import Fraction

import pint
import pytest

from inventory.measures import lengths, masses

UNITS = pint.UnitRegistry(non_int_type=Fraction)
WRITTEN = {
    "in": "inch",
    "mm": "millimeter",
    "thou": "thou",
    "cm": "centimeter",
    "ft": "foot",
    "µm": "micrometer",
}


def thousand_values(*, upto: Fraction) -> list[Fraction]:
    return [upto * n / 1000 for n in range(1, 1001)]


def as_text(value: Fraction) -> str:
    """A value of at most three places, without a float in between."""
    thousandths = value * 1000
    assert thousandths.denominator == 1
    whole, rest = divmod(thousandths.numerator, 1000)
    return f"{whole}.{rest:03d}"


@pytest.mark.parametrize(("unit", "name"), WRITTEN.items())
def test_a_thousand_lengths_are_converted_as_pint_converts_them(unit, name):
    values = thousand_values(upto=Fraction(70))

    ours = [lengths.parse(f"{as_text(value)} {unit}").nm for value in values]

    assert ours == [UNITS.Quantity(value, name).to("nanometer").magnitude for value in values]


def test_a_thousand_fractions_of_an_inch_are_converted_as_pint_converts_them():
    sixty_fourths = range(1, 1001)

    ours = [lengths.parse(f"{n}/64").nm for n in sixty_fourths]

    assert ours == [UNITS.Quantity(Fraction(n, 64), "inch").to("nanometer").magnitude for n in sixty_fourths]


def test_the_millimetres_shown_are_those_of_pint_rounded():
    tenths = range(1, 1001)

    ours = [Fraction(lengths.Length(n * lengths.NM_PER_TENTH).mm_text) for n in tenths]
    theirs = [UNITS.Quantity(Fraction(n, 10_000), "inch").to("millimeter").magnitude for n in tenths]

    assert max(abs(our - their) for our, their in zip(ours, theirs, strict=True)) <= Fraction(1, 2000)


@pytest.mark.parametrize(("unit", "name"), [("lb", "pound"), ("kg", "kilogram"), ("g", "gram")])
def test_a_thousand_weights_are_converted_as_pint_converts_them(unit, name):
    values = thousand_values(upto=Fraction(100))

    ours = [masses.parse(f"{as_text(value)} {unit}") for value in values]

    assert ours == [round(UNITS.Quantity(value, name).to("microgram").magnitude) for value in values]
