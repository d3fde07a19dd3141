"""What carries and turns work between centers: a faceplate and a spindle center or a soft center turned in a chuck, the
dog, and the tailstock center."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fitfinder.holding import runout
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, LatheOnHand, Piece
from fitfinder.holding.seats import away
from fitfinder.holding.support import lubricated, tailstock_center
from inventory.measures.lengths import Length, named
from inventory.reference import practice
from inventory.reference.kinds import Kind


@dataclass(frozen=True)
class Driver:
    """What is on the spindle: a plate or a chuck after the `chain` to it, and the center in the headstock taper."""

    parts: Parts
    chain: Chain | None = None
    center: tuple[Piece, ...] = ()

    @property
    def head(self) -> Length | None:
        """What its center runs out with the sleeves that it sits in; a soft one is cut in place."""
        typical = practice.run_out("dead center").typical
        if not self.center:
            return Length(0) if self.parts.pieces else typical
        *sleeves, center = self.center
        shares = [runout.share_of(sleeve, typical=None) for sleeve in sleeves]
        return runout.Runout.of(*shares, runout.share_of(center, typical=typical)).total


@dataclass(frozen=True)
class Drive:
    """All that carries and turns work between centers."""

    parts: Parts
    chain: Chain | None = None
    """The way to what drives the dog; None where nothing does."""
    dog: Piece | None = None
    head: Length | None = None
    """What the center in the headstock runs out: nothing where it was cut in place, None where that is not known."""

    @property
    def run(self) -> runout.Part:
        """How truly the two centers keep the axis; not known with a worn one that nobody read."""
        centers = [piece for piece in self.parts.pieces if piece.kind in CENTER_KINDS]
        is_doubtful = any(piece.is_worn and piece.tir is None for piece in centers)
        typical = None if is_doubtful else practice.run_out("between centers").typical
        return runout.Part("between centers", typical, runout.UNKNOWN if typical is None else runout.TYPICAL)


def drive_at(here: CribAtLathe, *, across: Length | None) -> Drive:
    """The best drive at this lathe, with a dog that takes `across` the corners of the work; any dog where that is open,
    as it is for a mandrel."""
    lathe = here.lathe
    if lathe is None or lathe.nose is None:
        return Drive(Parts(missing=(Missing("the spindle nose is not described"),)))
    driver = _driver(here, lathe)
    dog = _dog(here, across)
    parts = driver.parts + (Parts(missing=(dog,)) if isinstance(dog, Missing) else Parts(pieces=(dog,)))
    parts += _tail(here, driver)
    return Drive(parts, driver.chain, None if isinstance(dog, Missing) else dog, driver.head)


def fetched_from(piece: Piece, here: CribAtLathe) -> str:
    """` from A2`; empty for what is on the lathe or with the one who asks."""
    is_at_hand = piece.is_with_asker or here.has_on(piece)
    return f" from {piece.location}" if piece.location and not is_at_hand else ""


def _driver(here: CribAtLathe, lathe: LatheOnHand) -> Driver:
    plate = _seated(here.of_kind(Kind.FACEPLATE), here)
    if plate is None:
        return _by_chuck(here, lathe, Missing("no faceplate"))
    center = _spindle_center(here, lathe)
    if isinstance(center, Missing):
        return _by_chuck(here, lathe, center, why=(Reason(str(center)),))
    return _by_plate(here, *plate, center)


def _by_plate(here: CribAtLathe, plate: Piece, chain: Chain, center: tuple[Piece, ...]) -> Driver:
    point = center[-1]
    seat = SetupStep(
        f"Wipe the headstock taper, seat {point.tag}{fetched_from(point, here)}, and see that it does not swing.",
        (point,),
        Act.SEAT,
    )
    parts = Parts(
        pieces=(*chain.links, plate, *center),
        reasons=(Reason(f"{point.tag} in the headstock, {plate.tag} drives the dog"),),
        steps=(seat,),
        effort=here.fitting(plate, chain),
    )
    return Driver(parts, chain, center)


def _by_chuck(here: CribAtLathe, lathe: LatheOnHand, lacking: Missing, *, why: tuple[Reason, ...] = ()) -> Driver:
    """A soft center instead of what is lacking; `why` it is, where that is worth a word."""
    seated = _seated(here.of_kind(*CHUCK_KINDS), here)
    if seated is None:
        missing = f"{lacking}, and no chuck to turn a soft center in, for the nose of {lathe.name}"
        return Driver(Parts(missing=(Missing(missing),)))
    chuck, chain = seated
    turn = SetupStep(
        f"Grip scrap in {chuck.tag} and turn a 60 degree point: compound at 30 degrees. It runs true as long as "
        "nothing moves in the chuck; gripped again, it is cut again.",
        (chuck,),
        Act.TURN_SOFT_CENTER,
    )
    parts = Parts(
        pieces=(*chain.links, chuck),
        reasons=(*why, Reason(f"a 60 degree point is turned on scrap in {chuck.tag}; a jaw drives the dog")),
        steps=(turn,),
        effort=here.fitting(chuck, chain),
    )
    return Driver(parts, chain)


def _seated(pieces: Iterable[Piece], here: CribAtLathe) -> tuple[Piece, Chain] | None:
    """The best of these that goes on the spindle, and the way to it."""
    chains = here.chains_to(piece for piece in pieces if piece.mounts_in is not None)
    found = here.best(chains)
    return (found, chains[found]) if found is not None else None


def _spindle_center(here: CribAtLathe, lathe: LatheOnHand) -> tuple[Piece, ...] | Missing:
    """A dead center for the headstock taper after the sleeves that it needs."""
    if lathe.headstock_taper is None:
        return Missing("no spindle center")
    taper = lathe.headstock_taper.code
    free = [piece for piece in here.of_kind(Kind.DEAD_CENTER) if here.is_free(piece) and piece.mounts_in is not None]
    direct = here.best(piece for piece in free if piece.mounts_in is not None and piece.mounts_in.code == taper)
    if direct is not None:
        return (direct,)
    tried = {piece: here.sleeves_to(piece, taper) for piece in free}
    sleeved = {piece: sleeves for piece, sleeves in tried.items() if not isinstance(sleeves, Missing)}
    if sleeved:
        found = min(sleeved, key=lambda piece: (len(sleeved[piece]), not piece.is_good, piece.tag))
        return (*sleeved[found], found)
    lacking = [sleeves.wanted_by(piece) for piece, sleeves in tried.items() if isinstance(sleeves, Missing)]
    return Missing(f"no spindle center for the {taper} headstock{f': {lacking[0]}' if lacking else ''}")


def _dog(here: CribAtLathe, across: Length | None) -> Piece | Missing:
    dogs = [piece for piece in here.of_kind(Kind.LATHE_DOG) if _takes(piece, across)]
    dog = here.best(piece for piece in dogs if piece.is_usable)
    return dog or Missing(f"no lathe dog{f' for {named(across)} in' if across else ''}", away(dogs))


def _takes(dog: Piece, across: Length | None) -> bool:
    """Whether it is a dog whose range is known and, where it matters, takes so much."""
    low, high = dog.outside_smallest, dog.outside_largest
    return low is not None and high is not None and (across is None or low <= across <= high)


def _tail(here: CribAtLathe, driver: Driver) -> Parts:
    found = tailstock_center(here, but=driver.center)
    if isinstance(found, Missing):
        return Parts(missing=(found,))
    is_live = found[-1].kind == Kind.LIVE_CENTER
    return Parts(pieces=found, steps=() if is_live else (lubricated(found[-1]),))
