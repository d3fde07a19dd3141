"""Reads what a question is answered from.

The SQL is in `crib_sql.py`, `from_rows.py` makes plain objects of its rows, and `shelves.py` says which sizes are worth
looking into. What a plan asks beside it is read by `plan_floor.py` and `plan_seating.py`, what purchasing and the
boards ask by `crib_sizes.py` and `shortage.py`.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from operator import itemgetter

import msgspec
from django.db import connections
from msgspec.structs import replace

from fitfinder import crib_sizes
from fitfinder.find import gaps
from fitfinder.find.crib_sql import (
    LARGEST_SQL,
    LATHES_SQL,
    MOST_LOOKED_AT,
    NEAREST_SQL,
    RIG_SQL,
    SHELVES_AND_CORNERS_SQL,
    SHELVES_SQL,
    first_pieces_sql,
    kept_out_sql,
    pieces_sql,
    sizes_sql,
)
from fitfinder.find.from_rows import lathe_of, piece_of, rig_piece_of, size_of
from fitfinder.find.memory import Memory
from fitfinder.find.shelves import Choice, Shelf, lacking, out_of_use
from fitfinder.find.ways import Ways
from fitfinder.holding.pieces import MOST_COUNTED, CribNow, LatheOnHand, Piece, SeriesOnHand, SizeOnHand
from fitfinder.holding.stock import Stock
from inventory.measures.lengths import Length
from inventory.models import Series, SeriesShape
from inventory.models.tools import Tool

_MOST_SIZES_KEPT = 5000
"""Sizes whose figures are remembered; a shop of every size of every series has some two thousand."""
_count_of = itemgetter(16)


def memory() -> Memory:
    """What is remembered of the book as it is now; asked for once for a question and handed on."""
    return Memory(connections["default"])


def crib_now(
    stock: Stock,
    *,
    lathe: str = "",
    asker_id: int | None = None,
    asked_tir: Length | None = None,
    remembered: Memory | None = None,
) -> CribNow:
    """What is on hand for this stock: of the sizes that overlap it those that can come among the best.

    Ladders and nearest sizes, which only a gap asks for, are left to `for_a_gap`. A piece that is out to the asker
    counts as here.
    """
    remembered = remembered or memory()
    lathes, rig, ways = remembered.of("rig", (lathe.upper(), asker_id), lambda: _rig_now(lathe, asker_id))
    shelves, corners = _shelves(stock, asker_id, remembered)
    is_tir_asked, with_reading = asked_tir is not None, ways.may_cover_a_reading
    book = _Book(shelves + corners, stock, asker_id, is_tir_asked=is_tir_asked, with_reading=with_reading)
    choice = Choice(shelves, stock=stock, ways=ways, asked=asked_tir)
    make_dos = Choice(corners, stock=stock, ways=ways, asked=asked_tir, corners=True)
    shown = choice.next()
    book.look(
        choice,
        make_dos,
        shown=shown,
        mounted=[shelf for shelf in shown if shelf.has_mounted],
        counted=choice.all if shown else [],
        corners=make_dos.next(),
        out_of_use=out_of_use(shelves, stock),
        lacking=lacking(shelves, ways, stock),
    )
    while not choice.is_sure or not make_dos.is_sure:
        book.look(
            choice,
            make_dos,
            shown=[] if choice.is_sure else choice.next(),
            corners=[] if make_dos.is_sure else make_dos.next(),
        )
    across = {shelf.size.id for shelf in corners}
    collets = tuple([piece for piece in book.pieces if piece.size.id not in across])
    return CribNow(
        lathes=lathes,
        rig=rig,
        ways=ways,
        shelves=tuple(shelves),
        collets=collets,
        further=MOST_COUNTED if book.counted >= MOST_LOOKED_AT else _further(book.counted, choice.all, collets),
        corner_collets=tuple([piece for piece in book.pieces if piece.size.id in across]),
    )


def _further(counted: int, shelves: list[Shelf], collets: Iterable[Piece]) -> int:
    """How many of the usable pieces that were counted on these shelves are not among the collets."""
    sizes = {shelf.size.id for shelf in shelves}
    return max(0, counted - sum(1 for piece in collets if piece.is_usable and piece.size.id in sizes))


def for_a_gap(now: CribNow, stock: Stock, *, asker_id: int | None = None, remembered: Memory | None = None) -> CribNow:
    """As `now`, with what an answer needs where no collet holds the stock.

    These are the ladders, what is left out of just the sizes that a ladder would hold the stock with, and the sizes
    nearest to the stock.
    """
    remembered = remembered or memory()
    series = remembered.of("series", stock.shape, lambda: tuple(series_on_hand(stock.shape)))
    wanted = {(entry.code, found[1].nm) for entry in series if (found := gaps.ladder_size(stock, entry)) is not None}
    left_out = _Book(now.shelves, stock, asker_id)
    left_out.look_at_kept_out([shelf for shelf in now.shelves if (shelf.size.series, shelf.size.nominal.nm) in wanted])
    known = {piece.id for piece in now.collets}
    beside = _on_shelves(_rows(NEAREST_SQL, _parameters(stock, asker_id)), remembered)
    # Whether anything lacks a link decides over a gap, and what is left out first need not be of that kind.
    without_link = lacking(now.shelves, now.ways, stock)[:1]
    best = _Book(beside + without_link, stock, asker_id)
    best.look_at_first(beside + without_link)
    ids = {shelf.size.id for shelf in beside}
    more_left_out = [*left_out.pieces, *(piece for piece in best.pieces if piece.size.id not in ids)]
    return replace(
        now,
        series=series,
        collets=now.collets + tuple(piece for piece in more_left_out if piece.id not in known),
        nearest=tuple(piece for piece in best.pieces if piece.size.id in ids),
    )


class _Book:
    """The pieces of some shelves, as far as they were looked at. Each is read once."""

    def __init__(
        self,
        shelves: Iterable[Shelf],
        stock: Stock,
        asker_id: int | None,
        *,
        is_tir_asked: bool = False,
        with_reading: bool = False,
    ) -> None:
        self._vendor = connections["default"].vendor
        self._sizes = {shelf.size.id: shelf.size for shelf in shelves}
        self._pieces: dict[int, Piece] = {}
        self._middle, self._asker_id = stock.band.middle_nm, asker_id
        self._is_tir_asked, self._with_reading = is_tir_asked, with_reading
        self.counted = 0

    @property
    def pieces(self) -> list[Piece]:
        return list(self._pieces.values())

    def look(self, *choices: Choice, **shelves: list[Shelf]) -> None:
        """Read the pieces of these shelves, by the kinds of `pieces_sql`, and let the choices see them."""
        kinds = tuple([kind for kind, found in shelves.items() if found and kind != "counted"])
        if not kinds:
            return
        counted, truest = bool(shelves.get("counted")), self._is_tir_asked
        sql = pieces_sql(self._vendor, kinds, truest=truest, counted=counted, with_reading=self._with_reading)
        found = self._read(sql, {kind: self._ids(those) for kind, those in shelves.items() if those})
        for choice in choices:
            choice.see(found)

    def look_at_first(self, shelves: list[Shelf]) -> None:
        """Read the best piece of each of these shelves."""
        if shelves:
            self._read(first_pieces_sql(self._vendor), {"shown": self._ids(shelves)})

    def look_at_kept_out(self, shelves: list[Shelf]) -> None:
        """Read some of the pieces of each of these shelves that are left out."""
        if shelves:
            self._read(kept_out_sql(self._vendor), {"kept_out": self._ids(shelves)})

    def _read(self, sql: str, ids: dict) -> list[Piece]:
        rows = _rows(sql, {**ids, "asker": self._asker_id or 0, "middle": self._middle})
        pieces, sizes, found = self._pieces, self._sizes, []
        for row in rows:
            piece = pieces.get(row[2])
            if piece is None:
                piece = pieces[row[2]] = piece_of(row, sizes[row[0]], self._asker_id)
            found.append(piece)
        self.counted = max(self.counted, *map(_count_of, rows), 0)
        return found

    def _ids(self, shelves: list[Shelf]):
        return _listed([shelf.size.id for shelf in shelves], self._vendor)


def _listed(ids: list[int], vendor: str):
    """A list of ids as a parameter of the SQL."""
    return ids if vendor == "postgresql" else msgspec.json.encode(ids).decode()


def _shelves(stock: Stock, asker_id: int | None, remembered: Memory) -> tuple[list[Shelf], list[Shelf]]:
    """The sizes that overlap the stock, and the round ones that overlap it across its corners."""
    if stock.shape == "round":
        return _on_shelves(_rows(SHELVES_SQL, _parameters(stock, asker_id)), remembered), []
    found = _on_shelves(_rows(SHELVES_AND_CORNERS_SQL, _parameters(stock, asker_id)), remembered)
    return (
        [shelf for shelf in found if shelf.size.shape == stock.shape],
        [shelf for shelf in found if shelf.size.shape != stock.shape],
    )


def _on_shelves(rows: list[tuple], remembered: Memory) -> list[Shelf]:
    """The shelves of these rows, with the figures of their sizes; those that nobody asked for yet are read now."""
    sizes: dict[int, SizeOnHand] = remembered.of("book", "sizes", dict)
    unread = [row[0] for row in rows if row[0] not in sizes]
    if unread:
        if len(sizes) > _MOST_SIZES_KEPT:
            sizes.clear()
            unread = [row[0] for row in rows]
        vendor = connections["default"].vendor
        read = map(size_of, _rows(sizes_sql(vendor), {"sizes": _listed(unread, vendor)}))
        sizes |= {size.id: size for size in read}
    # A size that was taken away between the two queries is none any more.
    return [Shelf(sizes[row[0]], *row[1:]) for row in rows if row[0] in sizes]


def _rig_now(lathe: str, asker_id: int | None) -> tuple[tuple[LatheOnHand, ...], tuple[Piece, ...], Ways]:
    """The lathes in question, all on hand that is no collet, and the ways that they make."""
    return _rig_of(tuple(_rows(LATHES_SQL, {"lathe": lathe})), tuple(_rows(RIG_SQL, {})), asker_id)


# Most writes leave the rig as it is: what was made of the same rows before is still right, ways and all.
@lru_cache(maxsize=64)
def _rig_of(
    lathe_rows: tuple[tuple, ...], rig_rows: tuple[tuple, ...], asker_id: int | None
) -> tuple[tuple[LatheOnHand, ...], tuple[Piece, ...], Ways]:
    lathes = tuple(lathe_of(row[:-1]) for row in lathe_rows)
    rig = tuple(rig_piece_of(row[:-1], asker_id) for row in rig_rows)
    read_in, read_on = (frozenset(row[0] for row in rows if row[-1]) for rows in (rig_rows, lathe_rows))
    return lathes, rig, Ways(rig, lathes, read_in=read_in, read_on=read_on)


def rig_now(*, lathe: str = "", asker_id: int | None = None) -> tuple[tuple[LatheOnHand, ...], tuple[Piece, ...]]:
    """The lathes in question and all on hand that is no collet, where nothing is asked about stock."""
    lathes, rig, _ = memory().of("rig", (lathe.upper(), asker_id), lambda: _rig_now(lathe, asker_id))
    return lathes, rig


def largest_grip(remembered: Memory | None = None) -> Length | None:
    """The largest size that anything here can grip; None with an empty book."""
    found = (remembered or memory()).of("book", "largest", lambda: _rows(LARGEST_SQL, {}))
    sizes = [size for size in found[0] if size is not None]
    return Length(max(sizes)) if sizes else None


def measuring_allowance(remembered: Memory | None = None) -> Length:
    """How far a measurement of this shop may be out; zero until it says so."""
    sql = "SELECT measuring_allowance FROM inventory_shopfigures"
    found = (remembered or memory()).of("book", "measuring", lambda: _rows(sql, {}))
    return Length(found[0][0] or 0) if found else Length(0)


def size_of_tag(tag: str) -> tuple[str, Length] | None:
    """Shape and size of the collet with this tag, None where there is none."""
    found = Tool.objects.tagged(tag).filter(size__isnull=False).values_list("size__shape", "size__nominal").first()
    return found


def is_empty() -> bool:
    """Whether no piece was ever entered: then nothing can be found, whatever is asked."""
    return not Tool.objects.exists()


def lathe_names() -> list[str]:
    return [row[1] for row in _rows(LATHES_SQL, {"lathe": ""})]


def series_codes() -> set[str]:
    """The series that a collet can be entered under."""
    return set(Series.objects.values_list("code", flat=True))


def series_on_hand(shape: str) -> list[SeriesOnHand]:
    rows = SeriesShape.objects.filter(shape=shape).select_related("series__seat")
    return [crib_sizes.series_on_hand(row) for row in rows]


def _cursor(connection):
    """With PostgreSQL one whose statements can be prepared, watched by Django as its own are."""
    if connection.vendor != "postgresql":
        return connection.cursor()
    # Imported here: it loads the driver, which a shop with SQLite does not need.
    from django.db.backends.postgresql.base import ServerBindingCursor

    connection.ensure_connection()
    return connection._prepare_cursor(ServerBindingCursor(connection.connection))


def _rows(sql: str, parameters: dict) -> list[tuple]:
    with _cursor(connections["default"]) as cursor:
        cursor.execute(sql, parameters)
        return cursor.fetchall()


def _parameters(stock: Stock, asker_id: int | None) -> dict:
    asked = {
        "shape": stock.shape,
        "smallest": stock.band.smallest.nm,
        "largest": stock.band.largest.nm,
        "asker": asker_id or 0,
    }
    if stock.shape == "round":
        return asked
    corners = stock.corner_band
    return asked | {"smallest_corners": corners.smallest.nm, "largest_corners": corners.largest.nm}
