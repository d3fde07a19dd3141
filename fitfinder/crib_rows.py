"""The rows that the crib is read in, column by column, and the objects of the core that they become."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any, NamedTuple

from django.utils import timezone

from fitfinder.holding.pieces import ColletOnHand, LatheOnHand, Piece, SeatOnHand, SizeOnHand
from fitfinder.holding.stock import StockShape
from fitfinder.holding.verdicts import Reach
from inventory.measures.day_words import missing_words
from inventory.measures.day_words import shown as day_shown
from inventory.measures.lengths import Length
from inventory.models.kinds import NEEDED_DETAILS
from inventory.pieces.lost_notes import says_lost
from inventory.reference.kinds import Kind
from inventory.reference.wear_limits import wear_figures


class PieceRow(NamedTuple):
    """What is read of every piece."""

    id: int
    size_id: int | None
    tag: str
    kind: str
    condition: str
    finding: str
    missing_since: date | None
    place: str | None
    tir: int | None
    in_holder: int | None
    on_lathe: int | None
    mounted_on: int | None
    stop_thread: bool | None
    max_rpm: int | None
    weight_ug: int | None
    borrower_id: int | None
    borrower: str | None
    issued_at: datetime | None
    due_on: date | None
    notes: str
    own_limit: int | None
    """What the shop lets its series, else its kind, run out; None where the built-in figure holds."""


OF_A_PIECE = """t.id, t.size_id, t.tag, t.kind, t.condition, t.finding, t.missing_since, place.name, t.tir,
    reading.in_holder_id, reading.on_lathe_id, t.mounted_on_id, t.stop_thread, t.max_rpm, t.weight_ug,
    loan.borrower_id, COALESCE(NULLIF(borrower.first_name, ''), borrower.username), loan.issued_at,
    loan.due_on, t.notes, COALESCE(
        (SELECT own."limit" FROM inventory_wearlimit own JOIN inventory_size z ON z.series_id = own.series_id
            WHERE z.id = t.size_id),
        (SELECT own."limit" FROM inventory_wearlimit own WHERE own.kind = t.kind))"""
WITH_A_PIECE = """LEFT JOIN inventory_location place ON place.id = t.location_id
    LEFT JOIN inventory_inspection reading ON reading.id = t.reading_id
    LEFT JOIN inventory_loan loan ON loan.tool_id = t.id AND loan.returned_at IS NULL
    LEFT JOIN inventory_user borrower ON borrower.id = loan.borrower_id"""


class SizeRow(NamedTuple):
    """What is read of a collet's size."""

    id: int
    series: str
    seat: str
    shape: str
    nominal: int
    clamps_from: int
    clamps_to: int
    edge_bottom: int
    edge_top: int
    true_from: int | None
    true_to: int | None
    passes: int | None
    passes_with_stop_thread: int | None
    typical_tir: int | None
    closing: str
    length: int | None


OF_A_SIZE = """s.id, series.code, seat.code, s.shape, s.nominal, s.clamps_from, s.clamps_to, s.edge_bottom, s.edge_top,
    s.true_from, s.true_to, figures.passes, figures.passes_with_stop_thread, s.typical_tir, series.closing,
    series.length"""
# What holds no work, as a tapping collet, is no collet to the finder.
WITH_A_SIZE = """JOIN inventory_series series ON series.id = s.series_id AND series.holds_work
    JOIN inventory_seat seat ON seat.id = series.seat_id
    JOIN inventory_seriesshape figures ON figures.series_id = s.series_id AND figures.shape = s.shape"""


def _family(seat: str) -> str:
    """The family of a seat, or that what sits in it is held by a drawbar, where the shop says so of one of its own."""
    return f"CASE WHEN {seat}.is_drawn THEN '{_DRAWN}' ELSE {seat}.family END"


_DRAWN = "drawn"


class HolderRow(NamedTuple):
    """What is read of a piece that is no collet of a size, behind what is read of every piece."""

    mounts_in: str | None
    mounts_in_family: str | None
    offers: str | None
    through: int | None
    is_solid: bool
    pilot: int | None
    jaws: int | None
    outside_smallest: int | None
    outside_largest: int | None
    inside_smallest: int | None
    inside_largest: int | None
    belongs_to: int | None
    fits: str
    step_depth: int | None
    body: int | None
    jaw_length: int | None
    tail: str
    slots: int | None
    shank: int | None
    load_ug: int | None


OF_A_HOLDER = f"""mount.code, {_family("mount")}, offers.code, t.through, t.is_solid, t.pilot, t.jaws,
    t.outside_smallest, t.outside_largest, t.inside_smallest, t.inside_largest, t.belongs_to_id, t.fits,
    t.step_depth, t.body, t.jaw_length, t.tail, t.slots, t.shank, t.load_ug"""
WITH_A_HOLDER = """LEFT JOIN inventory_seat mount ON mount.id = t.mounts_in_id
    LEFT JOIN inventory_seat offers ON offers.id = t.offers_id"""


class LatheRow(NamedTuple):
    """What is read of a lathe."""

    id: int
    name: str
    nose: str | None
    nose_family: str | None
    headstock_taper: str | None
    headstock_family: str | None
    tailstock_taper: str | None
    tailstock_family: str | None
    post: str | None
    post_family: str | None
    spindle_bore: int | None
    spindle_length: int | None
    nose_tir: int | None
    swing_over_bed: int | None
    swing_over_slide: int | None
    gap_swing: int | None
    gap_width: int | None
    between_centers: int | None
    set_over: int | None
    compound_travel: int | None
    slowest_rpm: int | None
    fastest_rpm: int | None


OF_A_LATHE = f"""l.id, l.name, nose.code, {_family("nose")}, head.code, {_family("head")}, tail.code,
    {_family("tail")}, post.code, {_family("post")}, l.spindle_bore, l.spindle_length, l.nose_tir, l.swing_over_bed,
    l.swing_over_slide, l.gap_swing, l.gap_width, l.between_centers, l.set_over, l.compound_travel,
    l.slowest_rpm, l.fastest_rpm"""
WITH_A_LATHE = """LEFT JOIN inventory_seat nose ON nose.id = l.nose_id
    LEFT JOIN inventory_seat head ON head.id = l.headstock_taper_id
    LEFT JOIN inventory_seat tail ON tail.id = l.tailstock_taper_id
    LEFT JOIN inventory_seat post ON post.id = l.post_id"""

_FIT_FOR_USE = frozenset({"good", "worn"})
_NEEDED = {kind: tuple(name for name in names if name in HolderRow._fields) for kind, names in NEEDED_DETAILS.items()}
"""Of what no grip asks, like the shank of a turning tool, nothing is read."""
_END = len(PieceRow._fields)


def sizes_of(rows: list[tuple]) -> dict[int, SizeOnHand]:
    """The sizes by their keys."""
    return {row.id: _size(row) for row in map(SizeRow._make, rows)}


def _size(row: SizeRow) -> SizeOnHand:
    return SizeOnHand(
        id=row.id,
        series=row.series,
        seat=row.seat,
        shape=StockShape(row.shape),
        nominal=Length(row.nominal),
        reach=Reach(
            smallest=Length(row.clamps_from),
            largest=Length(row.clamps_to),
            edge_bottom=Length(row.edge_bottom),
            edge_top=Length(row.edge_top),
            true_from=_length(row.true_from),
            true_to=_length(row.true_to),
        ),
        passes=_length(row.passes),
        passes_with_stop_thread=_length(row.passes_with_stop_thread),
        typical_tir=_length(row.typical_tir),
        closing=row.closing,
        length=_length(row.length),
    )


def collets_of(rows: list[tuple], sizes: Mapping[int, SizeOnHand], asker_id: int | None) -> tuple[ColletOnHand, ...]:
    """The collets, each with its size among these."""
    pieces = [(row, sizes[row.size_id]) for row in map(PieceRow._make, rows) if row.size_id is not None]
    # The tables are asked once for all pieces of a size.
    limits = {of: _built_in_limit(of[0], sizes[of[1]]) for of in {(row.kind, size.id) for row, size in pieces}}
    return tuple([_collet(row, size, limits[row.kind, size.id], asker_id) for row, size in pieces])


def collets_with_sizes(rows: list[tuple], asker_id: int | None) -> tuple[ColletOnHand, ...]:
    """As `collets_of`, of rows that have the size behind the piece."""
    sizes = sizes_of([values[_END:] for values in rows])
    return collets_of([values[:_END] for values in rows], sizes, asker_id)


def _built_in_limit(kind: str, size: SizeOnHand) -> Length | None:
    return wear_figures(kind, series=size.series, shape=size.shape, nominal=size.nominal).limit


def _collet(row: PieceRow, size: SizeOnHand, built_in_limit: Length | None, asker_id: int | None) -> ColletOnHand:
    return ColletOnHand(
        **_of_every_piece(row, asker_id),
        size=size,
        stop_thread=None if row.stop_thread is None else bool(row.stop_thread),
        tir_limit=built_in_limit if row.own_limit is None else Length(row.own_limit),
    )


def holders_of(rows: list[tuple], asker_id: int | None) -> list[Piece]:
    """The pieces that are no collet of a size; a collet on a lathe may be among the rows."""
    pairs = [(PieceRow._make(values[:_END]), HolderRow._make(values[_END:])) for values in rows]
    return [_holder(piece, row, asker_id) for piece, row in pairs if piece.size_id is None]


def _holder(piece: PieceRow, row: HolderRow, asker_id: int | None) -> Piece:
    of_every_piece = _of_every_piece(piece, asker_id)
    needed = _NEEDED.get(of_every_piece["kind"], ())
    return Piece(
        **of_every_piece,
        mounts_in=seat_of(row.mounts_in, row.mounts_in_family),
        offers=row.offers,
        through=_length(row.through),
        is_solid=bool(row.is_solid),
        pilot=_length(row.pilot),
        jaws=row.jaws,
        outside_smallest=_length(row.outside_smallest),
        outside_largest=_length(row.outside_largest),
        inside_smallest=_length(row.inside_smallest),
        inside_largest=_length(row.inside_largest),
        belongs_to=row.belongs_to,
        tightens=row.fits,
        step_depth=_length(row.step_depth),
        body=_length(row.body),
        jaw_length=_length(row.jaw_length),
        tail=row.tail,
        slots=row.slots,
        shank=_length(row.shank),
        load_ug=row.load_ug,
        lacks=() if _is_soft_center(piece, row) else tuple(name for name in needed if getattr(row, name) is None),
    )


def _is_soft_center(piece: PieceRow, row: HolderRow) -> bool:
    """One that a chuck grips, which mounts in no taper."""
    return piece.kind == Kind.DEAD_CENTER and row.shank is not None


def _of_every_piece(row: PieceRow, asker_id: int | None) -> dict[str, Any]:
    """What is known of a piece of any kind, as the person who asks finds it."""
    is_away = row.borrower_id is not None and row.borrower_id != asker_id
    is_lost = row.missing_since is not None or (bool(row.notes) and says_lost(row.notes))
    is_in_use = row.condition in _FIT_FOR_USE and not is_lost
    return {
        "id": row.id,
        "tag": row.tag,
        "kind": Kind(row.kind),
        "condition": row.condition,
        "location": row.place or "",
        "tir": _length(row.tir),
        "tir_in_holder": row.in_holder,
        "tir_on_lathe": row.on_lathe,
        "mounted_on": row.mounted_on,
        "why_not": "" if is_in_use and not is_away else _why_not(row, is_lost=is_lost),
        "is_lost": is_lost,
        "is_lent": is_away and is_in_use,
        "lent_to": (row.borrower or "") if is_away else "",
        "lent_since": _day(row.issued_at) if is_away else None,
        "due_back": row.due_on if is_away else None,
        "is_with_asker": row.borrower_id is not None and not is_away,
        "max_rpm": row.max_rpm,
        "weight_ug": row.weight_ug,
    }


def _why_not(row: PieceRow, *, is_lost: bool) -> str:
    """Why this piece, which cannot be used, cannot be."""
    if row.condition not in _FIT_FOR_USE:
        return f"{row.condition}: {row.finding}" if row.finding else row.condition
    if row.missing_since is not None:
        return missing_words(row.missing_since)
    if is_lost:
        return "lost, as its note says"
    due = f", due back {day_shown(row.due_on)}" if row.due_on is not None else ""
    day = _day(row.issued_at)
    return f"out to {row.borrower}{f' since {day_shown(day)}' if day else ''}{due}"


def _day(at: datetime | None) -> date | None:
    # SQLite keeps moments in UTC and does not say so.
    return at and timezone.localdate(at if timezone.is_aware(at) else at.replace(tzinfo=UTC))


def lathe_of(row: LatheRow) -> LatheOnHand:
    return LatheOnHand(
        id=row.id,
        name=row.name,
        nose=seat_of(row.nose, row.nose_family),
        headstock_taper=seat_of(row.headstock_taper, row.headstock_family),
        tailstock_taper=seat_of(row.tailstock_taper, row.tailstock_family),
        post=seat_of(row.post, row.post_family),
        spindle_bore=_length(row.spindle_bore),
        spindle_length=_length(row.spindle_length),
        nose_tir=_length(row.nose_tir),
        swing_over_bed=_length(row.swing_over_bed),
        swing_over_slide=_length(row.swing_over_slide),
        gap_swing=_length(row.gap_swing),
        gap_width=_length(row.gap_width),
        between_centers=_length(row.between_centers),
        set_over=_length(row.set_over),
        compound_travel=_length(row.compound_travel),
        slowest_rpm=row.slowest_rpm,
        fastest_rpm=row.fastest_rpm,
    )


def seat_of(code: str | None, family: str | None) -> SeatOnHand | None:
    if code is None:
        return None
    needs_drawbar = code == "R8" or family == _DRAWN or (family == "taper" and code.startswith("MT"))
    return SeatOnHand(code, needs_drawbar=needs_drawbar, is_thread=family == "thread")


def _length(nm: int | None) -> Length | None:
    return None if nm is None else Length(nm)
