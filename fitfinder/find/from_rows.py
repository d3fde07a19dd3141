"""Makes plain objects of the rows that the SQL of `crib_sql.py` reads: pieces, sizes and lathes."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from msgspec.structs import replace

from fitfinder.holding.pieces import LatheOnHand, Piece, Seat, SizeOnHand
from fitfinder.holding.verdicts import Reach
from inventory.measures.lengths import Length
from inventory.models import Kind
from inventory.models.kinds import NEEDED_DETAILS

_FIT_FOR_USE = ("good", "worn")


@lru_cache(maxsize=5000)
def size_of(row: tuple) -> SizeOnHand:
    """A size with its figures, which are the same for all of its pieces."""
    (size_id, series, seat, shape, nominal, low, high, bottom, top, true_from, true_to, tir, passes, with_thread) = row
    return SizeOnHand(
        id=size_id,
        series=series,
        seat=seat,
        shape=shape,
        nominal=Length(nominal),
        reach=Reach(
            smallest=Length(low),
            largest=Length(high),
            edge_bottom=Length(bottom),
            edge_top=Length(top),
            true_from=_length(true_from),
            true_to=_length(true_to),
        ),
        passes=_length(passes),
        passes_with_stop_thread=_length(with_thread),
        typical_tir=_length(tir),
    )


def piece_of(row: tuple, size: SizeOnHand | None, asker_id: int | None) -> Piece:
    """A piece as the person who asks finds it; of a collet `size` is its size. Some forty a question."""
    (
        _, stop_thread, piece_id, tag, kind, condition, place, tir, in_holder, on_lathe, mounted_on, missing,
        finding, borrower, who, since, *_,
    ) = row  # fmt: skip
    is_away = borrower is not None and borrower != asker_id
    is_fit = missing is None and condition in _FIT_FOR_USE and not is_away
    who = f"{who} since {str(since)[:10]}" if is_away else None
    return Piece(
        id=piece_id,
        tag=tag,
        kind=kind,
        condition=condition,
        location=place or "",
        tir=None if tir is None else Length(tir),
        tir_in_holder=in_holder,
        tir_on_lathe=on_lathe,
        mounted_on=mounted_on,
        why_not="" if is_fit else why_not(condition, finding, missing, who),
        size=size,
        is_with_asker=borrower is not None and not is_away,
        stop_thread=None if stop_thread is None else bool(stop_thread),
    )


def rig_piece_of(row: tuple, asker_id: int | None) -> Piece:
    """A piece that is no collet, as the person who asks finds it."""
    (mount, family, offers, through, solid, pilot, jaws, out_low, out_high, in_low, in_high, rpm, weight) = row[14:]
    values = {
        "mounts_in": mount, "offers": offers, "through": through, "pilot": pilot, "jaws": jaws,
        "outside_smallest": out_low, "outside_largest": out_high, "inside_smallest": in_low, "inside_largest": in_high,
    }  # fmt: skip
    needed = NEEDED_DETAILS.get(Kind(row[2]), ())
    # Of what no grip asks, like the shank of a turning tool, nothing is fetched.
    lacks = tuple(name for name in needed if name in values and values[name] is None)
    return replace(
        piece_of((None, None, *row[:14]), None, asker_id),
        mounts_in=seat_of(mount, family),
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


def lathe_of(row: tuple) -> LatheOnHand:
    lathe_id, name, nose, nose_family, head, head_family, tail, tail_family, bore, nose_tir = row
    return LatheOnHand(
        id=lathe_id,
        name=name,
        nose=seat_of(nose, nose_family),
        headstock_taper=seat_of(head, head_family),
        tailstock_taper=seat_of(tail, tail_family),
        spindle_bore=_length(bore),
        nose_tir=_length(nose_tir),
    )


def seat_of(code: str | None, family: str | None) -> Seat | None:
    if code is None:
        return None
    return Seat(code, needs_drawbar=family == "taper" and code.startswith("MT"), is_thread=family == "thread")


def why_not(condition: str, finding: str, missing: date | str | None, who: str | None) -> str:
    """Why a piece cannot be used; empty where it can. `who` has it, where somebody else has."""
    if condition not in _FIT_FOR_USE:
        return f"{condition}: {finding}" if finding else condition
    if missing is not None:
        return f"missing since {missing}"
    return f"out to {who}" if who else ""


def _length(nm: int | None) -> Length | None:
    return None if nm is None else Length(nm)
