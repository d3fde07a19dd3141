"""What jaws press a thin ring out of round, against its energy of bending, and against printed cases."""

from fractions import Fraction
from math import pi

import pytest

from fitfinder.holding.mechanics import thin_wall
from tests.fitfinder.holding.small_shop import job


def by_energy(force, *, jaws, radius, wall, width, modulus):
    """An inextensible ring that bends by w = sum of a_k cos(k n t): the energy EI/2R^3 of (w'' + w)^2 around it, less
    the work of the jaws, is least where a_k = n W R^3 / (pi EI (k^2 n^2 - 1)^2); the odd ones make the lobes."""
    stiffness = modulus * width * wall**3 / 12
    terms = (1 / ((k * jaws) ** 2 - 1) ** 2 for k in range(1, 20_001, 2))
    return 2 * jaws * force * radius**3 / (pi * stiffness) * sum(terms)


def lobes(force, *, jaws, radius, wall, width, modulus):
    exact = {name: Fraction(str(value)) for name, value in (("radius", radius), ("wall", wall), ("width", width))}
    return float(thin_wall.lobes(Fraction(str(force)), jaws=jaws, modulus=Fraction(modulus), **exact))


@pytest.mark.parametrize("jaws", [2, 3, 4, 6, 8, 12])
def test_a_ring_bends_as_its_least_energy_says(jaws):
    ring = {"jaws": jaws, "radius": 2.425, "wall": 0.15, "width": 1.0, "modulus": 30_000_000}

    assert lobes(277.8, **ring) == pytest.approx(by_energy(277.8, **ring), rel=0.001)


@pytest.mark.parametrize(
    ("outside", "bore", "width", "force", "jaws", "lobe"),
    # Thin-ring theory as in Roark, worked by hand; inches and pounds, steel of 30 million psi.
    [
        (5, 4.7, 1, 277.8, 3, 0.01418), (5, 4.7, 1, 138.9, 6, 0.000742), (4, 3.4, 1, 277.8, 3, 0.0007868),
        (4, 3.2, 1, 277.8, 3, 0.0003057), (4, 3, 1, 277.8, 3, 0.0001438),
    ],
)  # fmt: skip
def test_worked_cases_in_inches(outside, bore, width, force, jaws, lobe):
    radius, wall = (outside + bore) / 4, round((outside - bore) / 2, 6)

    found = lobes(force, jaws=jaws, radius=radius, wall=wall, width=width, modulus=30_000_000)
    assert found == pytest.approx(lobe, rel=0.001)


@pytest.mark.parametrize(("force", "jaws", "lobe"), [(2000, 3, 0.07201), (2000, 4, 0.02734), (1000, 6, 0.003770)])
def test_worked_cases_in_millimetres(force, jaws, lobe):
    # 90/80 x 30 mm of steel; the modulus that belongs to the figures is 206 000 to 207 000 N/mm2.
    found = lobes(force, jaws=jaws, radius=42.5, wall=5, width=30, modulus=206_000)

    assert found == pytest.approx(lobe, rel=0.005)


@pytest.mark.parametrize(("jaws", "lobe"), [(3, 0.01418), (6, 0.000742)])
def test_a_tube_that_is_asked_about_springs_by_as_much(jaws, lobe):
    # 833.3 lbf of all jaws together hold 50 lbf of cutting at a friction of 0.15 with a safety of 2.5.
    found = thin_wall.springs(job("5", shape="tube", bore="4.7", length="1"), jaws)

    assert found.nm / 25_400_000 == pytest.approx(lobe, rel=0.002)


def test_six_jaws_with_the_same_force_in_all_leave_a_nineteenth_of_three():
    three, six = (by_energy(1 / jaws, jaws=jaws, radius=1, wall=1, width=1, modulus=1) for jaws in (3, 6))

    assert three / six == pytest.approx(19.1, abs=0.05)
