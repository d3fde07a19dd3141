"""Forces, weights and speeds as a person reads them.

1 lbf is 4.4482216 N, 1 lb 0.45359237 kg, 1 ft 0.3048 m: from memory of NIST SP 811, appendix B.
"""

from fractions import Fraction

import pytest

from inventory.measures import amounts
from inventory.measures.display import Display, shown_as
from inventory.measures.lengths import Unit

INCH, METRIC = Display(), Display(unit=Unit.MM)


@pytest.mark.parametrize(
    ("say", "amount", "inch", "metric"),
    [
        (amounts.force, 100, "100 lbf", "445 N"),
        (amounts.force, Fraction(201, 2), "100 lbf", "447 N"),
        (amounts.weight, 25, "25 lb", "11.3 kg"),
        (amounts.weight, Fraction("2.44"), "2.4 lb", "1.1 kg"),
        (amounts.weight, Fraction("2.2046"), "2.2 lb", "1 kg"),
        (amounts.surface_speed, 50, "50 ft/min", "15 m/min"),
    ],
)
def test_an_amount_is_in_the_units_of_its_reader(say, amount, inch, metric):
    with shown_as(INCH):
        assert say(amount) == inch
    with shown_as(METRIC):
        assert say(amount) == metric
