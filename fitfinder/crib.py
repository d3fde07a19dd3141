"""The only module that turns rows into the plain objects the core takes.

Sizes are chosen first, then the best few pieces of each are sought through an index with a LIMIT, so the cost of a
question does not grow with the crib. The SQL is written once and is the same on SQLite and PostgreSQL.
"""

from __future__ import annotations

from datetime import date

from django.db import connection

from fitfinder.pieces import CribNow, LatheOnHand, Piece, Seat, SeriesOnHand, SizeOnHand
from fitfinder.ranking import MOST_PIECES, MOST_SIZES
from fitfinder.stock import Band, Stock, across_corners
from fitfinder.verdicts import Reach
from inventory.lengths import Length
from inventory.models import Kind, SeriesShape
from inventory.models.tools import NEEDED_DETAILS, Tool

_SIZE_COLUMNS = """
    s.id, ser.code, seat.code, s.shape, s.nominal, s.clamps_from, s.clamps_to, s.edge_bottom, s.edge_top,
    s.true_from, s.true_to, s.typical_tir, fig.passes
"""
_PIECE_COLUMNS = """
    t.id, t.tag, t.kind, t.condition, loc.name, t.tir,
    rd.in_holder_id, rd.on_lathe_id, t.mounted_on_id, t.missing_since,
    t.finding, loan.borrower_id, COALESCE(NULLIF(who.first_name, ''), who.username)
"""
_JOINS = """
    JOIN inventory_series ser ON ser.id = s.series_id
    JOIN inventory_seat seat ON seat.id = ser.seat_id
    JOIN inventory_seriesshape fig ON fig.series_id = s.series_id AND fig.shape = s.shape
"""
_PIECE_JOINS = """
    LEFT JOIN inventory_location loc ON loc.id = t.location_id
    LEFT JOIN inventory_inspection rd ON rd.id = t.reading_id
    LEFT JOIN inventory_loan loan ON loan.tool_id = t.id AND loan.returned_at IS NULL
    LEFT JOIN inventory_user who ON who.id = loan.borrower_id
"""
_IN_SERVICE = "p.condition IN ('good', 'worn') AND p.missing_since IS NULL AND p.retired_at IS NULL"
_NOT_OUT = """NOT EXISTS (SELECT 1 FROM inventory_loan l
    WHERE l.tool_id = p.id AND l.returned_at IS NULL AND l.borrower_id <> %(asker)s)"""
_OVERLAPS = "s.shape = %(shape)s AND s.clamps_from <= %(largest)s AND s.clamps_to >= %(smallest)s"
_BEST = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE} AND {_NOT_OUT}
    ORDER BY p.condition, p.tir NULLS LAST, p.tag LIMIT {MOST_PIECES + 1}"""
_TRUEST = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE} AND {_NOT_OUT}
    ORDER BY p.tir NULLS LAST, p.tag LIMIT {MOST_PIECES}"""
_MOUNTED = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND p.mounted_on_id IS NOT NULL
    AND {_IN_SERVICE} AND {_NOT_OUT} LIMIT {MOST_PIECES}"""
_OUT_OF_USE = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND p.retired_at IS NULL
    AND (p.condition IN ('damaged', 'scrapped') OR p.missing_since IS NOT NULL) LIMIT {MOST_PIECES}"""
_OUT = f"""SELECT p.id FROM inventory_loan l JOIN inventory_tool p ON p.id = l.tool_id
    WHERE l.returned_at IS NULL AND p.size_id = s.id AND l.borrower_id <> %(asker)s AND {_IN_SERVICE}
    LIMIT {MOST_PIECES}"""


def _pieces_of_sizes(where: str, *picks: str) -> str:
    return " UNION ".join(
        f"SELECT {_SIZE_COLUMNS}, {_PIECE_COLUMNS} FROM inventory_size s {_JOINS} "
        f"JOIN inventory_tool t ON t.id IN ({pick}) {_PIECE_JOINS} WHERE {where}"
        for pick in picks
    )


_HAS_ONE = f"EXISTS (SELECT 1 FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE} AND {_NOT_OUT})"
_ONE = _BEST.replace(f"LIMIT {MOST_PIECES + 1}", "LIMIT 1")
# Walked outward from the stock along the index and stopped after a few: ordered by where a range begins.
_NEAREST = f"""s.id IN (SELECT id FROM (SELECT s.id FROM inventory_size s WHERE s.shape = %(shape)s
    AND s.clamps_from < %(smallest)s AND s.clamps_to < %(smallest)s AND {_HAS_ONE}
    ORDER BY s.clamps_from DESC LIMIT 3) below)
    OR s.id IN (SELECT id FROM (SELECT s.id FROM inventory_size s WHERE s.shape = %(shape)s
    AND s.clamps_from > %(largest)s AND {_HAS_ONE} ORDER BY s.clamps_from LIMIT 3) above)"""
COLLETS_SQL = " UNION ".join(
    (_pieces_of_sizes(_OVERLAPS, _BEST, _TRUEST, _MOUNTED, _OUT_OF_USE, _OUT), _pieces_of_sizes(_NEAREST, _ONE))
)
CORNERS_SQL = _pieces_of_sizes(_OVERLAPS, _BEST)
COUNT_SQL = f"""SELECT COUNT(*) FROM inventory_size s JOIN inventory_tool p ON p.size_id = s.id
    WHERE {_OVERLAPS} AND {_IN_SERVICE} AND {_NOT_OUT}"""
RIG_SQL = f"""SELECT {_PIECE_COLUMNS}, mi.code, mi.family, ofs.code, t.through, t.is_solid, t.pilot, t.jaws,
    t.outside_smallest, t.outside_largest, t.inside_smallest, t.inside_largest, t.max_rpm, t.weight_ug
    FROM inventory_tool t {_PIECE_JOINS}
    LEFT JOIN inventory_seat mi ON mi.id = t.mounts_in_id
    LEFT JOIN inventory_seat ofs ON ofs.id = t.offers_id
    WHERE t.retired_at IS NULL AND t.kind <> 'collet' AND t.size_id IS NULL ORDER BY t.condition, t.tag"""
LATHES_SQL = """SELECT l.id, l.name, n.code, n.family, h.code, h.family, k.code, k.family, l.spindle_bore, l.nose_tir
    FROM inventory_lathe l
    LEFT JOIN inventory_seat n ON n.id = l.nose_id
    LEFT JOIN inventory_seat h ON h.id = l.headstock_taper_id
    LEFT JOIN inventory_seat k ON k.id = l.tailstock_taper_id
    WHERE l.retired_at IS NULL AND (%(lathe)s = '' OR UPPER(l.name) = UPPER(%(lathe)s)) ORDER BY l.name"""


def crib_now(stock: Stock, *, lathe: str = "", asker_id: int | None = None) -> CribNow:
    """What is on hand for this stock, without the series' ladders, which only a gap asks for.

    A piece that is out to the asker counts as here.
    """
    asked = _parameters(stock.shape, stock.band, asker_id)
    collets = _distinct(_rows(COLLETS_SQL, asked), asker_id)
    near = [piece for piece in collets if _is_beside(stock.band, piece.size.reach)]
    collets = [piece for piece in collets if piece not in near]
    return CribNow(
        lathes=tuple(_lathe(row) for row in _rows(LATHES_SQL, {"lathe": lathe})),
        rig=tuple(_rig_piece(row, asker_id) for row in _rows(RIG_SQL, {})),
        collets=tuple(collets),
        further=_further(asked, [piece for piece in collets if piece.is_usable]),
        corner_collets=tuple(_corner_collets(stock, asker_id)),
        nearest=tuple(near),
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
    return _distinct(_rows(CORNERS_SQL, _parameters("round", corners, asker_id)), asker_id)


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


def _distinct(rows: list[tuple], asker_id: int | None) -> list[Piece]:
    return list({row[13]: _collet(row, asker_id) for row in rows}.values())


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
