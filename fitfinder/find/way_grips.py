"""A way to hold as one entry of an answer: the same pieces, run-out and cautions that the plan tells of it."""

from __future__ import annotations

from msgspec.structs import replace

from fitfinder.holding import verdicts
from fitfinder.holding.chains import Chain
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.collets.grips import GripOfStock
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.rules.support import LENGTH_NOT_TOLD
from fitfinder.holding.verdicts import Verdict
from fitfinder.holding.way import Way
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind


class WayGrip(GripOfStock, frozen=True, kw_only=True, gc=False):
    """Work in jaws, between centers, on a plate …: all that is no collet of a size."""

    way: Way

    @property
    def cautions(self) -> tuple[Caution, ...]:
        return self.way.cautions

    @property
    def reasons(self) -> tuple[str, ...]:
        """What speaks for it and against it."""
        reasons = (*self.way.reasons, *self.way.but, *self.way.doubts)
        # Find asks no length, so every way would say so.
        return tuple(str(reason) for reason in reasons if reason is not LENGTH_NOT_TOLD)

    @property
    def is_last_resort(self) -> bool:
        return bool(self.way.but)

    @property
    def name(self) -> str:
        return self.way.name

    @property
    def pieces(self) -> tuple[Piece, ...]:
        return self.way.holding


Grip = ColletGrip | WayGrip


def grip_of(way: Way) -> Grip:
    """Of a way that is all here."""
    if way.collet is not None:
        return replace(way.collet, cautions=way.cautions)
    chain = way.hold.chain if way.hold is not None else _chain_of(way)
    reach = way.hold.reach if way.hold is not None else _reach_of_dog(way)
    band = (way.hold.band if way.hold is not None else None) or way.job.stock.corner_band
    return WayGrip(
        method=way.method,
        piece=way.hold.piece if way.hold is not None else way.holding[-1],
        chain=chain,
        reach=reach,
        held=band,
        held_on=way.job.stock.shape,
        verdict=verdicts.judge(band, reach) if reach is not None else Verdict.HOLDS,
        margin=verdicts.margin(band, reach) if reach is not None else Length(0),
        runout=way.of_one_gripping,
        meets_tir=way.meets,
        bar=way.job.stock.across_corners if way.by.grips_a_length else None,
        way=way,
    )


def _chain_of(way: Way) -> Chain:
    """Of work that centers carry: all before the center in the tailstock."""
    doubt = "; ".join(map(str, way.doubts))
    return Chain(lathe=way.lathe, links=way.holding[:-1], is_checked=not way.doubts, doubt=doubt)


def _reach_of_dog(way: Way) -> verdicts.Reach | None:
    return next((piece.outside for piece in way.pieces if piece.kind == Kind.LATHE_DOG), None)
