"""Which notes say that a piece is lost."""

import pytest

from inventory.pieces.lost_notes import says_lost


@pytest.mark.parametrize(
    "note",
    [
        "lost",
        "LOST?",
        "Lost since spring",
        "missing",
        "Missing since 3/4",
        "bought 2019; lost in the move",
        "it was lost at the fair",
        "presumed lost",
        "not found at the last count",
        "Good one. Can't be found.",
        "lost - ask Dana",
        "found in spring, lost again",
    ],
)
def test_a_note_can_say_that_the_piece_is_lost(note):
    assert says_lost(note)


@pytest.mark.parametrize(
    "note",
    [
        "",
        "lost motion in the scroll",
        "missing a screw",
        "stop screw missing",
        "key lost",
        "lost its label",
        "not lost",
        "no longer missing",
        "lost in spring; found again",
        "Lost in the move. Turned up behind the bench.",
        "use for lost wax work",
    ],
)
def test_other_notes_say_nothing_of_the_kind(note):
    assert not says_lost(note)
