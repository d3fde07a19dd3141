"""Places in a sentence: no code of a drawer reads as a spindle nose."""

import pytest

from inventory.reference.place_words import drawer_code, place_words


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("E2", "drawer E2"),
        ("D1-4", "drawer D1-4"),
        ("12", "drawer 12"),
        ("B 4", "drawer B 4"),
        ("Drawer 7", "drawer 7"),
        ("drawer left", "drawer left"),
    ],
)
def test_a_drawer_is_called_a_drawer(place, words):
    assert place_words(place) == words


@pytest.mark.parametrize("place", ["Top shelf", "Lathe 2 tray", "Rack7", "on L2", "no place", "Drawer", ""])
def test_a_place_that_says_what_it_is_stays_as_it_is(place):
    assert place_words(place) == place
    assert not drawer_code(place)
