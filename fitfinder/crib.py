"""Reads what is on hand, each thing once for a question and in plain statements: the lathes, all that is no collet, and
every collet of the sizes that may hold the stock.

What every question reads is written in SQL, because Django takes longer to put such a statement together than a
database to answer it; its columns, and what is made of them, are in `crib_rows.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import TypeVar

from django.db import connection
from django.utils import timezone
from msgspec import Struct
from msgspec.structs import replace

from fitfinder.crib_rows import (
    OF_A_HOLDER,
    OF_A_LATHE,
    OF_A_PIECE,
    OF_A_SIZE,
    WITH_A_HOLDER,
    WITH_A_LATHE,
    WITH_A_PIECE,
    WITH_A_SIZE,
    LatheRow,
    collets_of,
    collets_with_sizes,
    holders_of,
    lathe_of,
    sizes_of,
)
from fitfinder.holding.pieces import (
    ColletOnHand,
    CountedOnHand,
    CribNow,
    LatheOnHand,
    Piece,
    ReservedFor,
    SeriesOnHand,
    SizeOnHand,
)
from fitfinder.holding.stock import PieceNamed, Stock, StockShape
from fitfinder.holding.verdicts import Reach
from fitfinder.holding.wants import OpenWant
from inventory.keeping.reservations import first_of_each, pushes_back, when_words
from inventory.measures.display import now
from inventory.measures.lengths import Length, Unit
from inventory.models import Kind, Lathe, Series, SeriesShape, Want
from inventory.models.kinds import CUTTERS
from inventory.models.tools import USABLE_CONDITIONS, Tool

P = TypeVar("P", bound=Piece)
LARGEST_OF_AN_EMPTY_BOOK = Length.inches("6")
ONE_INCH = Length.inches("1")
MOST_NEAR = 3
"""So many sizes beside the stock are read on either side."""


def _words(words: Iterable[str]) -> str:
    return ", ".join(f"'{word}'" for word in words)


_LATHES = f"""SELECT {OF_A_LATHE} FROM inventory_lathe l {WITH_A_LATHE}
    WHERE l.retired_at IS NULL AND (%(lathe)s = '' OR UPPER(l.name) = UPPER(%(lathe)s)) ORDER BY l.name"""
_HOLDERS = f"""SELECT {OF_A_PIECE}, {OF_A_HOLDER} FROM inventory_tool t {WITH_A_PIECE} {WITH_A_HOLDER}
    WHERE t.retired_at IS NULL AND """
# Just as the condition of the index inventory_tool_may_hold has it.
_MAY_HOLD = f"""(NOT (t.kind IN ({_words((Kind.COLLET, *CUTTERS))})) OR t.mounted_on_id IS NOT NULL
    OR (t.kind = '{Kind.TAPER_SHANK_DRILL}' AND t.mounts_in_id IS NULL))"""
_SIZES = f"SELECT {OF_A_SIZE} FROM inventory_size s {WITH_A_SIZE} WHERE "
_PIECES = f"SELECT {OF_A_PIECE} FROM inventory_tool t {WITH_A_PIECE} WHERE t.retired_at IS NULL AND "
# Of few pieces each comes with its size. Of thousands that would take a third longer than to read the sizes first.
_WITH_SIZES = f"""SELECT {OF_A_PIECE}, {OF_A_SIZE} FROM inventory_size s {WITH_A_SIZE}
    JOIN inventory_tool t ON t.size_id = s.id {WITH_A_PIECE} WHERE t.retired_at IS NULL AND """
_OVERLAPS = "s.shape = %(shape)s AND s.clamps_from <= %(largest)s AND s.clamps_to >= %(smallest)s"
_ACROSS_CORNERS = "s.shape = 'round' AND s.clamps_from <= %(largest_corners)s AND s.clamps_to >= %(smallest_corners)s"
_IN_SERVICE = f"""t.condition IN ({_words(USABLE_CONDITIONS)}) AND t.missing_since IS NULL AND t.retired_at IS NULL"""
_HAS_ONE = f"""EXISTS (SELECT 1 FROM inventory_tool t WHERE t.size_id = s.id AND {_IN_SERVICE} AND NOT EXISTS
    (SELECT 1 FROM inventory_loan l WHERE l.tool_id = t.id AND l.returned_at IS NULL AND l.borrower_id <> %(asker)s))"""

# All of the shop's own figures at once: which, of what, and the number.
_CENTER_DRILLS = "retired_at IS NULL AND (LOWER(name) LIKE '%%cent__ drill%%' OR LOWER(name) LIKE '%%zentrierbohrer%%')"
_COUNTED = f"""SELECT i.name, s.count, l.name FROM
    (SELECT id, name FROM inventory_counteditem WHERE {_CENTER_DRILLS}) i
    LEFT JOIN inventory_countedstock s ON s.item_id = i.id LEFT JOIN inventory_location l ON l.id = s.location_id
    ORDER BY i.name, i.id"""
_SHOP = f"""SELECT 'allowance', '', measuring_allowance FROM inventory_shopfigures WHERE measuring_allowance IS NOT NULL
    UNION ALL SELECT 'minutes', step, hundredths FROM inventory_workingminutes
    UNION ALL SELECT 'wants', '', COUNT(*) FROM inventory_want WHERE state IN ('wanted', 'approved', 'ordered')
    UNION ALL SELECT 'reservations', '', COUNT(*) FROM inventory_reservation
        WHERE lifted_at IS NULL AND taken_at IS NULL
    UNION ALL SELECT 'center drills', '', COUNT(*) FROM inventory_counteditem WHERE {_CENTER_DRILLS}
    UNION ALL SELECT 'jaw sets', '', COUNT(*) FROM inventory_jawset WHERE retired_at IS NULL
    UNION ALL SELECT 'grips', '', (SELECT s.clamps_to FROM inventory_size s
        WHERE EXISTS (SELECT 1 FROM inventory_tool t WHERE t.size_id = s.id AND t.retired_at IS NULL)
        ORDER BY s.clamps_to DESC LIMIT 1)
    UNION ALL SELECT 'grips', '',
        (SELECT MAX(t.outside_largest) FROM inventory_tool t
            WHERE t.retired_at IS NULL AND {_MAY_HOLD})"""


class ShopNow(Struct, frozen=True, kw_only=True):
    """What of the shop's own a question is read and answered by."""

    allowance: Length
    """How far a measurement of this shop may be out; zero until it says so."""
    minutes: dict[str, Fraction]
    """Its working minutes by the name of the step, where it has set any."""
    largest_grip: Length | None
    """The largest size that anything here can grip; None with an empty book."""
    has_wants: bool = False
    """Whether anything is asked for or on order."""
    has_reservations: bool = False
    """Whether anything may be reserved: which of it stands is judged as it is read."""
    has_center_drills: bool = False
    """Whether center drills are counted here."""
    has_jaw_sets: bool = False
    """Whether the jaws of any chuck are on file as sets."""

    @property
    def largest_bare(self) -> Length:
        """A bare number of inches above this is asked back: nothing here can grip it."""
        return max(self.largest_grip or LARGEST_OF_AN_EMPTY_BOOK, ONE_INCH)


def shop_now() -> ShopNow:
    """The shop's own figures, in one statement."""
    allowance, grips, minutes = Length(0), [], {}
    on_file: dict[str, int] = {}
    for what, step, number in _rows(_SHOP, {}):
        if what == "allowance":
            allowance = Length(number)
        elif what == "minutes":
            minutes[step] = Fraction(number, 100)
        elif what != "grips":
            on_file[what] = number
        elif number is not None:
            grips.append(Length(number))
    return ShopNow(
        allowance=allowance,
        minutes=minutes,
        largest_grip=max(grips, default=None),
        has_wants=on_file["wants"] > 0,
        has_reservations=on_file["reservations"] > 0,
        has_center_drills=on_file["center drills"] > 0,
        has_jaw_sets=on_file["jaw sets"] > 0,
    )


def center_drills() -> tuple[CountedOnHand, ...]:
    """The center drills that are counted here, each with how many there are and the place where most of them lie."""
    drills: dict[str, list[tuple[int, str]]] = {}
    for name, count, place in _rows(_COUNTED, {}):
        drills.setdefault(name, []).append((count or 0, place or ""))
    return tuple(
        CountedOnHand(name=name, count=sum(count for count, _ in lying), location=max(lying)[1])
        for name, lying in drills.items()
    )


def crib_now(stock: Stock, *, lathe: str = "", asker_id: int | None = None) -> CribNow:
    """What is on hand for this stock; a piece that is out to the asker counts as here.

    What only a gap asks for is left to `series_on_hand` and `nearest`.
    """
    return CribNow(lathes=lathes_now(lathe), rig=_holders(_MAY_HOLD, asker_id), collets=collets_for(stock, asker_id))


def whole_crib_now(*, lathe: str = "", asker_id: int | None = None) -> CribNow:
    """As `crib_now`, of every stock at once."""
    collets = _collets(sizes_of(_rows(_SIZES + "1 = 1", {})), asker_id)
    return CribNow(lathes=lathes_now(lathe), rig=_holders(_MAY_HOLD, asker_id), collets=collets)


def collets_for(stock: Stock, asker_id: int | None = None) -> tuple[ColletOnHand, ...]:
    """All collets of the sizes that may hold this stock, round ones by its corners too."""
    asked: dict[str, str | int] = {
        "shape": stock.shape,
        "smallest": stock.band.smallest.nm,
        "largest": stock.band.largest.nm,
    }
    where = _OVERLAPS
    if stock.shape != StockShape.ROUND:
        corners = stock.corner_band
        asked |= {"smallest_corners": corners.smallest.nm, "largest_corners": corners.largest.nm}
        where = f"({_OVERLAPS} OR {_ACROSS_CORNERS})"
    return _collets(sizes_of(_rows(_SIZES + where, asked)), asker_id)


def lathes_now(name: str = "") -> tuple[LatheOnHand, ...]:
    """The lathe of this name, or all."""
    return tuple([lathe_of(LatheRow._make(row)) for row in _rows(_LATHES, {"lathe": name})])


def holders_now(kinds: Iterable[str], *, asker_id: int | None = None) -> tuple[Piece, ...]:
    """All of these kinds that is no collet of a size; a piece that is out to the asker counts as here."""
    return _holders(f"t.kind IN ({_words(kinds)})", asker_id)


def _holders(where: str, asker_id: int | None) -> tuple[Piece, ...]:
    holders = holders_of(_rows(_HOLDERS + where, {}), asker_id)
    return tuple(sorted(holders, key=lambda piece: (piece.condition, piece.tag)))


def _collets(sizes: Mapping[int, SizeOnHand], asker_id: int | None) -> tuple[ColletOnHand, ...]:
    """All collets of these sizes: which they are is told, as no database guesses well how many overlap a stock."""
    if not sizes:
        return ()
    return collets_of(_rows(f"{_PIECES} t.size_id IN ({', '.join(map(str, sizes))})", {}), sizes, asker_id)


def nearest(stock: Stock, *, seats: Iterable[str], asker_id: int | None = None) -> tuple[ColletOnHand, ...]:
    """The collets of the sizes nearest to the stock that it is too large or too small for, a few on either side: those
    that mount in one of these seats, and of which a piece can be used."""
    named = {f"seat_{number}": seat for number, seat in enumerate(seats)}
    if not named:
        return ()
    size = f"""SELECT s.id FROM inventory_size s JOIN inventory_series r ON r.id = s.series_id
        JOIN inventory_seat k ON k.id = r.seat_id
        WHERE s.shape = %(shape)s AND r.holds_work AND k.code IN ({", ".join(f"%({name})s" for name in named)})
            AND {_HAS_ONE}"""
    where = f"""(s.id IN (SELECT id FROM ({size} AND s.clamps_to < %(smallest)s
            ORDER BY s.clamps_to DESC, s.id LIMIT {MOST_NEAR}) below)
        OR s.id IN (SELECT id FROM ({size} AND s.clamps_from > %(largest)s
            ORDER BY s.clamps_from, s.id LIMIT {MOST_NEAR}) above))"""
    asked: dict[str, str | int] = {
        "shape": stock.shape,
        "smallest": stock.band.smallest.nm,
        "largest": stock.band.largest.nm,
    }
    rows = _rows(_WITH_SIZES + where, {**asked, **named, "asker": asker_id or 0})
    return collets_with_sizes(rows, asker_id)


def bored_blanks(upto: Length, *, most: int, asker_id: int | None = None) -> tuple[ColletOnHand, ...]:
    """The machinable collets in service that are bored to no more than this, the largest bore first."""
    where = f"""t.kind = '{Kind.MACHINABLE_COLLET}' AND s.nominal <= %(upto)s AND {_IN_SERVICE}
        ORDER BY s.nominal DESC, t.tag LIMIT {most}"""
    return collets_with_sizes(_rows(_WITH_SIZES + where, {"upto": upto.nm}), asker_id)


def reserved_now(asker_id: int | None = None) -> dict[int, ReservedFor]:
    """By the key of a piece, the first job that it is reserved for; whose job it is sees it as free."""
    at = timezone.now()
    return {
        key: ReservedFor(
            job=row.sheet.called,
            by=row.reserved_by.first_name or row.reserved_by.username,
            begins=timezone.localtime(row.starts_at),
            when=when_words(row, now=at),
            pushes_back=pushes_back(row, now=at) and not row.is_of(asker_id),
        )
        for key, row in first_of_each(at=at).items()
    }


def as_reserved(pieces: Iterable[P], reserved: Mapping[int, ReservedFor]) -> tuple[P, ...]:
    """The same pieces, each with what it is reserved for."""
    return tuple([replace(one, reserved=reserved[one.id]) if one.id in reserved else one for one in pieces])


def open_wants(stock: Stock) -> tuple[OpenWant, ...]:
    """What purchasing was asked for and that would hold all of this stock."""
    low, high = stock.band.smallest, stock.band.largest
    rows = Want.objects.open().filter(size__shape=stock.shape, size__clamps_from__lte=low, size__clamps_to__gte=high)
    return tuple(map(_open_want, rows.select_related("size__series").order_by("asked_at")))


def _open_want(row: Want) -> OpenWant:
    assert row.size is not None, "wants of a size were asked for"
    return OpenWant(
        size=row.size.nominal,
        shape=row.size.shape,
        series=row.size.series.code,
        state=row.state,
        told_state=row.get_state_display(),
        asked_on=timezone.localdate(row.asked_at),
        expected=row.expected_on,
        is_blank=row.kind == Kind.MACHINABLE_COLLET,
    )


def _rows(sql: str, asked: Mapping[str, str | int]) -> list[tuple]:
    with connection.cursor() as cursor:
        cursor.execute(sql, asked)
        return cursor.fetchall()


def series_on_hand(shape: str) -> tuple[SeriesOnHand, ...]:
    """The figures of each series in this shape that holds work and is still bought."""
    rows = SeriesShape.objects.filter(shape=shape, series__holds_work=True, series__retired_at=None)
    return tuple([series_of(row) for row in rows.select_related("series__seat")])


def series_of(row: SeriesShape) -> SeriesOnHand:
    """The figures of a series and shape; `row` has its series and seat."""
    figures = row.figures

    def reach_of(nominal: Length) -> Reach:
        clamps = figures.clamping_range(nominal)
        return Reach(
            smallest=clamps.smallest, largest=clamps.largest, edge_bottom=row.edge_bottom, edge_top=row.edge_top
        )

    return SeriesOnHand(
        code=row.series.code,
        seat=row.series.seat.code,
        shape=StockShape(row.shape),
        smallest=row.smallest,
        largest=row.largest,
        ladder_from=row.ladder_from,
        ladder_to=row.ladder_to,
        ladder_step=row.ladder_step,
        listed=row.listed_sizes,
        closing=row.series.closing,
        reach_of=reach_of,
    )


def without_ladder(row: SeriesShape) -> SeriesOnHand:
    """As `series_of`, of a series of which no size is bought any more."""
    return replace(series_of(row), ladder_from=None, ladder_to=None, ladder_step=None, listed=())


def shop_unit() -> Unit:
    """The unit of a bare number where a question says none: the shop's, whoever asks."""
    return now().shop_unit


def unit_of_addresses() -> str:
    """What a question without a unit carries on in its address: the shop's unit, where that is not the inch."""
    return "" if shop_unit() is Unit.INCH else shop_unit().value


def piece_named(text: str) -> PieceNamed | None:
    """The piece whose tag this is; None where there is none.

    A tag has a letter first and a figure in it: what is plainly a size costs no query.
    """
    if not (text[:1].isalpha() and any(letter.isdigit() for letter in text)):
        return None
    piece = Tool.objects.tagged(text).select_related("size__series", "mounts_in").first()
    if piece is None:
        return None
    if piece.size is None:
        return PieceNamed(tag=piece.tag, what=piece.what)
    shape = StockShape(piece.size.shape)
    return PieceNamed(tag=piece.tag, what=piece.what, shape=shape, nominal=piece.size.nominal)


def is_empty() -> bool:
    """Whether no piece was ever entered: then nothing can be found, whatever is asked."""
    return not Tool.objects.exists()


def lathe_names() -> list[str]:
    return list(Lathe.objects.filter(retired_at=None).order_by("name").values_list("name", flat=True))


def series_codes() -> set[str]:
    """The series that a collet can be entered under."""
    return set(Series.objects.in_use().values_list("code", flat=True))
