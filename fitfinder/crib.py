"""The only module that turns rows into the plain objects the core takes.

The SQL is in `crib_sql.py`.
"""

from __future__ import annotations

from datetime import date

from django.db import connection

from fitfinder.crib_sql import COUNT_SQL, LATHES_SQL, RIG_SQL, collets_sql, corners_sql
from fitfinder.pieces import CribNow, LatheOnHand, Piece, Seat, SeriesOnHand, SizeOnHand
from fitfinder.ranking import MOST_PIECES, MOST_SIZES
from fitfinder.stock import Band, Stock, across_corners
from fitfinder.verdicts import Reach
from inventory.lengths import Length
from inventory.models import Kind, Series, SeriesShape
from inventory.models.tools import NEEDED_DETAILS, Tool


def crib_now(stock: Stock, *, lathe: str = "", asker_id: int | None = None, is_tir_asked: bool = False) -> CribNow:
    """What is on hand for this stock, without the series' ladders, which only a gap asks for.

    A piece that is out to the asker counts as here.
    """
    asked = _parameters(stock.shape, stock.band, asker_id)
    collets = _collets(_rows(collets_sql(connection.vendor, truest=is_tir_asked), asked), asker_id)
    overlapping = [piece for piece in collets if not _is_beside(stock.band, piece.size.reach)]
    return CribNow(
        lathes=tuple(_lathe(row) for row in _rows(LATHES_SQL, {"lathe": lathe})),
        rig=tuple(_rig_piece(row, asker_id) for row in _rows(RIG_SQL, {})),
        collets=tuple(overlapping),
        further=_further(asked, [piece for piece in overlapping if piece.is_usable]),
        corner_collets=tuple(_corner_collets(stock, asker_id)),
        nearest=tuple(piece for piece in collets if _is_beside(stock.band, piece.size.reach)),
    )


def largest_grip() -> Length | None:
    """The largest size that anything here can grip; None with an empty book."""
    row = _rows(
        """SELECT (SELECT MAX(s.clamps_to) FROM inventory_size s JOIN inventory_tool p ON p.size_id = s.id
        WHERE p.retired_at IS NULL), (SELECT MAX(outside_largest) FROM inventory_tool WHERE retired_at IS NULL)""",
        {},
    )[0]
    sizes = [size for size in row if size is not None]
    return Length(max(sizes)) if sizes else None


def size_of_tag(tag: str) -> tuple[str, Length] | None:
    """Shape and size of the collet with this tag, None where there is none."""
    found = Tool.objects.tagged(tag).filter(size__isnull=False).values_list("size__shape", "size__nominal").first()
    return found


def lathe_names() -> list[str]:
    return [row[1] for row in _rows(LATHES_SQL, {"lathe": ""})]


def series_codes() -> set[str]:
    """The series that a collet can be entered under."""
    return set(Series.objects.values_list("code", flat=True))


def series_on_hand(shape: str) -> list[SeriesOnHand]:
    rows = SeriesShape.objects.filter(shape=shape).select_related("series__seat")
    return [
        SeriesOnHand(
            code=row.series.code,
            seat=row.series.seat.code,
            shape=row.shape,
            smallest=row.smallest,
            largest=row.largest,
            ladder_from=row.ladder_from,
            ladder_to=row.ladder_to,
            ladder_step=row.ladder_step,
            reach_of=_reach_of(row),
        )
        for row in rows
    ]


def _reach_of(row: SeriesShape):
    figures = row.figures

    def reach(nominal: Length) -> Reach:
        clamps = figures.clamping_range(nominal)
        return Reach(
            smallest=clamps.smallest,
            largest=clamps.largest,
            edge_bottom=row.edge_bottom,
            edge_top=row.edge_top,
        )

    return reach


def _rows(sql: str, parameters: dict) -> list[tuple]:
    with connection.cursor() as cursor:
        cursor.execute(sql, parameters)
        return cursor.fetchall()


def _parameters(shape: str, band: Band, asker_id: int | None) -> dict:
    return {"shape": shape, "smallest": band.smallest.nm, "largest": band.largest.nm, "asker": asker_id or 0}


def _corner_collets(stock: Stock, asker_id: int | None) -> list[Piece]:
    if stock.shape == "round":
        return []
    corners = Band(across_corners(stock.shape, stock.band.smallest), across_corners(stock.shape, stock.band.largest))
    return _collets(_rows(corners_sql(connection.vendor), _parameters("round", corners, asker_id)), asker_id)


def _further(asked: dict, here: list[Piece]) -> int:
    """How many more pieces there are than were fetched; counted only where a LIMIT was reached."""
    counts: dict[int, int] = {}
    for piece in here:
        counts[piece.size.id] = counts.get(piece.size.id, 0) + 1
    if len(counts) <= MOST_SIZES and all(count <= MOST_PIECES for count in counts.values()):
        return 0
    return max(0, _rows(COUNT_SQL, asked)[0][0] - len(here))


def _is_beside(band: Band, reach: Reach) -> bool:
    return reach.largest < band.smallest or band.largest < reach.smallest


def _collets(rows: list[tuple], asker_id: int | None) -> list[Piece]:
    return [_collet(row, asker_id) for row in rows]


def _collet(row: tuple, asker_id: int | None) -> Piece:
    (
        size_id,
        series,
        seat,
        shape,
        nominal,
        low,
        high,
        edge_bottom,
        edge_top,
        true_from,
        true_to,
        typical,
        passes,
    ) = row[:13]
    size = SizeOnHand(
        id=size_id,
        series=series,
        seat=seat,
        shape=shape,
        nominal=Length(nominal),
        reach=Reach(
            smallest=Length(low),
            largest=Length(high),
            edge_bottom=Length(edge_bottom),
            edge_top=Length(edge_top),
            true_from=_length(true_from),
            true_to=_length(true_to),
        ),
        passes=_length(passes),
        typical_tir=_length(typical),
    )
    return Piece(**_common(row[13:26], asker_id), size=size)


def _common(row: tuple, asker_id: int | None) -> dict:
    (piece_id, tag, kind, condition, place, tir, in_holder, on_lathe, mounted_on, missing, finding, borrower, who) = row
    return {
        "id": piece_id,
        "tag": tag,
        "kind": kind,
        "condition": condition,
        "location": place or "",
        "tir": _length(tir),
        "tir_in_holder": in_holder,
        "tir_on_lathe": on_lathe,
        "mounted_on": mounted_on,
        "why_not": _why_not(condition, finding, missing, who if borrower not in (None, asker_id) else None),
        "is_with_asker": borrower is not None and borrower == asker_id,
    }


def _why_not(condition: str, finding: str, missing: date | str | None, who: str | None) -> str:
    if condition in ("damaged", "scrapped"):
        return f"{condition}: {finding}" if finding else condition
    if missing is not None:
        return f"missing since {missing}"
    return f"out to {who}" if who else ""


def _rig_piece(row: tuple, asker_id: int | None) -> Piece:
    (mount, family, offers, through, solid, pilot, jaws, out_low, out_high, in_low, in_high, rpm, weight) = row[13:]
    common = _common(row[:13], asker_id)
    values = {
        "mounts_in": mount, "offers": offers, "through": through, "pilot": pilot, "jaws": jaws,
        "outside_smallest": out_low, "outside_largest": out_high, "inside_smallest": in_low, "inside_largest": in_high,
    }  # fmt: skip
    lacks = tuple(name for name in NEEDED_DETAILS.get(Kind(common["kind"]), ()) if values[name] is None)
    return Piece(
        **common,
        mounts_in=_seat(mount, family),
        offers=offers,
        through=_length(through),
        is_solid=bool(solid),
        pilot=_length(pilot),
        jaws=jaws,
        outside_smallest=_length(out_low),
        outside_largest=_length(out_high),
        max_rpm=rpm,
        weight_ug=weight,
        lacks=lacks,
    )


def _lathe(row: tuple) -> LatheOnHand:
    lathe_id, name, nose, nose_family, head, head_family, tail, tail_family, bore, nose_tir = row
    return LatheOnHand(
        id=lathe_id,
        name=name,
        nose=_seat(nose, nose_family),
        headstock_taper=_seat(head, head_family),
        tailstock_taper=_seat(tail, tail_family),
        spindle_bore=_length(bore),
        nose_tir=_length(nose_tir),
    )


def _seat(code: str | None, family: str | None) -> Seat | None:
    if code is None:
        return None
    return Seat(code, needs_drawbar=family == "taper" and code.startswith("MT"), is_thread=family == "thread")


def _length(nm: int | None) -> Length | None:
    return None if nm is None else Length(nm)
