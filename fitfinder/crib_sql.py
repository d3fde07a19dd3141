"""The SQL of a question, written once for SQLite and PostgreSQL.

Sizes are chosen first; of each the best few pieces are sought through an index with a LIMIT, so that the cost does not
grow with the crib. Only `_pieces_of_sizes` differs between the two: PostgreSQL joins the picks of a size laterally,
which SQLite cannot, and SQLite seeks `id IN (…)`, which PostgreSQL would try for every pair of size and piece.
"""

from __future__ import annotations

from functools import cache

from fitfinder.ranking import MOST_PIECES

MOST_COUNTED = 1000
"""Further pieces are counted up to here: how many hundreds more there are helps nobody."""

_SIZE_COLUMNS = """
    s.id, ser.code, seat.code, s.shape, s.nominal, s.clamps_from, s.clamps_to, s.edge_bottom, s.edge_top,
    s.true_from, s.true_to, s.typical_tir, fig.passes,
    fig.passes_with_stop_thread, t.stop_thread
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
_BEST_OF_SIZE = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE} AND {_NOT_OUT}
    ORDER BY p.condition, p.tir NULLS LAST, p.tag"""
_BEST = f"{_BEST_OF_SIZE} LIMIT {MOST_PIECES + 1}"
_ONE = f"{_BEST_OF_SIZE} LIMIT 1"
# Looked for among the best only: in a large crib the list of all that is out is nobody's answer.
_OUT_OF_BEST = 12
_TRUEST = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE} AND {_NOT_OUT}
    ORDER BY p.tir NULLS LAST, p.tag LIMIT {MOST_PIECES}"""
# The unary plus keeps SQLite from walking all pieces of the size: few pieces are mounted at all.
_MOUNTED = f"""SELECT p.id FROM inventory_tool p WHERE +p.size_id = s.id
    AND p.mounted_on_id IN (SELECT id FROM inventory_lathe) AND {_IN_SERVICE} AND {_NOT_OUT} LIMIT {MOST_PIECES}"""
_OUT_OF_USE = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND p.retired_at IS NULL
    AND (p.condition IN ('damaged', 'scrapped') OR p.missing_since IS NOT NULL) ORDER BY p.tag LIMIT {MOST_PIECES}"""
_OUT = f"""SELECT l.tool_id AS id FROM (SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE}
    ORDER BY p.condition, p.tir NULLS LAST, p.tag LIMIT {_OUT_OF_BEST}) b
    JOIN inventory_loan l ON l.tool_id = b.id
    WHERE l.returned_at IS NULL AND l.borrower_id <> %(asker)s LIMIT {MOST_PIECES}"""


def _pieces_of_sizes(vendor: str, where: str, *picks: str) -> str:
    """Rows of the sizes that `where` chooses, each with the pieces that any of the picks chooses of it."""
    united = " UNION ".join(f"SELECT id FROM ({pick}) pick{number}" for number, pick in enumerate(picks))
    if vendor == "postgresql":
        joined = f"CROSS JOIN LATERAL ({united}) picked JOIN inventory_tool t ON t.id = picked.id"
    else:
        joined = f"JOIN inventory_tool t ON t.id IN ({united})"
    return (
        f"SELECT {_SIZE_COLUMNS}, {_PIECE_COLUMNS} FROM inventory_size s {_JOINS} {joined} {_PIECE_JOINS} WHERE {where}"
    )


_HAS_ONE = f"EXISTS (SELECT 1 FROM inventory_tool p WHERE p.size_id = s.id AND {_IN_SERVICE} AND {_NOT_OUT})"
# Walked outward from the stock along the index and stopped after a few: ordered by where a range begins.
_NEAREST = f"""s.id IN (SELECT id FROM (SELECT s.id FROM inventory_size s WHERE s.shape = %(shape)s
    AND s.clamps_from < %(smallest)s AND s.clamps_to < %(smallest)s AND {_HAS_ONE}
    ORDER BY s.clamps_from DESC LIMIT 3) below)
    OR s.id IN (SELECT id FROM (SELECT s.id FROM inventory_size s WHERE s.shape = %(shape)s
    AND s.clamps_from > %(largest)s AND {_HAS_ONE} ORDER BY s.clamps_from LIMIT 3) above)"""
_COUNTED = f"""SELECT 1 FROM inventory_size s JOIN inventory_tool p ON p.size_id = s.id
    WHERE {_OVERLAPS} AND {_IN_SERVICE} AND {_NOT_OUT} LIMIT {MOST_COUNTED}"""
COUNT_SQL = f"SELECT COUNT(*) FROM ({_COUNTED}) counted"
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


@cache
def collets_sql(vendor: str, *, truest: bool) -> str:
    """The pieces of all sizes that overlap the stock, in use or not, and the nearest sizes beside it."""
    picks = [_BEST, _MOUNTED, _OUT_OF_USE, _OUT, *([_TRUEST] if truest else [])]
    return f"{_pieces_of_sizes(vendor, _OVERLAPS, *picks)} UNION ALL {_pieces_of_sizes(vendor, _NEAREST, _ONE)}"


@cache
def corners_sql(vendor: str) -> str:
    """The best pieces of the sizes that overlap the stock across its corners."""
    return _pieces_of_sizes(vendor, _OVERLAPS, _BEST)
