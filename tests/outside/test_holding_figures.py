"""The figures of the rules of holding against mechanics, handbooks and what the trade would accept.

What mechanics can work out is worked out here from its own equations; elastic moduli and densities are typed again in
SI from memory of handbook tables; habits are held to the ranges of `accepted/holding.csv`, which says why.
"""

import math

import pytest

from fitfinder.holding.mechanics.whirl import sound_speed
from inventory.reference.holding import figure, value
from inventory.reference.materials import Material
from tests.outside.accepted.ranges import accepted, takes

# Handbook densities, kg/m³, and elastic moduli, GPa and as handbooks round them in psi (from memory).
DENSITIES = {
    "steel": 7850, "stainless": 8000, "cast_iron": 7200, "aluminium": 2700, "brass": 8500, "bronze": 8800,
    "copper": 8960, "titanium": 4510, "acetal": 1420,
}  # fmt: skip
MODULI_GPA = {
    "steel": 206, "stainless": 193, "aluminium": 70, "brass": 105, "cast_iron": 110, "titanium": 114, "bronze": 110,
    "copper": 117, "acetal": 3.1,
}  # fmt: skip
MODULI_PSI = {
    "steel": 30_000_000, "stainless": 28_000_000, "aluminium": 10_150_000, "brass": 15_200_000,
    "cast_iron": 16_000_000, "titanium": 16_500_000, "bronze": 16_000_000, "copper": 17_000_000, "acetal": 450_000,
}  # fmt: skip
KG_PER_M3 = 0.45359237 / 0.0254**3
"""One pound in the cubic inch."""
PSI_PER_GPA = 145_037.738


@pytest.mark.parametrize("material", DENSITIES)
def test_a_density_is_the_handbooks_in_pounds_and_inches_to_four_places(material):
    assert float(value(f"density.{material}")) == round(DENSITIES[material] / KG_PER_M3, 4)


@pytest.mark.parametrize("material", MODULI_PSI)
def test_a_modulus_is_the_handbooks_in_either_unit(material):
    found = value(f"modulus.{material}")

    assert found == MODULI_PSI[material]
    assert float(found) == pytest.approx(MODULI_GPA[material] * PSI_PER_GPA, rel=0.005)


@pytest.mark.parametrize("material", MODULI_GPA)
def test_sound_in_a_bar_runs_by_the_root_of_modulus_over_density(material):
    speed = math.sqrt(MODULI_GPA[material] * 1e9 / DENSITIES[material]) / 0.0254

    assert float(sound_speed(Material(material.replace("_", " ")))) == pytest.approx(speed, rel=0.003)


# Eigenvalues of the Euler beam: the first root of each frequency equation, bracketed.
FREQUENCIES = {
    "overhung": (lambda x: math.cos(x) * math.cosh(x) + 1, 1, 3),
    "simply_carried": (math.sin, 2, 4),
    "chuck_and_center": (lambda x: math.tan(x) - math.tanh(x), 3.5, 4.5),
    "both_gripped": (lambda x: math.cos(x) * math.cosh(x) - 1, 4, 5.5),
}


def root(function, low, high):
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if function(low) * function(middle) > 0 else (low, middle)
    return low


@pytest.mark.parametrize("held", FREQUENCIES)
def test_a_bar_whirls_at_the_root_of_its_frequency_equation(held):
    found = value(f"whirl.lambda2.{held}")
    places = 3 if held == "overhung" else 4

    assert float(found) == round(root(*FREQUENCIES[held]) ** 2, places)


@pytest.mark.parametrize("jaws", [3, 4, 6])
def test_work_rocks_in_the_direction_in_which_the_jaws_hold_it_least(jaws):
    # Statics: the force of each jaw can move by half the grip along it, and counts by how far it stands off the axis of
    # rocking.
    holds = [
        sum(abs(math.sin(2 * math.pi * jaw / jaws - math.radians(turn))) for jaw in range(jaws)) / 2
        for turn in range(360)
    ]

    assert float(value(f"grip.rocking_factor.{jaws}_jaws")) == round(min(holds), 7)


@pytest.mark.parametrize("jaws", [2, 3, 4, 6, 8, 12])
def test_a_ring_bulges_between_its_jaws_by_thin_ring_theory(jaws):
    # Roark's formulas for a ring under equal radial loads, from memory: in at the loads, out between them.
    half = math.pi / jaws
    sine, cosine = math.sin(half), math.cos(half)
    at_load = ((half + sine * cosine) / (2 * sine**2) - 1 / half) / 2
    between = (2 / half - 1 / sine - half * cosine / sine**2) / 4

    assert f"{float(value(f'ring.k.{jaws}_jaws')):.3e}" == f"{at_load + between:.3e}"


def test_what_is_gripped_anew_on_the_same_surface_can_be_off_by_both_errors():
    # Geometry: two axes, each half a TIR from where it should be, and in the worst case on opposite sides. Gripped on
    # what was turned, only the second error counts.
    assert value("regrip.same_surface") == value("regrip.centers_end_for_end") == 2
    assert value("regrip.on_turned") == 1


def test_a_third_of_the_grip_is_left_at_the_marked_speed():
    # DIN 6386 and EN 1550, from memory.
    assert value("speed.grip_left_at_mark") * 3 == 1


@pytest.mark.parametrize("row", accepted("holding"), ids=lambda row: row["key"])
def test_a_habit_of_holding_is_one_that_the_trade_would_accept(row):
    found = figure(row["key"])

    assert found.unit == row["unit"]
    assert takes(row["value"], found.value), row["why"]
