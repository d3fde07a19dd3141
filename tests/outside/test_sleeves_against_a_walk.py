"""The search for sleeves against a plain walk over every order of the sleeves, independent of the search."""

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from fitfinder.holding.chains import Missing
from fitfinder.holding.seats import LatheRig
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop

TAPERS = ("MT1", "MT2", "MT3", "MT4", "MT5")
LATHE = small_shop.lathe()


def fewest_by_hand(shank, socket, sleeves):
    """How many sleeves the shortest chain has; None where none of up to three leads there."""
    if shank == socket:
        return 0
    usable = [sleeve for sleeve in sleeves if sleeve.is_usable]
    for count in (1, 2, 3):
        for order in permutations(usable, count):
            joints = [socket, *(sleeve.offers for sleeve in order)]
            if [sleeve.mounts_in.code for sleeve in order] == joints[:-1] and joints[-1] == shank:
                return count
    return None


@st.composite
def sleeves(draw):
    one = st.tuples(st.sampled_from(TAPERS), st.sampled_from(TAPERS), st.sampled_from(["", "", "out to dana"]))
    made = draw(st.lists(one.filter(lambda ends: ends[0] != ends[1]), max_size=5))
    return [on_hand.sleeve(mount=outside, takes=inside, why_not=gone) for outside, inside, gone in made]


@settings(deadline=None, max_examples=300)
@given(on_hand_now=sleeves(), shank=st.sampled_from(TAPERS), socket=st.sampled_from(TAPERS))
def test_the_search_finds_as_few_sleeves_as_a_plain_walk(on_hand_now, shank, socket):
    tool = on_hand.piece("taper-shank drill", mount=shank)
    found = LatheRig(LATHE, tuple(on_hand_now)).sleeves_to(tool, socket)
    by_hand = fewest_by_hand(shank, socket, on_hand_now)

    assert (None if isinstance(found, Missing) else len(found)) == by_hand
