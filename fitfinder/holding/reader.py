"""Reads what ways to hold are made from: the crib, the jaw sets of its chucks, and the shop's working minutes."""

from __future__ import annotations

from msgspec.structs import replace

from fitfinder import crib
from fitfinder.crib import ShopNow
from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.collets import gaps
from fitfinder.holding.job import Job
from fitfinder.holding.pieces import ColletOnHand, CribNow, JawsOnHand, Piece, ReservedFor
from fitfinder.holding.rules.efforts import Minutes
from fitfinder.holding.rules.second_operation import turned_stock
from fitfinder.holding.stock import Stock, StockShape
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length
from inventory.models import JawSet
from inventory.reference.kinds import JawKind, Kind

MOST_BORED = 20
"""Bored blanks are looked at up to here, the largest bore first: that one has the least to be opened."""


def crib_for(stock: Stock, figures: ShopNow, *, lathe: str = "", asker_id: int | None = None) -> PlanCrib:
    """What is on hand for this stock, without what only a gap and a bored blank ask for. A piece that is out to the
    asker counts as here."""
    return _crib_for(stock, figures, _reserved(figures, asker_id), lathe=lathe, asker_id=asker_id)


def _reserved(figures: ShopNow, asker_id: int | None) -> dict[int, ReservedFor]:
    return crib.reserved_now(asker_id) if figures.has_reservations else {}


def _crib_for(
    stock: Stock, figures: ShopNow, reserved: dict[int, ReservedFor], *, lathe: str, asker_id: int | None
) -> PlanCrib:
    now = crib.crib_now(stock, lathe=lathe, asker_id=asker_id)
    if reserved:
        now = replace(now, rig=crib.as_reserved(now.rig, reserved), collets=crib.as_reserved(now.collets, reserved))
    return PlanCrib(
        crib=now,
        jaw_sets=tuple(_jaw_sets(now)) if figures.has_jaw_sets else (),
        minutes=Minutes(figures.minutes),
        center_drills=crib.center_drills() if figures.has_center_drills else (),
    )


def whole_crib_for(job: Job, figures: ShopNow, *, lathe: str = "", asker_id: int | None = None) -> PlanCrib:
    """All that any way to hold may ask for."""
    reserved = _reserved(figures, asker_id)
    plan_crib = _crib_for(job.stock, figures, reserved, lathe=lathe, asker_id=asker_id)
    collets = _with_those_for_what_is_turned(job, plan_crib.crib.collets, asker_id)
    return PlanCrib(
        crib=replace(
            plan_crib.crib,
            series=crib.series_on_hand(job.stock.shape),
            collets=crib.as_reserved(collets, reserved),
        ),
        jaw_sets=plan_crib.jaw_sets,
        bored=crib.as_reserved(_bored(job, asker_id), reserved),
        minutes=plan_crib.minutes,
        center_drills=plan_crib.center_drills,
        wants=crib.open_wants(job.stock) if figures.has_wants else (),
    )


def crib_for_every_stock(figures: ShopNow, *, lathe: str = "") -> PlanCrib:
    """What anybody finds on hand, with every collet and the figures of all series of round collets."""
    now = replace(crib.whole_crib_now(lathe=lathe), series=crib.series_on_hand(StockShape.ROUND))
    if figures.has_reservations:
        reserved = crib.reserved_now()
        now = replace(now, rig=crib.as_reserved(now.rig, reserved), collets=crib.as_reserved(now.collets, reserved))
    jaw_sets = tuple(_jaw_sets(now)) if figures.has_jaw_sets else ()
    return PlanCrib(crib=now, jaw_sets=jaw_sets, minutes=Minutes(figures.minutes))


def _with_those_for_what_is_turned(
    job: Job, collets: tuple[ColletOnHand, ...], asker_id: int | None
) -> tuple[ColletOnHand, ...]:
    """The collets of the bar, and those of what the second set-up grips."""
    stock = turned_stock(job)
    if stock is None:
        return collets
    known = {collet.id for collet in collets}
    return (*collets, *(one for one in crib.collets_for(stock, asker_id) if one.id not in known))


def _jaw_sets(now: CribNow) -> list[JawsOnHand]:
    chucks = {piece.id: piece for piece in now.rig if piece.kind == Kind.UNIVERSAL_CHUCK or piece.jaws}
    if not chucks:
        return []
    rows = list(JawSet.objects.filter(retired_at=None, chuck__in=chucks).select_related("location"))
    hard = [row for row in rows if row.kind != JawKind.SOFT]
    return [
        _jaw_set(row, chucks[row.chuck_id], [other for other in hard if other.chuck_id == row.chuck_id]) for row in rows
    ]


def _jaw_set(row: JawSet, chuck: Piece, hard: list[JawSet]) -> JawsOnHand:
    is_soft = row.kind == JawKind.SOFT
    return JawsOnHand(
        id=row.pk,
        chuck=row.chuck_id,
        kind=row.kind,
        outside=_soft_reach(row, chuck, hard) if is_soft else _reach(*row.outside),
        inside=_reach(*row.inside),
        jaw_length=row.jaw_length,
        last_bored=row.bored_to,
        is_in=row.is_in,
        location=str(row.location) if row.location else "",
        why_not="" if row.is_usable else row.condition,
    )


def _soft_reach(row: JawSet, chuck: Piece, hard: list[JawSet]) -> Reach | None:
    """What soft jaws can be bored to: from the bore that is in them, which is only ever opened, to the largest that
    the chuck holds by any of its jaws. Without any largest it stays at the bore that is in them."""
    smallest = row.bored_to or row.outside_smallest or chuck.outside_smallest
    largest = row.outside_largest or max(
        (end for end in (chuck.outside_largest, row.bored_to, *(other.outside_largest for other in hard)) if end),
        default=None,
    )
    return _reach(smallest, largest)


def _reach(smallest: Length | None, largest: Length | None) -> Reach | None:
    if smallest is None or largest is None or largest < smallest:
        return None
    return Reach(smallest=smallest, largest=largest)


def _bored(job: Job, asker_id: int | None) -> list[Piece]:
    """The bored blanks that could be opened to this stock, as they are now: each stands by its bore, and mounts in the
    seat of its series."""
    if job.stock.shape != "round":
        return []
    bored = crib.bored_blanks(gaps.bore_for(job.stock), most=MOST_BORED, asker_id=asker_id)
    return [collet.as_blank for collet in bored]
