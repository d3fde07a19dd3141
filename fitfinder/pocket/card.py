"""The pocket card: all that a shop can grip, by lathe, as anybody found it at one time.

It is judged as Find judges: a size stands on the card where Find answers “holds” on that lathe with one of its pieces.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace as replace_in

from fitfinder.holding.at_lathe import CribAtLathe, PlanCrib
from fitfinder.holding.collets.collet_choice import by_size
from fitfinder.holding.job import Job
from fitfinder.holding.methods.collets import COLLET
from fitfinder.holding.pieces import ColletOnHand, LatheOnHand, Piece, SizeOnHand
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.stock import SHAPES, Band, Stock, StockShape
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.holding.way import Way
from fitfinder.pocket.holders import CardBlank, CardChuck, blanks_at, chucks_at
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

P = TypeVar("P", bound=Piece)


class CardSize(Struct, frozen=True, kw_only=True):
    """One size that can be gripped on a lathe, and the pieces that do it, the one to take first."""

    size: SizeOnHand
    holds: Reach
    """From the smallest to the largest that may be measured of stock that it is sure to hold."""
    pieces: tuple[ColletOnHand, ...]
    cautions: tuple[Caution, ...] = ()
    """Those that not all sizes of its family have."""

    @property
    def is_bored(self) -> bool:
        """Whether it is bored here, and no size of the series."""
        return self.pieces[0].kind == Kind.MACHINABLE_COLLET


class CardFamily(Struct, frozen=True, kw_only=True):
    """The sizes of one series and shape, and the way to their seat."""

    series: str
    shape: StockShape
    sizes: tuple[CardSize, ...]
    links: tuple[Piece, ...]
    doubt: str
    """What of the way nobody described; empty where it is checked."""
    cautions: tuple[Caution, ...]

    @property
    def name(self) -> str:
        """`5C round`."""
        return f"{self.series} {self.shape}"


class CardLathe(Struct, frozen=True, kw_only=True):
    """What one lathe can grip. `lathe` is None in a shop that has described none."""

    lathe: LatheOnHand | None
    families: tuple[CardFamily, ...]
    blanks: tuple[CardBlank, ...]
    chucks: tuple[CardChuck, ...]

    @property
    def name(self) -> str:
        return self.lathe.name if self.lathe is not None else "No lathe is described"


class Card(Struct, frozen=True, kw_only=True):
    lathes: tuple[CardLathe, ...]
    reserved: tuple[str, ...] = ()
    """The tags of what could be used and is left out, as a job wants it soon."""


def card_of(crib: PlanCrib, *, allowance: Length) -> Card:
    """`allowance` is how far a measurement of this shop may be out.

    What Find pushes back, as somebody's job wants it soon, is left out: a card is read for a day or two.
    """
    now = crib.crib
    wanted = [piece.tag for piece in (*now.rig, *now.collets) if piece.is_wanted and piece.is_usable]
    if wanted:
        free = replace_in(now, rig=_free(now.rig), collets=_free(now.collets))
        crib = replace(crib, crib=free)
    lathes = tuple(_at_lathe(_on(lathe, crib), allowance) for lathe in now.lathes or (None,))
    return Card(lathes=lathes, reserved=tuple(sorted(wanted)))


def _free(pieces: Iterable[P]) -> tuple[P, ...]:
    return tuple(piece for piece in pieces if not piece.is_wanted)


def _on(lathe: LatheOnHand | None, crib: PlanCrib) -> PlanCrib:
    """The crib of a question that names this lathe."""
    return replace(crib, crib=replace_in(crib.crib, lathes=() if lathe is None else (lathe,)))


def _at_lathe(crib: PlanCrib, allowance: Length) -> CardLathe:
    here = crib.by_lathe[0]
    return CardLathe(
        lathe=here.lathe,
        families=tuple(_families(crib, here, allowance)),
        blanks=tuple(blanks_at(here)),
        chucks=tuple(chucks_at(here, allowance)),
    )


def _families(crib: PlanCrib, here: CribAtLathe, allowance: Length) -> Iterator[CardFamily]:
    families: dict[tuple[str, StockShape], list[tuple[CardSize, Way]]] = {}
    for size, pieces in by_size(crib.crib.collets):
        if here.routes.are_there(size.seat, size.is_drawn) and (held := _held(size, pieces, crib, allowance)):
            families.setdefault((size.series, size.shape), []).append(held)
    for (series, shape), entries in sorted(families.items(), key=lambda item: (item[0][0], SHAPES.index(item[0][1]))):
        entries.sort(key=lambda entry: entry[0].size.nominal)
        chains = [way.hold.chain for _, way in entries if way.hold is not None]
        every = [caution for caution in entries[0][1].cautions if all(caution in way.cautions for _, way in entries)]
        yield CardFamily(
            series=series,
            shape=shape,
            sizes=tuple(_with_cautions(entry, way, every) for entry, way in entries),
            links=chains[0].links,
            doubt=next((chain.doubt for chain in chains if not chain.is_checked), ""),
            cautions=tuple(every),
        )


def _with_cautions(entry: CardSize, way: Way, every: Collection[Caution]) -> CardSize:
    own = tuple(caution for caution in way.cautions if caution not in every)
    return replace_in(entry, cautions=own) if own else entry


def _held(
    size: SizeOnHand, pieces: Iterable[ColletOnHand], crib: PlanCrib, allowance: Length
) -> tuple[CardSize, Way] | None:
    """The size with the pieces that hold it, and the best way; None where no piece can be used."""
    holds = sure_zone(size.reach, allowance)
    if holds is None:
        return None
    job = Job.of_stock(stock_in(size, holds, allowance))
    groups = _alike(piece for piece in pieces if piece.is_usable)
    tried = {group[0]: group for group in groups}
    ways = [way for way in COLLET.ways_by(tried, job, crib) if _is_sure(way, job, crib)]
    if not ways:
        return None
    able = [one for way in ways if way.collet is not None for one in tried[way.collet.piece]]
    lathe = ways[0].lathe
    able.sort(key=lambda one: (lathe is None or one.mounted_on != lathe.id, not one.is_good, one.tag))
    return CardSize(size=size, holds=holds, pieces=tuple(able)), ways[0]


def _alike(pieces: Iterable[ColletOnHand]) -> list[list[ColletOnHand]]:
    """The pieces of a size by what Find tells them apart by: of those that are alike all hold, or none does."""
    alike: dict[tuple[object, ...], list[ColletOnHand]] = {}
    for piece in pieces:
        key = piece.stop_thread, piece.mounted_on, piece.tir_in_holder, piece.tir_on_lathe, piece.kind
        alike.setdefault(key, []).append(piece)
    return list(alike.values())


def _is_sure(way: Way, job: Job, crib: PlanCrib) -> bool:
    """Whether Find says “holds”: behind a way that nobody checked there may be one that is at the limit only."""
    if way.collet is None or way.collet.verdict is not Verdict.HOLDS or way.but:
        return False
    if way.collet.chain.is_checked:
        return True
    lead = COLLET.shortlist(job, crib).ways[0].collet
    return lead is not None and lead.verdict is Verdict.HOLDS


def sure_zone(reach: Reach, allowance: Length) -> Reach | None:
    """What may be measured of stock that is sure to be held; None where the range is narrower than the measuring."""
    low = reach.smallest + reach.edge_bottom + allowance
    high = reach.largest - reach.edge_top - allowance
    return Reach(smallest=low, largest=high) if low <= high else None


def stock_in(size: SizeOnHand, holds: Reach, allowance: Length) -> Stock:
    """Stock of the marked size, or of the one next to it that is sure to be held."""
    measured = min(max(size.nominal, holds.smallest), holds.largest)
    return Stock(
        shape=size.shape, band=Band(measured - allowance, measured + allowance), read_as=f"{size.nominal} {size.shape}"
    )
