"""Forces, weights and surface speeds of the rules of holding, which count in pounds and feet, in the reader's units.

The pound is 0.45359237 kg exactly (1959 agreement), the pound of force that times 9.80665 m/s², the foot 0.3048 m.
"""

from __future__ import annotations

from fractions import Fraction

from inventory.measures.display import now
from inventory.measures.masses import UG_PER_LB

_KG_OF_LB = Fraction(UG_PER_LB, 10**9)
_NEWTONS_OF_LBF = _KG_OF_LB * Fraction("9.80665")
_METRES_OF_FOOT = Fraction("0.3048")


def force(lbf: Fraction | int) -> str:
    """To the whole unit: `100 lbf`, in a metric shop `445 N`."""
    return f"{round(lbf * _NEWTONS_OF_LBF)} N" if now().is_metric else f"{round(lbf)} lbf"


def weight(lb: Fraction | int) -> str:
    """To a tenth where there is one: `25 lb`, `2.4 lb`; in a metric shop `11.3 kg`."""
    return f"{_to_a_tenth(lb * _KG_OF_LB)} kg" if now().is_metric else f"{_to_a_tenth(Fraction(lb))} lb"


def surface_speed(feet_a_minute: Fraction | int) -> str:
    """To the whole unit: `50 ft/min`, in a metric shop `15 m/min`."""
    if now().is_metric:
        return f"{round(feet_a_minute * _METRES_OF_FOOT)} m/min"
    return f"{round(feet_a_minute)} ft/min"


def _to_a_tenth(amount: Fraction) -> str:
    units, tenth = divmod(round(amount * 10), 10)
    return f"{units}.{tenth}" if tenth else f"{units}"
