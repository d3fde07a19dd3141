"""How long work bends and whirls, against values worked by hand and beams that are cut into elements here."""

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy.linalg import eigh

from fitfinder.arithmetic.bending import Held, deflection
from fitfinder.holding.mechanics import bending
from fitfinder.holding.mechanics.whirl import Carried, critical_rpm, growth, longest_at, safe_rpm, sound_speed
from inventory.measures.lengths import NM_PER_INCH, Length
from inventory.reference.materials import Material
from tests.fitfinder.holding.small_shop import job


def steel():
    return sound_speed(Material.STEEL)


def bent(held, *, force, length, diameter):
    return float(
        deflection(
            force=Fraction(force), length=Fraction(length), diameter=Fraction(diameter), modulus=Fraction(30_000_000),
            held=held,
        )
    )  # fmt: skip


@pytest.mark.parametrize(
    ("held", "length", "inches"),
    [
        # Mechanics: F L³ / (k E I), k 3, 48 and 768/7, worked by hand for 1 in steel and 100 lbf.
        (Held.FREE_END, 3, 0.0006112),
        (Held.FREE_END, 5, 0.002829),
        (Held.FREE_END, 10, 0.02264),
        (Held.CENTERS, 10, 0.001415),
        (Held.CHUCK_AND_CENTER, 10, 0.0006189),
    ],
)
def test_an_inch_of_steel_gives_way_as_worked_by_hand(held, length, inches):
    assert bent(held, force=100, length=length, diameter=1) == pytest.approx(inches, rel=1e-3)


def test_a_slender_shaft_with_a_center_and_no_rest_bends_by_more_than_any_tolerance():
    # Mechanics, by hand: 3/8 in, 17-1/2 in long, 20 lbf.
    assert bent(Held.CHUCK_AND_CENTER, force=20, length="17.5", diameter="0.375") == pytest.approx(0.03355, rel=1e-3)


def test_a_center_stiffens_what_stands_out_36_times():
    ends = [bent(held, force=100, length=10, diameter=1) for held in (Held.FREE_END, Held.CHUCK_AND_CENTER)]

    assert ends[0] / ends[1] == pytest.approx(36.57, rel=1e-3)


@pytest.mark.parametrize(
    ("held", "diameters"), [(Held.FREE_END, 3.535), (Held.CENTERS, 8.908), (Held.CHUCK_AND_CENTER, 11.73)]
)
def test_a_working_cut_bends_work_by_a_thousandth_of_an_inch_at_these_lengths(held, diameters):
    # Mechanics, by hand: 100 lbf for each inch of diameter; why the rules of thumb are 3, 8 to 10 and 10 to 12.
    assert bending.cutting_force(job("2")) == 200
    given = bending.gives_way(job("2"), Length(round(2 * diameters * NM_PER_INCH)), held)

    assert given.nm / NM_PER_INCH == pytest.approx(0.001, rel=2e-3)


@pytest.mark.parametrize(("bore", "share"), [("1", 1 - 1 / 16), ("1.8", 1 - 0.9**4)])
def test_a_tube_is_as_stiff_as_the_ring_of_its_section(bore, share):
    # Geometry: the second moment of a ring, added up over thin rings here.
    radii = (np.arange(100_000) + 0.5) / 100_000
    ring = radii > float(bore) / 2
    moment = (4 * radii[ring] ** 3).sum() / 100_000

    assert float(bending.as_stiff_as(Fraction(2), Fraction(bore))) ** 4 / 16 == pytest.approx(moment, rel=1e-3)
    assert moment == pytest.approx(share, rel=1e-3)


# Whirl.


def by_elements(*, fixed, pieces=60):
    """λ² of the first mode of a slender beam of length, stiffness and mass 1, cut into elements with cubic shapes;
    `fixed` are the (node, 0 place or 1 slope) that are held."""
    size = 1 / pieces
    stiff, mass = np.zeros((2 * pieces + 2,) * 2), np.zeros((2 * pieces + 2,) * 2)
    k = np.array([[12, 6, -12, 6], [6, 4, -6, 2], [-12, -6, 12, -6], [6, 2, -6, 4]], dtype=float)
    m = np.array([[156, 22, 54, -13], [22, 4, 13, -3], [54, 13, 156, -22], [-13, -3, -22, 4]], dtype=float) / 420
    scale = np.array([1, size, 1, size])
    for one in range(pieces):
        at = slice(2 * one, 2 * one + 4)
        stiff[at, at] += k * np.outer(scale, scale) / size**3
        mass[at, at] += m * np.outer(scale, scale) * size
    free = [place for place in range(2 * pieces + 2) if (place // 2, place % 2) not in fixed]
    return math.sqrt(eigh(stiff[np.ix_(free, free)], mass[np.ix_(free, free)], eigvals_only=True)[0])


LAST = 60
HELD_AT = {
    Carried.OVERHUNG: {(0, 0), (0, 1)},
    Carried.SIMPLY: {(0, 0), (LAST, 0)},
    Carried.CHUCK_AND_CENTER: {(0, 0), (0, 1), (LAST, 0)},
    Carried.GRIPPED: {(0, 0), (0, 1), (LAST, 0), (LAST, 1)},
}


@pytest.mark.parametrize("carried", Carried)
def test_the_speed_at_which_a_bar_whirls_is_the_lowest_of_a_beam_cut_into_elements(carried):
    diameter, length = 0.75, 40.0
    # E I / (ρ A) of round bar is c² d² / 16.
    turns = by_elements(fixed=HELD_AT[carried]) * float(steel()) * diameter / 4 / length**2 * 30 / math.pi

    found = critical_rpm(carried, outside=Fraction("0.75"), length=Fraction(40), sound=steel())

    assert float(found) == pytest.approx(turns, rel=1e-4)


@pytest.mark.parametrize(
    ("carried", "across", "length", "critical", "limit"),
    [
        # Mechanics, worked by hand with 30e6 psi and 0.2836 lb/in³; the limit is half (common practice).
        (Carried.OVERHUNG, "5/8", 30, 1178, 589),
        (Carried.OVERHUNG, "5/8", 50, 424.1, 212),
        (Carried.OVERHUNG, "1", 36, 1309, 654),
        (Carried.SIMPLY, "3/4", 40, 2232, 1116),
        (Carried.SIMPLY, "1/4", 28, 1518, 759),
        (Carried.SIMPLY, "1", 60, 1323, 661),
    ],
)
def test_bars_whirl_at_the_speeds_worked_by_hand(carried, across, length, critical, limit):
    fields = {"outside": Fraction(across), "length": Fraction(length), "sound": steel()}

    assert float(critical_rpm(carried, **fields)) == pytest.approx(critical, rel=1e-3)
    assert safe_rpm(carried, **fields) == pytest.approx(limit, abs=1)


def test_sixteen_millimetres_that_show_by_seven_hundred_stay_under_702_rpm():
    # Mechanics, by hand.
    mm = Fraction(10, 254)

    assert safe_rpm(Carried.OVERHUNG, outside=16 * mm, length=700 * mm, sound=steel()) == pytest.approx(702, abs=1)


@pytest.mark.parametrize(("across", "length"), [("1/4", 14.56), ("1/2", 20.59), ("1", 29.12), ("2", 41.19)])
def test_what_may_show_at_a_thousand_turns(across, length):
    found = longest_at(Carried.OVERHUNG, Fraction(1000), outside=Fraction(across), sound=steel())

    assert float(found) == pytest.approx(length, rel=1e-3)


@pytest.mark.parametrize(("share", "times"), [("0.5", 1.333), ("0.6", 1.562), ("0.75", 2.286)])
def test_a_bow_grows_on_the_way_to_the_critical_speed(share, times):
    # Mechanics: the static bow over 1 - (n / n_c)²; here as the sum of what each bow bends further.
    assert float(growth(Fraction(share))) == pytest.approx(times, rel=1e-3)
    assert sum(float(Fraction(share)) ** (2 * turn) for turn in range(400)) == pytest.approx(times, rel=1e-3)


@pytest.mark.parametrize(
    ("material", "speed"),
    [
        # Handbook: √(E/ρ) in inches a second.
        (Material.STEEL, 202_100),
        (Material.STAINLESS, 193_400),
        (Material.ALUMINIUM, 200_500),
        (Material.BRASS, 138_400),
        (Material.CAST_IRON, 153_900),
        (Material.TITANIUM, 197_900),
    ],
)
def test_sound_runs_along_a_bar_as_fast_as_handbooks_say(material, speed):
    assert float(sound_speed(material)) == pytest.approx(speed, rel=3e-3)
