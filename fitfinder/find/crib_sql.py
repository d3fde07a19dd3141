"""The SQL of a question, written once for SQLite and PostgreSQL.

Sizes are looked up first, by their range; then of those that are worth it the best few pieces, each sought through an
index with a LIMIT, so that the cost does not grow with the crib. Where the two databases differ: PostgreSQL joins the
picks of a size laterally, which SQLite cannot, and SQLite seeks `id IN (…)`, which PostgreSQL would try for every pair
of size and piece; a list of ids is an array for the one and JSON for the other; and SQLite has an index begin with
what is empty, so that the pieces with a reading and those without are sought apart.
"""

from __future__ import annotations

from functools import cache

from fitfinder.find.ranking import MOST_PIECES, MOST_SIZES
from fitfinder.find.shelves import MOST_LEFT_OUT
from fitfinder.holding.pieces import MOST_COUNTED

MOST_LOOKED_AT = MOST_COUNTED + MOST_SIZES * MOST_PIECES
"""With so many pieces counted there are enough further ones, whichever of them are shown."""
_PIECE_JOINS = """
    LEFT JOIN inventory_location loc ON loc.id = t.location_id
    LEFT JOIN inventory_loan loan ON loan.tool_id = t.id AND loan.returned_at IS NULL
    LEFT JOIN inventory_user who ON who.id = loan.borrower_id
"""
_READING = "LEFT JOIN inventory_inspection rd ON rd.id = t.reading_id"


def _piece_columns(*, with_reading: bool) -> str:
    """What is read of every piece; with its reading also the holder and the lathe that it was taken in."""
    read_in = "rd.in_holder_id, rd.on_lathe_id" if with_reading else "NULL, NULL"
    return f"""t.id, t.tag, t.kind, t.condition, loc.name, t.tir, {read_in}, t.mounted_on_id, t.missing_since,
    t.finding, loan.borrower_id, COALESCE(NULLIF(who.first_name, ''), who.username), loan.issued_at"""


def _collet_columns(*, with_reading: bool) -> str:
    return f"t.size_id, t.stop_thread, {_piece_columns(with_reading=with_reading)}"


_IN_SERVICE = "p.condition IN ('good', 'worn') AND p.missing_since IS NULL AND p.retired_at IS NULL"
_NOT_OUT = """NOT EXISTS (SELECT 1 FROM inventory_loan l
    WHERE l.tool_id = p.id AND l.returned_at IS NULL AND l.borrower_id <> %(asker)s)"""
_USABLE = f"{_IN_SERVICE} AND {_NOT_OUT}"
_UNFIT = "p.retired_at IS NULL AND (p.condition IN ('damaged', 'scrapped') OR p.missing_since IS NOT NULL)"

# The sizes -----------------------------------------------------------------------------------------------------------

_SHELF_COLUMNS = f"""
    s.id,
    (SELECT p.condition FROM inventory_tool p WHERE p.size_id = s.id AND {_USABLE} ORDER BY p.condition LIMIT 1),
    s.id IN (SELECT p.size_id FROM inventory_tool p
        WHERE p.mounted_on_id IS NOT NULL AND p.size_id IS NOT NULL),
    (SELECT COUNT(*) FROM (SELECT p.tag FROM inventory_tool p WHERE p.size_id = s.id AND {_UNFIT}
        ORDER BY p.tag LIMIT {MOST_PIECES}) unfit)
"""
_SHELVES = f"SELECT {_SHELF_COLUMNS} FROM inventory_size s WHERE"
_OVERLAPS = "s.shape = %(shape)s AND s.clamps_from <= %(largest)s AND s.clamps_to >= %(smallest)s"
_ACROSS_CORNERS = """s.shape = 'round' AND s.clamps_from <= %(largest_corners)s
    AND s.clamps_to >= %(smallest_corners)s"""
SHELVES_SQL = f"{_SHELVES} {_OVERLAPS}"
"""The sizes that overlap the stock, a row for each `Shelf`: which size, and what there is of it."""
SHELVES_AND_CORNERS_SQL = f"{SHELVES_SQL} UNION ALL {_SHELVES} {_ACROSS_CORNERS}"
"""As before, and the round sizes that overlap hex or square stock across its corners."""

_HAS_ONE = f"EXISTS (SELECT 1 FROM inventory_tool p WHERE p.size_id = s.id AND {_USABLE})"
# Walked outward from the stock along the index and stopped after a few: ordered by where a range begins.
NEAREST_SQL = f"""{_SHELVES} s.id IN (SELECT id FROM (SELECT s.id FROM inventory_size s WHERE s.shape = %(shape)s
    AND s.clamps_from < %(smallest)s AND s.clamps_to < %(smallest)s AND {_HAS_ONE}
    ORDER BY s.clamps_from DESC LIMIT 3) below)
    OR s.id IN (SELECT id FROM (SELECT s.id FROM inventory_size s WHERE s.shape = %(shape)s
    AND s.clamps_from > %(largest)s AND {_HAS_ONE} ORDER BY s.clamps_from LIMIT 3) above)"""
"""Up to three sizes below the stock and three above it that have a usable piece."""


@cache
def sizes_sql(vendor: str) -> str:
    """The figures of the sizes that stand in the parameter `sizes`."""
    return f"""SELECT s.id, ser.code, seat.code, s.shape, s.nominal, s.clamps_from, s.clamps_to, s.edge_bottom,
    s.edge_top, s.true_from, s.true_to, s.typical_tir, fig.passes, fig.passes_with_stop_thread
    FROM inventory_size s
    JOIN inventory_series ser ON ser.id = s.series_id
    JOIN inventory_seat seat ON seat.id = ser.seat_id
    JOIN inventory_seriesshape fig ON fig.series_id = s.series_id AND fig.shape = s.shape
    WHERE s.id IN {_ids(vendor, "sizes")}"""


# Their pieces --------------------------------------------------------------------------------------------------------


def _best(vendor: str, most: int, *, of: str = _USABLE) -> str:
    """Good before worn, then by reading, those without one last."""
    if vendor == "postgresql":
        return f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {of}
            ORDER BY p.condition, p.tir NULLS LAST, p.tag LIMIT {most}"""
    arms = [
        f"""p.condition = '{condition}' AND p.tir IS {reading} AND {of}"""
        for condition, reading in (("good", "NOT NULL"), ("good", "NULL"), ("worn", "NOT NULL"), ("worn", "NULL"))
    ]
    return _first_arms(arms, most)


def _truest(vendor: str) -> str:
    """By reading, in whatever condition, those without one last."""
    if vendor == "postgresql":
        return f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_USABLE}
            ORDER BY p.tir NULLS LAST, p.tag LIMIT {MOST_PIECES}"""
    return _first_arms([f"p.tir IS {reading} AND {_USABLE}" for reading in ("NOT NULL", "NULL")], MOST_PIECES)


def _first_arms(arms: list[str], most: int) -> str:
    """The first pieces of a size that any of these conditions holds for, the conditions in their order.

    SQLite goes through the parts of a UNION ALL one after the other and leaves off at the LIMIT, so that the later
    ones cost nothing where an earlier one has enough. An ORDER BY around them would have all of them looked for.
    """
    parts = [
        f"""SELECT id FROM (SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {arm}
        ORDER BY p.tir, p.tag LIMIT {most}) arm{number}"""
        for number, arm in enumerate(arms)
    ]
    return f"SELECT id FROM ({' UNION ALL '.join(parts)}) arms LIMIT {most}"


# The unary plus keeps SQLite from walking all pieces of the size: few pieces are mounted at all.
_MOUNTED = f"""SELECT p.id FROM inventory_tool p WHERE +p.size_id = s.id
    AND p.mounted_on_id IS NOT NULL AND {_USABLE} LIMIT {MOST_PIECES}"""
_OUT_OF_USE = f"""SELECT p.id FROM inventory_tool p WHERE p.size_id = s.id AND {_UNFIT}
    ORDER BY p.tag LIMIT {MOST_PIECES}"""
# Looked for among the best only: in a large crib the list of all that is out is nobody's answer.
_OUT_OF_BEST = 2 * MOST_PIECES


def _out(vendor: str) -> str:
    return f"""SELECT l.tool_id AS id FROM ({_best(vendor, _OUT_OF_BEST, of=_IN_SERVICE)}) b
    JOIN inventory_loan l ON l.tool_id = b.id
    WHERE l.returned_at IS NULL AND l.borrower_id <> %(asker)s LIMIT {MOST_PIECES}"""


def _ids(vendor: str, name: str) -> str:
    return (
        f"(SELECT unnest(%({name})s::bigint[]))"
        if vendor == "postgresql"
        else f"(SELECT value FROM json_each(%({name})s))"
    )


def _picked(vendor: str, columns: str, sizes: str, picks: list[str]) -> str:
    """Of each size that is named, the pieces that any of the picks chooses of it."""
    united = " UNION ".join(f"SELECT id FROM ({pick}) pick{number}" for number, pick in enumerate(picks))
    if vendor == "postgresql":
        joined = f"CROSS JOIN LATERAL ({united}) picked JOIN inventory_tool t ON t.id = picked.id"
    else:
        joined = f"JOIN inventory_tool t ON t.id IN ({united})"
    return f"SELECT {columns} FROM inventory_size s {joined} {{joins}} WHERE s.id IN {_ids(vendor, sizes)}"


def _first_of(vendor: str, picks_of: dict[str, list[str]]) -> str:
    """As `_picked`, of the sizes of several names together, but few: nearest to the stock first, then by tag."""
    columns = "t.id AS id, ABS(s.nominal - %(middle)s) AS off, s.nominal AS nominal, t.tag AS tag"
    picked = [_picked(vendor, columns, sizes, picks).format(joins="") for sizes, picks in picks_of.items()]
    first = f"SELECT id FROM ({' UNION ALL '.join(picked)} ORDER BY off, nominal, tag LIMIT {MOST_LEFT_OUT}) left_out"
    columns = _collet_columns(with_reading=False)
    return f"SELECT {columns}, 0 FROM inventory_tool t {_PIECE_JOINS} WHERE t.id IN ({first})"


@cache
def pieces_sql(vendor: str, kinds: tuple[str, ...], *, truest: bool, counted: bool, with_reading: bool) -> str:
    """The size and the columns of the pieces of the shelves that stand in the parameters named by `kinds`.

    `shown` are those that may be shown, `mounted` those of them with a piece on a lathe, `corners` the make-dos,
    `out_of_use` and `lacking` those of which pieces are left out: the first few of both together, and of a size
    without a way to a lathe only the best. With `counted`, the last column of what is `shown` says how much is usable
    on the shelves of that name. Without `with_reading` no piece may have been read in a holder or on a lathe.
    """
    columns = _collet_columns(with_reading=with_reading)
    joins = f"{_PIECE_JOINS} {_READING}" if with_reading else _PIECE_JOINS
    best = _best(vendor, MOST_PIECES)
    usable = [best, *([_truest(vendor)] if truest else [])]
    left_out = {"out_of_use": [_OUT_OF_USE, _out(vendor)], "lacking": [_best(vendor, 1)]}
    left_out = {kind: picks for kind, picks in left_out.items() if kind in kinds}
    count = f"""SELECT COUNT(*) FROM (SELECT 1 FROM inventory_tool p WHERE p.size_id IN {_ids(vendor, "counted")}
        AND {_USABLE} LIMIT {MOST_LOOKED_AT}) here"""
    parts = {
        "shown": lambda: _picked(vendor, f"{columns}, ({count if counted else '0'})", "shown", usable),
        "mounted": lambda: _picked(vendor, f"{columns}, 0", "mounted", [_MOUNTED]),
        "corners": lambda: _picked(vendor, f"{columns}, 0", "corners", [best]),
    }
    found = [parts[kind]().replace("{joins}", joins) for kind in kinds if kind in parts]
    return " UNION ALL ".join([*found, *([_first_of(vendor, left_out)] if left_out else [])])


@cache
def first_pieces_sql(vendor: str) -> str:
    """The best usable piece of each of the shelves in `shown`, without the holder that it was read in."""
    return _of_each(vendor, "shown", [_best(vendor, 1)])


@cache
def kept_out_sql(vendor: str) -> str:
    """Of each of the shelves in `kept_out` some pieces that are left out, however many the others have."""
    return _of_each(vendor, "kept_out", [_OUT_OF_USE, _out(vendor)])


def _of_each(vendor: str, sizes: str, picks: list[str]) -> str:
    columns = f"{_collet_columns(with_reading=False)}, 0"
    return _picked(vendor, columns, sizes, picks).format(joins=_PIECE_JOINS)


# Asked of each size by itself: joined, all pieces of the book would be read.
LARGEST_SQL = """SELECT (SELECT MAX(s.clamps_to) FROM inventory_size s WHERE 0 < (SELECT p.id FROM inventory_tool p
        WHERE p.size_id = s.id AND p.retired_at IS NULL LIMIT 1)),
    (SELECT MAX(t.outside_largest) FROM inventory_tool t WHERE t.size_id IS NULL AND t.retired_at IS NULL)"""
"""The largest that a collet here grips, and the largest that anything else does."""

# The rig -------------------------------------------------------------------------------------------------------------

# The last column says whether any piece was read in this holder, or on this lathe.
RIG_SQL = f"""SELECT {_piece_columns(with_reading=True)}, mi.code, mi.family, ofs.code,
    t.through, t.is_solid, t.pilot, t.jaws, t.outside_smallest, t.outside_largest, t.inside_smallest, t.inside_largest,
    t.max_rpm, t.weight_ug,
    EXISTS (SELECT 1 FROM inventory_inspection r WHERE r.in_holder_id = t.id)
    FROM inventory_tool t {_PIECE_JOINS} {_READING}
    LEFT JOIN inventory_seat mi ON mi.id = t.mounts_in_id
    LEFT JOIN inventory_seat ofs ON ofs.id = t.offers_id
    WHERE t.retired_at IS NULL AND t.kind <> 'collet' AND t.size_id IS NULL ORDER BY t.condition, t.tag"""
LATHES_SQL = """SELECT l.id, l.name, n.code, n.family, h.code, h.family, k.code, k.family, l.spindle_bore, l.nose_tir,
    EXISTS (SELECT 1 FROM inventory_inspection r WHERE r.on_lathe_id = l.id)
    FROM inventory_lathe l
    LEFT JOIN inventory_seat n ON n.id = l.nose_id
    LEFT JOIN inventory_seat h ON h.id = l.headstock_taper_id
    LEFT JOIN inventory_seat k ON k.id = l.tailstock_taper_id
    WHERE l.retired_at IS NULL AND (%(lathe)s = '' OR UPPER(l.name) = UPPER(%(lathe)s)) ORDER BY l.name"""
