"""The dog that turns work between centers: its range takes the end, its tail what drives it."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum

from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.parts import NO_PARTS, Parts, Reason
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.holding.seats import away
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

BENT, STRAIGHT = "bent", "straight"


class TailFit(IntEnum):
    """How the tail of a dog meets what drives it; less is better."""

    DRIVES = 0
    OPEN = 1
    """Nobody wrote down what decides."""
    WANTS_PIN = 2
    WANTS_SLOT = 3


def dogs_for(here: CribAtLathe, ends: Iterable[Length], driver: Piece | None) -> tuple[Parts, Piece | None]:
    """A dog for each of these ends, one for several where one takes them; and the first of them. Any dog where the ends
    are not known."""
    dogs: list[Piece] = []
    missing: list[Missing] = []
    sizes = list(dict.fromkeys(ends))
    wanted: list[Length | None] = [*sizes] or [None]
    for end in wanted:
        if any(_takes(dog, end) for dog in dogs):
            continue
        able = [dog for dog in here.of_kind(Kind.LATHE_DOG) if _takes(dog, end)]
        dog = _best(here, [dog for dog in able if here.lathe is None or not _beyond(dog, here.lathe)], sizes, driver)
        if dog is not None:
            dogs.append(dog)
        else:
            missing.append(_no_dog(end, able, here))
    parts = Parts(pieces=tuple(dogs), missing=tuple(missing))
    for dog in dogs:
        parts += _of_tail(dog, driver) + _over_the_slide(dog, here.lathe)
    return parts, dogs[0] if dogs else None


def _no_dog(end: Length | None, able: list[Piece], here: CribAtLathe) -> Missing:
    words = f"no lathe dog{f' for {in_unit(end)}' if end else ''}"
    too_large = next(
        (dog for dog in able if dog.is_usable and here.lathe is not None and _beyond(dog, here.lathe)), None
    )
    if too_large is None or too_large.body is None or here.lathe is None:
        return Missing(words, away(able))
    return Missing(f"{words} that clears {here.lathe.name}: {too_large.tag} swings {in_unit(too_large.body)}")


def _beyond(dog: Piece, lathe: LatheOnHand) -> bool:
    """Whether it is known not to clear the bed, or its gap: a dog turns close to the headstock."""
    bed = lathe.swing_over_bed
    return dog.body is not None and bed is not None and dog.body > max(bed, lathe.gap_swing or bed)


def _over_the_slide(dog: Piece, lathe: LatheOnHand | None) -> Parts:
    if lathe is None or lathe.swing_over_slide is None or dog.body is None or dog.body <= lathe.swing_over_slide:
        return NO_PARTS
    words = (
        f"{dog.tag} swings {in_unit(dog.body)} and the cross slide clears {in_unit(lathe.swing_over_slide)}: keep the "
        "slide out from under it, and turn that end with the work turned round"
    )
    return Parts(reasons=(Reason(words, needs=dog.body, has=lathe.swing_over_slide),))


def _best(here: CribAtLathe, able: list[Piece], sizes: list[Length], driver: Piece | None) -> Piece | None:
    """Whose tail meets the driver; then the one that takes all of the ends."""
    return min(
        [dog for dog in able if dog.is_usable],
        key=lambda dog: (tail_fit(dog, driver), not all(_takes(dog, size) for size in sizes), here.preference(dog)),
        default=None,
    )


def _takes(dog: Piece, end: Length | None) -> bool:
    """Whether it is a dog whose range is known and, where it matters, takes so much."""
    low, high = dog.outside_smallest, dog.outside_largest
    return low is not None and high is not None and (end is None or low <= end <= high)


def tail_fit(dog: Piece, driver: Piece | None) -> TailFit:
    """A bent tail reaches into a slot of the plate, a straight one lies against a pin; a jaw drives either."""
    if driver is None or driver.kind != Kind.FACEPLATE:
        return TailFit.DRIVES
    if driver.slots is None or not dog.tail:
        return TailFit.OPEN
    if dog.tail == BENT:
        return TailFit.DRIVES if driver.slots else TailFit.WANTS_SLOT
    return TailFit.WANTS_PIN


def _of_tail(dog: Piece, driver: Piece | None) -> Parts:
    fit = tail_fit(dog, driver)
    if driver is None or fit is TailFit.DRIVES:
        return NO_PARTS
    if fit is TailFit.WANTS_PIN:
        return Parts(missing=(Missing(f"a driving pin in {driver.tag} for the straight tail of {dog.tag}"),))
    if fit is TailFit.WANTS_SLOT:
        return Parts(missing=(Missing(f"a dog with a straight tail: {driver.tag} has no slot for {dog.tag}"),))
    unknown = f"the tail of {dog.tag}" if not dog.tail else f"what slots {driver.tag} has"
    ask = f"{unknown} is not filled in: bent, it wants a slot that is free at its bottom; straight, a pin"
    return Parts(reasons=(Reason(ask),))
