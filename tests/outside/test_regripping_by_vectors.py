"""What two set-ups may run out to each other, against a trial of all directions.

Geometry: a gripping puts the axis of the gripped surface at a vector from the spindle's, at most half the TIR long and
in any direction. What is turned then lies on the axis of the spindle. The sums of the product are worst cases of that.
"""

import itertools
from cmath import exp, pi

import pytest

from fitfinder.holding.rules.truth import Regrip, between_setups
from fitfinder.holding.runout import MEASURED, Part, Runout
from inventory.measures.lengths import Length, parse
from tests.fitfinder.holding.small_shop import job

T = 0.0010
"""What one gripping runs out, in inches."""
DIRECTIONS = [exp(2j * pi * step / 16) for step in range(16)]
OFFSETS = [share * T / 2 * way for share in (1, 0.5) for way in DIRECTIONS] + [0]


def worst(setups, gripped):
    """The largest TIR between any two of the set-ups. `gripped(turned)` is where in the work the surface lies that the
    next set-up grips, `turned` where those lie that are turned already; the raw surface lies at zero."""
    most = 0
    for offsets in itertools.product(OFFSETS, repeat=setups):
        turned = []
        for offset in offsets:
            turned.append(gripped(turned) - offset)
        most = max([most, *(2 * abs(one - other) for one, other in itertools.combinations(turned, 2))])
    return most


def on_the_raw(turned):
    return 0


def on_the_first_turned(turned):
    return turned[0] if turned else 0


def tir_between(repeats, /, *, head=None, **texts):
    run = Runout.of(Part("it", parse(f"{T:.4f}"), MEASURED))
    return between_setups(job("1", **texts), repeats, run, head=head).tir.nm / parse("1").nm


@pytest.mark.parametrize("regrip", [Regrip.ADDS, Regrip.RESTARTS])
@pytest.mark.parametrize("setups", [2, 3])
@pytest.mark.parametrize(("surface", "gripped"), [("same", on_the_raw), ("turned", on_the_first_turned)])
def test_gripped_again_the_worst_case_is_reached_and_never_passed(regrip, setups, surface, gripped):
    assert tir_between(regrip, setups=setups, regrip=surface) == pytest.approx(worst(setups, gripped))


def test_the_worst_of_two_grippings_of_one_surface_is_twice_and_on_the_turned_once():
    assert worst(2, on_the_raw) == pytest.approx(2 * T)
    assert worst(2, on_the_first_turned) == pytest.approx(T)
    # The first set-up does not count there: what it turned is what is gripped.
    assert worst(3, on_the_first_turned) == pytest.approx(2 * T)


def test_end_for_end_between_centers_the_worst_is_twice_what_the_head_center_runs_out():
    c = 0.0002
    places = [0, 0.25, 0.5, 1]
    most = 0
    for first, second in itertools.product(DIRECTIONS, repeat=2):
        for z, y in itertools.product(places, repeat=2):
            # Off the line of its two center holes by the share of the end that lies in the headstock at each time.
            here, there = (1 - z) * c / 2 * first, y * c / 2 * second
            most = max(most, 2 * abs(here - there))

    assert most == pytest.approx(2 * c)
    assert tir_between(Regrip.RETURNS, setups=2, both_ends="yes", head=parse("0.0002")) == pytest.approx(most)


def test_a_soft_center_that_is_cut_in_place_has_nothing_to_bring_in():
    assert tir_between(Regrip.RETURNS, setups=2, both_ends="yes", head=Length(0)) == 0
