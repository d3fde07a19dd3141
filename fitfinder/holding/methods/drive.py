"""What carries and turns work between centers: a faceplate and a spindle center, or a soft center that is turned in a
chuck; the dog, and the tailstock center."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from fitfinder.holding import runout
from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.mechanics.starts import divides
from fitfinder.holding.methods.dogs import dogs_for
from fitfinder.holding.parts import NO_PARTS, Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, LatheOnHand, Piece
from fitfinder.holding.rules.center_drilling import drill_chuck
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.support import lubricated, tailstock_center
from fitfinder.holding.seats import away
from inventory.measures.display import now
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding, practice
from inventory.reference.center_drills import CenterHole
from inventory.reference.kinds import Kind
from inventory.reference.place_words import place_words


class Driver(Struct, frozen=True, kw_only=True, gc=False):
    """What is on the spindle: a plate or a chuck after the `chain` to it, and the center in the headstock taper."""

    parts: Parts
    piece: Piece | None = None
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


class Drive(Struct, frozen=True, kw_only=True, gc=False):
    """All that carries and turns work between centers."""

    parts: Parts
    chain: Chain | None = None
    """The way to what drives the dog; None where nothing does."""
    driver: Piece | None = None
    dog: Piece | None = None
    tail: Piece | None = None
    drill: tuple[Piece, ...] = ()
    """The drill chuck for its center holes, after the sleeves that it needs."""
    head: Length | None = None
    """What the center in the headstock runs out: nothing where it was cut in place, None where that is not known."""

    @property
    def run(self) -> runout.Part:
        """How truly the two centers keep the axis; not known with a worn one that nobody read."""
        # A soft one is cut anew, whatever it was before.
        centers = [piece for piece in self.parts.pieces if piece.kind in CENTER_KINDS and piece.shank is None]
        is_doubtful = any(piece.is_worn and piece.tir is None for piece in centers)
        typical = None if is_doubtful else practice.run_out("between centers").typical
        return runout.Part("between centers", typical, runout.UNKNOWN if typical is None else runout.TYPICAL)


def by_a_plate(
    here: CribAtLathe, ends: Iterable[Length], *, hole: CenterHole | None = None, each: Fraction | None = None
) -> Drive:
    """With a dog for these ends, the sizes that it takes one after the other; `hole` is what is drilled in them, and
    `each` what lies on one of them, in pounds."""
    lathe = here.lathe
    if lathe is None or lathe.nose is None:
        return _NO_NOSE
    return _drive(here, _plate(here, lathe), ends, hole, each)


def by_a_soft_center(
    here: CribAtLathe,
    ends: Iterable[Length],
    *,
    hole: CenterHole | None = None,
    starts: int = 1,
    each: Fraction | None = None,
) -> Drive:
    """The same by a point turned on scrap in a chuck, whose jaw drives the dog; for several starts one that divides."""
    lathe = here.lathe
    if lathe is None or lathe.nose is None:
        return _NO_NOSE
    return _drive(here, _chuck(here, lathe, starts), ends, hole, each)


def for_an_arbor(here: CribAtLathe, end: Length | None) -> Drive:
    """By a plate where there is one, else by a soft center; the dog takes the end of the arbor."""
    ends = () if end is None else (end,)
    by_plate = by_a_plate(here, ends)
    if by_plate.driver is not None:
        return by_plate
    by_chuck = by_a_soft_center(here, ends)
    return by_chuck if by_chuck.driver is not None else by_plate


_NO_NOSE = Drive(parts=Parts(missing=(Missing("the spindle nose is not described"),)))


def _drive(
    here: CribAtLathe, driver: Driver, ends: Iterable[Length], hole: CenterHole | None, each: Fraction | None
) -> Drive:
    dogs, dog = dogs_for(here, ends, driver.piece)
    center = tailstock_center(here, but=driver.center, each=each)
    drill = drill_chuck(here, hole) if hole is not None else NO_PARTS
    return Drive(
        parts=driver.parts + dogs + drill + _tail(center),
        chain=driver.chain,
        driver=driver.piece,
        dog=dog,
        tail=None if isinstance(center, Missing) else center[-1],
        drill=drill.pieces,
        head=driver.head,
    )


def _plate(here: CribAtLathe, lathe: LatheOnHand) -> Driver:
    plates = here.of_kind(Kind.FACEPLATE)
    seated = _seated(plates, here)
    center = _spindle_center(here, lathe)
    if seated is None or isinstance(center, Missing):
        missing = [] if seated is not None else [Missing(f"no faceplate for the nose of {lathe.name}", away(plates))]
        missing += [center] if isinstance(center, Missing) else []
        return Driver(parts=Parts(missing=tuple(missing)))
    plate, chain = seated
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
    return Driver(parts=parts, piece=plate, chain=chain, center=center)


def _chuck(here: CribAtLathe, lathe: LatheOnHand, starts: int) -> Driver:
    """The chuck that a soft center is turned in: any that holds the scrap."""
    scrap = holding.length("soft_center.scrap")
    chucks = [one for one in here.of_kind(*CHUCK_KINDS) if one.outside_largest is None or one.outside_largest >= scrap]
    able = [chuck for chuck in chucks if starts == 1 or divides(chuck.jaws, starts)]
    seated = _seated(able, here) or _seated(chucks, here)
    if seated is None:
        missing = Missing(f"no chuck to turn a soft center in, for the nose of {lathe.name}", away(chucks))
        return Driver(parts=Parts(missing=(missing,)))
    chuck, chain = seated
    center = here.best(one for one in here.of_kind(Kind.DEAD_CENTER) if one.is_usable and _is_gripped_by(chuck, one))
    what = (
        f"Grip the soft center {center.tag}{fetched_from(center, here)}" if center else _SCRAP.format(_scrap_in_words())
    )
    turned = "cut its point anew" if center else "turn a 60 degree point"
    turn = SetupStep(
        f"{what} in {chuck.tag} and {turned}: compound at 30 degrees. "
        "It runs true as long as nothing moves in the chuck; gripped again, it is cut again.",
        (chuck,) if center is None else (chuck, center),
        Act.TURN_SOFT_CENTER,
    )
    point = f"the point of {center.tag} is cut anew" if center else "a 60 degree point is turned on scrap"
    parts = Parts(
        pieces=(*chain.links, chuck) if center is None else (*chain.links, chuck, center),
        reasons=(Reason(f"{point} in {chuck.tag}; a jaw drives the dog"),),
        steps=(turn,),
        # Once for the lot: whatever is turned end for end, it stays as it was cut.
        effort=here.fitting(chuck, chain) + Effort(fit=here.minutes.of("soft center turned")),
    )
    return Driver(parts=parts, piece=chuck, chain=chain)


_SCRAP = "Grip scrap of {} or more"


def _is_gripped_by(chuck: Piece, center: Piece) -> bool:
    """Whether it is a soft center, kept for its next use, whose shank these jaws take."""
    low, high = chuck.outside_smallest, chuck.outside_largest
    return center.shank is not None and (low is None or low <= center.shank) and (high is None or center.shank <= high)


def _scrap_in_words() -> str:
    return in_unit(holding.length(f"soft_center.scrap{'.si' if now().is_metric else ''}"))


def fetched_from(piece: Piece, here: CribAtLathe) -> str:
    """` from drawer E2`; empty for what is on the lathe or with the one who asks."""
    is_at_hand = piece.is_with_asker or here.has_on(piece)
    return f" from {place_words(piece.location)}" if piece.location and not is_at_hand else ""


def _seated(pieces: Iterable[Piece], here: CribAtLathe) -> tuple[Piece, Chain] | None:
    """The best of these that goes on the spindle, and the way to it."""
    chains = here.chains_to(piece for piece in pieces if piece.mounts_in is not None)
    best = here.best(chains)
    return (best, chains[best]) if best is not None else None


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
        sleeved_center = min(
            sleeved, key=lambda piece: (piece.is_wanted, len(sleeved[piece]), not piece.is_good, piece.tag)
        )
        return (*sleeved[sleeved_center], sleeved_center)
    lacking = [sleeves.wanted_by(piece) for piece, sleeves in tried.items() if isinstance(sleeves, Missing)]
    return Missing(f"no spindle center for the {taper} headstock{f': {lacking[0]}' if lacking else ''}")


def _tail(center: tuple[Piece, ...] | Missing) -> Parts:
    if isinstance(center, Missing):
        return Parts(missing=(center,))
    is_live = center[-1].kind == Kind.LIVE_CENTER
    return Parts(pieces=center, steps=() if is_live else (lubricated(center[-1]),))
