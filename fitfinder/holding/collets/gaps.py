"""What is missing: which size of a series would hold the stock, and which blank could be bored to it."""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable, Iterator, Mapping

from msgspec import Struct

from fitfinder.holding import verdicts
from fitfinder.holding.collets.collet_choice import LeftOut
from fitfinder.holding.pieces import Piece, SeriesOnHand
from fitfinder.holding.routes import Routes
from fitfinder.holding.stock import Stock, StockShape
from fitfinder.holding.verdicts import Verdict
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

HALF_MM = 500_000


class Gap(Struct, frozen=True, kw_only=True):
    """The missing size that would hold the stock, and the blanks (tags) that could be bored to hold it."""

    series: str
    shape: str
    size: Length
    why: str
    blanks: tuple[str, ...] = ()
    is_lost: bool = False
    """Whether the shop has a piece of that size which is lost: `why` says so."""


def ladder_size(stock: Stock, series: SeriesOnHand) -> tuple[Verdict, Length] | None:
    """The size of the series that holds the whole band best, with its verdict; None where none does.

    Of flats in millimetres that is the size in millimetres too, which stands between the steps of a ladder in inches.
    """
    middle = stock.band.middle_nm
    sizes = []
    for size in [*_near_on_ladder(middle, series), *metric_sizes(stock, series)]:
        verdict = verdicts.judge(stock.band, series.reach_of(size))
        if verdict in (Verdict.HOLDS, Verdict.AT_THE_LIMIT):
            sizes.append((verdict.rank, abs(size.nm - middle), size))
    if not sizes:
        return None
    rank, _, size = min(sizes)
    return list(Verdict)[rank], size


def _near_on_ladder(middle: int, series: SeriesOnHand) -> Iterator[Length]:
    if series.listed:
        yield from sorted(series.listed, key=lambda size: abs(size.nm - middle))[:10]
        return
    if series.ladder_from is None or series.ladder_to is None or series.ladder_step is None:
        return
    step, start = series.ladder_step.nm, series.ladder_from.nm
    lowest = max(0, (middle - start) // step - 4)
    for rung in range(lowest, lowest + 10):
        size = Length(start + rung * step)
        if series.ladder_from <= size <= series.ladder_to:
            yield size


def metric_sizes(stock: Stock, series: SeriesOnHand) -> list[Length]:
    """The size in whole or half millimetres across flats that the stock is called by, where the series can have it.

    Collets for hex and square are sold so beside those in inches (common practice, no source).
    """
    size = stock.nominal or Length(stock.band.middle_nm)
    if stock.shape not in (StockShape.HEX, StockShape.SQUARE) or size.nm % HALF_MM or not size.is_metric:
        return []
    if series.smallest is None or series.largest is None or not series.smallest <= size <= series.largest:
        return []
    return [size]


def find_gap(
    stock: Stock,
    series: Iterable[SeriesOnHand],
    seats_here: Container[str],
    left_out: Collection[LeftOut],
    blanks: Iterable[Piece],
) -> Gap | None:
    """The best missing size: in a series that a lathe here takes, before others; a clear hold before the limit."""
    if any(item.lacks_link for item in left_out):
        return None  # not a size is missing but what would hold it on the lathe
    candidates = []
    for entry in series:
        if entry.shape != stock.shape:
            continue
        held_best = ladder_size(stock, entry)
        if held_best is None:
            continue
        verdict, size = held_best
        candidates.append((entry.seat not in seats_here, verdict.rank, entry.code != "5C", entry.code, size))
    if not candidates:
        return None
    elsewhere, _, _, code, size = min(candidates)
    kept_out = next((item for item in left_out if item.size is not None and item.size.is_marked(code, size)), None)
    if kept_out is not None:
        why = f"{kept_out.tag} is {kept_out.why}"
    elif elsewhere:
        why = "not in the crib, and no holder here takes the series"
    else:
        why = "not in the crib"
    return Gap(
        series=code,
        shape=stock.shape,
        size=size,
        why=why,
        blanks=tuple(piece.tag for piece in blanks),
        is_lost=kept_out is not None and kept_out.is_lost,
    )


def bore_for(stock: Stock) -> Length:
    """What a blank is bored to for this stock: its nominal size, else the middle of its band."""
    return stock.nominal or Length((stock.band.smallest.nm + stock.band.largest.nm) // 2)


def fitting_blanks(stock: Stock, rig: Iterable[Piece], series: Iterable[SeriesOnHand]) -> list[Piece]:
    """Machinable blanks that one bore fits to all of this round stock, what another job wants last: a bore is only ever
    opened."""
    if stock.shape != StockShape.ROUND:
        return []
    bore = bore_for(stock)
    # Of several series that go into one seat a blank is of the one that has its name.
    in_turn = sorted(series, key=lambda entry: entry.code == entry.seat)
    bored = {entry.seat: entry for entry in in_turn if entry.shape == StockShape.ROUND}
    blanks = [piece for piece in rig if piece.is_usable and _can_be_bored(piece, stock, bore, bored)]
    return sorted(blanks, key=lambda piece: piece.is_wanted)


def usable_blanks(stock: Stock, rig: Iterable[Piece], series: Iterable[SeriesOnHand], routes: Routes) -> list[Piece]:
    """Those that can be bored to the stock, and to whose seat a lathe leads."""
    fitting = fitting_blanks(stock, rig, series)
    return [blank for blank in fitting if blank.mounts_in is not None and routes.are_there(blank.mounts_in.code)]


def _can_be_bored(piece: Piece, stock: Stock, bore: Length, bored: Mapping[str, SeriesOnHand]) -> bool:
    if piece.kind != Kind.MACHINABLE_COLLET or piece.mounts_in is None or piece.pilot is None or piece.pilot > bore:
        return False
    series = bored.get(piece.mounts_in.code)
    if series is None or (series.largest is not None and bore > series.largest):
        return False
    return verdicts.judge(stock.band, series.reach_of(bore)) in (Verdict.HOLDS, Verdict.AT_THE_LIMIT)
