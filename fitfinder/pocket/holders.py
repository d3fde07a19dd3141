"""The chucks and the blanks of a pocket card: what each takes on one lathe, judged by the methods of Find."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.job import Job
from fitfinder.holding.methods.chucks import IndependentChuck, UniversalChuck
from fitfinder.holding.methods.collets import COLLET
from fitfinder.holding.pieces import Piece, SeriesOnHand
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.rules.speed_limits import SpeedCause
from fitfinder.holding.rules.swing import jaws_stay_inside
from fitfinder.holding.rules.turning_hazards import half_of_mark
from fitfinder.holding.stock import SHAPES, Band, Stock, StockShape
from fitfinder.holding.verdicts import Reach
from fitfinder.holding.way import Way
from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.kinds import JawKind, Kind

CHUCKS = (UniversalChuck(), IndependentChuck())


class JawRange(Struct, frozen=True, kw_only=True):
    """What the jaws of a chuck take; `jaws` is empty for those that are in it, else the set that is put in first."""

    reach: Reach
    jaws: str = ""
    location: str = ""


class ChuckSpeed(Struct, frozen=True, kw_only=True):
    """What a chuck is marked and what of that counts on one lathe, in turns in a minute; None is not known."""

    marked: int | None = None
    fastest: int | None = None
    """What the lathe turns at most."""
    half_above: Length | None = None
    """Of work that is larger half of the mark counts, as the jaws reach beyond the body; None where all of it does."""

    @property
    def most(self) -> int | None:
        return min((rpm for rpm in (self.marked, self.fastest) if rpm is not None), default=None)

    @property
    def half(self) -> int | None:
        """The lower speed; None where the lathe turns no faster than that anyway."""
        if self.marked is None or self.half_above is None:
            return None
        half = int(self.marked * holding.value("speed.share_jaws_out"))
        return half if self.fastest is None or self.fastest > half else None


class CardChuck(Struct, frozen=True, kw_only=True):
    piece: Piece
    shapes: tuple[StockShape, ...]
    outside: tuple[JawRange, ...]
    inside: Reach | None
    """The bores that its jaws hold from within."""
    speed: ChuckSpeed
    doubt: str
    cautions: tuple[Caution, ...]


class CardBlank(Struct, frozen=True, kw_only=True):
    """Blanks that are alike: what they can be bored to, and where they are."""

    series: str
    bores: Reach
    pieces: tuple[Piece, ...]


def chucks_at(here: CribAtLathe, allowance: Length) -> Iterator[CardChuck]:
    for method in CHUCKS:
        for chuck in here.of_kind(*method.chosen_from):
            tried = [(one, _ways(method, one.reach, chuck, here)) for one in _ranges(chuck, here)]
            able = [(one, ways) for one, ways in tried if ways]
            if not able:
                continue
            ways = [way for _, able_ways in able for way in able_ways]
            # These were tried with work of a middle size: what its size decides is said with the size instead.
            by_size = {half_of_mark(limit) for way in ways for limit in way.speeds if limit.cause is SpeedCause.HALVED}
            yield CardChuck(
                piece=chuck,
                shapes=tuple(shape for shape in SHAPES if any(way.job.stock.shape is shape for way in ways)),
                outside=tuple(one for one, _ in able),
                inside=chuck.inside,
                speed=_speed(chuck, [one.reach for one, _ in able], here, allowance),
                doubt="; ".join(map(str, ways[0].doubts)),
                cautions=tuple(
                    dict.fromkeys(caution for way in ways for caution in way.cautions if caution not in by_size)
                ),
            )


def _speed(chuck: Piece, ranges: Iterable[Reach], here: CribAtLathe, allowance: Length) -> ChuckSpeed:
    upto = jaws_stay_inside(chuck.body) - allowance if chuck.body is not None else None
    is_beyond = upto is not None and any(reach.largest > upto for reach in ranges)
    return ChuckSpeed(
        marked=chuck.max_rpm,
        fastest=here.lathe.fastest_rpm if here.lathe is not None else None,
        half_above=upto if is_beyond else None,
    )


def _ranges(chuck: Piece, here: CribAtLathe) -> Iterator[JawRange]:
    if not chuck.is_usable:
        return
    own = chuck.outside
    if own is not None:
        yield JawRange(reach=own)
    for jaws in here.jaw_sets:
        if jaws.chuck != chuck.id or jaws.outside is None or jaws.why_not or jaws.kind == JawKind.SOFT:
            continue
        if own is None or jaws.outside.smallest < own.smallest or jaws.outside.largest > own.largest:
            yield JawRange(reach=jaws.outside, jaws="" if jaws.is_in else jaws.kind, location=jaws.location)


def _ways(method: UniversalChuck | IndependentChuck, reach: Reach, chuck: Piece, here: CribAtLathe) -> list[Way]:
    """By this chuck alone, for each shape of stock in the middle of the range; only those that are all here."""
    middle = Length((reach.smallest.nm + reach.largest.nm) // 2)
    jobs = [Job.of_stock(_stock(shape, middle)) for shape in SHAPES]
    return [way for job in jobs if (way := method.way_by(chuck, job, here)).is_here]


def blanks_at(here: CribAtLathe) -> Iterator[CardBlank]:
    """Those that can be bored here, the alike ones together."""
    alike: dict[tuple[str, Reach], list[Piece]] = {}
    of_seat = {
        entry.seat: entry for entry in sorted(here.crib.series, key=lambda entry: entry.code == entry.seat)
    }  # the series that has the name of the seat, where there are several
    for blank in here.of_kind(Kind.MACHINABLE_COLLET):
        series = of_seat.get(blank.mounts_in.code) if blank.mounts_in is not None else None
        if series is not None and (bores := _bores(blank, series, here)) is not None:
            alike.setdefault((series.code, bores), []).append(blank)
    for (code, bores), pieces in sorted(alike.items(), key=lambda item: (item[0][0], item[0][1].smallest)):
        yield CardBlank(series=code, bores=bores, pieces=tuple(sorted(pieces, key=lambda one: one.tag)))


def _bores(blank: Piece, series: SeriesOnHand, here: CribAtLathe) -> Reach | None:
    """From its pilot hole to the largest of the series; None where it cannot be bored or used."""
    if blank.pilot is None or series.largest is None:
        return None
    low, high = max(blank.pilot, series.smallest or blank.pilot), series.largest
    for bore in (low, high):
        stock = _stock(StockShape.ROUND, bore)
        if blank not in here.blanks(stock) or not COLLET.way_by_blank(blank, Job.of_stock(stock), here).is_here:
            return None
    return Reach(smallest=low, largest=high)


def _stock(shape: StockShape, size: Length) -> Stock:
    return Stock(shape=shape, band=Band(size, size), read_as=f"{size} {shape}")
