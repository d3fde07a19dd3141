"""What seats on what at one lathe: what leads to a piece, which sleeves it needs, what has to come off first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from fitfinder.holding.chains import MOST_LINKS, Chain, Links, Missing
from fitfinder.holding.pieces import COLLET_KINDS, IN_THE_SPINDLE, LatheOnHand, Piece, SeatOnHand
from fitfinder.holding.routes import Routes
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

NO_LATHE = "No lathe is described, so its seat is not checked."


@dataclass(frozen=True)
class LatheRig:
    """All on hand that is no collet, as it serves one lathe; None where no lathe is described."""

    lathe: LatheOnHand | None
    rig: tuple[Piece, ...]

    def of_kind(self, *kinds: Kind) -> list[Piece]:
        return [piece for piece in self.rig if piece.kind in kinds]

    @cached_property
    def routes(self) -> Routes:
        """The ways to the seats that pieces mount in, from this lathe."""
        return Routes([] if self.lathe is None else [self.lathe], Links(self.rig))

    def has_on(self, piece: Piece) -> bool:
        """Whether the piece is on this lathe now."""
        return self.lathe is not None and piece.mounted_on == self.lathe.id

    def is_within_reach(self, piece: Piece) -> bool:
        """Whether it is on no other lathe."""
        return piece.mounted_on is None or self.has_on(piece)

    def is_free(self, piece: Piece) -> bool:
        """Whether it can be used, and is on no other lathe."""
        return piece.is_usable and self.is_within_reach(piece)

    def best(self, pieces: Iterable[Piece]) -> Piece | None:
        return min(pieces, key=self.preference, default=None)

    def preference(self, piece: Piece) -> tuple[bool, bool, bool, bool, int, str]:
        """What no other job wants, then what is on this lathe already, then good before worn, then the truest."""
        return (
            piece.is_wanted,
            not self.has_on(piece),
            not piece.is_good,
            piece.tir is None,
            piece.tir.nm if piece.tir else 0,
            piece.tag,
        )

    def chain_to(self, piece: Piece) -> Chain | Missing:
        """The best way from the lathe to the seat of the piece, or what is missing."""
        if self.lathe is None:
            return Chain(lathe=None, is_checked=False, doubt=NO_LATHE)
        if not self.is_within_reach(piece):
            return Missing(f"{piece.tag} is on another lathe")
        if (too_large := body_does_not_swing(piece, self.lathe)) is not None:
            return Missing(too_large)
        if piece.mounts_in is None:
            if self.has_on(piece):
                return Chain(lathe=self.lathe)  # whatever it mounts in: it is on
            return Chain(lathe=self.lathe, is_checked=False, doubt=f"Where {piece.tag} mounts is not filled in.")
        chain = self.routes.best_or_missing(piece.mounts_in.code)
        return self._missing_link(piece, piece.mounts_in, self.lathe, chain) if isinstance(chain, Missing) else chain

    def chains_to(self, pieces: Iterable[Piece]) -> dict[Piece, Chain]:
        """Those of the pieces that can be used and reached, each with the way to it."""
        usable = [piece for piece in pieces if piece.is_usable]
        if self.lathe is not None:
            # In a large shop most pieces are for another lathe: a look at the seat tells that.
            seats = {piece.mounts_in.code for piece in usable if piece.mounts_in is not None}
            routes = self.routes
            led_to = {seat for seat in seats if routes.are_there(seat)}
            usable = [piece for piece in usable if piece.mounts_in is None or piece.mounts_in.code in led_to]
        chains = ((piece, self.chain_to(piece)) for piece in usable)
        return {piece: chain for piece, chain in chains if isinstance(chain, Chain)}

    def sleeves_to(self, piece: Piece, socket: str) -> tuple[Piece, ...] | Missing:
        """The sleeves from a socket of the lathe to this shank, outermost first and as few as can be; empty where it
        goes in by itself."""
        shank = piece.mounts_in.code if piece.mounts_in else ""
        if shank == socket:
            return ()
        sleeves = [one for one in self.of_kind(Kind.SLEEVE) if self.is_free(one) and one.mounts_in and one.offers]
        ways: list[tuple[Piece, ...]] = [()]
        for _ in range(MOST_LINKS):
            ways = [
                (*way, one)
                for way in ways
                for one in sleeves
                if one not in way and _code(one.mounts_in) == (way[-1].offers if way else socket)
            ]
            done = [way for way in ways if way[-1].offers == shank]
            if done:
                return min(done, key=lambda way: [(one.is_wanted, not one.is_good, one.tag) for one in way])
        return self._no_sleeve(shank, socket)

    def coming_off(self, pieces: Sequence[Piece]) -> tuple[Piece, ...]:
        """What is on the nose or in a taper of the lathe now and has to make room for these pieces."""
        lathe = self.lathe
        sitting = [piece for piece in self.in_its_seats if piece not in pieces]
        if lathe is None or not sitting:
            return ()
        new = [piece for piece in pieces if piece.mounted_on != lathe.id]
        # What sits in another of these pieces, as an arbor in its sleeve, wants no seat of the lathe.
        needed = [piece.mounts_in.code for piece in new if piece.mounts_in is not None]
        for piece in new:
            if piece.offers in needed:
                needed.remove(piece.offers)
        if lathe.nose is not None and _stands_before_the_nose(new, lathe):
            needed.append(lathe.nose.code)
        return tuple([piece for piece in sitting if _code(piece.mounts_in) in needed])

    @cached_property
    def on_it(self) -> tuple[Piece, ...]:
        """What is on this lathe now."""
        return tuple(piece for piece in self.rig if self.has_on(piece))

    @cached_property
    def in_its_seats(self) -> tuple[Piece, ...]:
        """What of that is on its nose or in one of its tapers."""
        lathe = self.lathe
        seats = (lathe.nose, lathe.headstock_taper, lathe.tailstock_taper) if lathe is not None else ()
        return tuple(piece for piece in self.on_it if any(piece.mounts_on(seat) for seat in seats))

    def keys_for(self, pieces: Iterable[Piece]) -> tuple[tuple[Piece, ...], tuple[Missing, ...]]:
        """The keys and wrenches that tighten these pieces, and those that are missing.

        A key counts where the shop keeps one as a piece: what it keeps none for needs none. What is on the lathe
        already needs no key for the nose.
        """
        keys_here: list[Piece] = []
        missing: list[Missing] = []
        known = self.of_kind(Kind.KEY)
        for piece in pieces if known else ():
            for name in self._tightened(piece):
                keys = [key for key in known if name in key.fits]
                usable = LatheRig(None, ()).best(key for key in keys if key.is_usable)
                if usable is not None and usable not in keys_here:
                    keys_here.append(usable)
                elif keys and usable is None:
                    missing.append(Missing(f"no key for {piece.tag}", tuple(keys)))
        return tuple(keys_here), tuple(missing)

    def nuts_for(self, pieces: Iterable[Piece]) -> tuple[tuple[Piece, ...], tuple[Missing, ...]]:
        """The nuts that close the collet chucks among these, and those that are missing; as for keys, one counts where
        the shop keeps any for these collets as a piece."""
        nuts_here: list[Piece] = []
        missing: list[Missing] = []
        known = self.of_kind(Kind.COLLET_NUT)
        for chuck in pieces if known else ():
            if chuck.kind != Kind.COLLET_CHUCK or chuck.offers is None:
                continue
            nuts = [nut for nut in known if nut.offers == chuck.offers]
            usable = LatheRig(None, ()).best(nut for nut in nuts if nut.is_usable)
            if usable is not None:
                nuts_here.append(usable)
            elif nuts:
                missing.append(Missing(f"no {chuck.offers} nut for {chuck.tag}", tuple(nuts)))
        return tuple(nuts_here), tuple(missing)

    def _tightened(self, piece: Piece) -> list[str]:
        """What of this piece a key may be for: itself, the seat that it offers, and the seat that it is put on."""
        names = [piece.tag, piece.offers or "", "" if self.has_on(piece) else _code(piece.mounts_in)]
        return [name.upper() for name in names if name]

    def _missing_link(self, piece: Piece, seat: SeatOnHand, lathe: LatheOnHand, ways: Missing) -> Missing:
        """Which link is missing between the spindle and this piece."""
        if seat.needs_drawbar and lathe.headstock_taper is not None:
            return self._no_sleeve(seat.code, lathe.headstock_taper.code).wanted_by(piece)
        if piece.kind in COLLET_KINDS or piece.kind == Kind.EXPANDING_ARBOR:
            return Missing(f"{ways}, for {piece.tag}", lent=ways.to_fetch)
        return Missing(f"nothing leads from {lathe.name} to {seat.code}, where {piece.tag} mounts")

    def _no_sleeve(self, shank: str, socket: str) -> Missing:
        known = [one for one in self.of_kind(Kind.SLEEVE) if one.offers == shank and _code(one.mounts_in) == socket]
        return Missing(f"no sleeve from {shank} to {socket}", away(known))


def away(pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    """Those that would serve and cannot be used now."""
    return tuple(piece for piece in pieces if not piece.is_usable)


def takes_bore(piece: Piece, bore: Length) -> bool:
    """Whether a bore lies in what this piece holds from within; what is not filled in takes none."""
    low, high = piece.inside_smallest, piece.inside_largest
    return low is not None and high is not None and low <= bore <= high


def _code(seat: SeatOnHand | None) -> str:
    return seat.code if seat is not None else ""


def _stands_before_the_nose(pieces: Iterable[Piece], lathe: LatheOnHand) -> bool:
    """Whether one of these goes into the headstock taper and stands where a chuck on the nose would be."""
    head, tail = lathe.headstock_taper, lathe.tailstock_taper
    if head is None or tail is not None and head.code == tail.code:
        return False
    return any(piece.kind in IN_THE_SPINDLE and _code(piece.mounts_in) == head.code for piece in pieces)


def body_does_not_swing(piece: Piece, lathe: LatheOnHand) -> str | None:
    """Why a chuck or plate is too large for the lathe; None where it is not or that is not known."""
    most = lathe.swing_over_bed
    if most is None or piece.body is None or piece.body <= max(most, lathe.gap_swing or most):
        return None
    room = f"{in_unit(most)} over the bed" if lathe.gap_swing is None else f"{in_unit(lathe.gap_swing)} in its gap"
    return f"{piece.tag} is {in_unit(piece.body)} across, and {lathe.name} takes {room}"
