"""All that a crib holds, as the core's objects, read in the plainest way there is.

It shares nothing with what the product reads: every piece of the book is taken up, whatever is asked.
"""

from datetime import timedelta

from django.utils import timezone

from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.pieces import (
    ColletOnHand,
    CribNow,
    LatheOnHand,
    Piece,
    ReservedFor,
    SeatOnHand,
    SeriesOnHand,
    SizeOnHand,
)
from fitfinder.holding.stock import StockShape
from fitfinder.holding.verdicts import Reach
from inventory.inspections.limits import LimitBook
from inventory.models import Kind, Lathe, Loan, Reservation, SeriesShape, Tool

ASKED_OF_A_GRIP = {
    "mounts_in", "offers", "through", "pilot", "jaws", "outside_smallest", "outside_largest", "inside_smallest",
    "inside_largest",
}  # fmt: skip


class WholeCrib:
    """What one person finds in the book as it is now."""

    def __init__(self, *, asker_id):
        self._asker_id = asker_id
        self._loans = {loan.tool_id: loan for loan in Loan.objects.filter(returned_at=None).select_related("borrower")}
        self._reserved = _reserved(asker_id)
        self._limits = LimitBook()
        self._figures = {(row.series_id, row.shape): row for row in SeriesShape.objects.select_related("series__seat")}
        rows = Tool.objects.all().select_related("size__series__seat", "mounts_in", "offers", "location", "reading")
        rows = sorted((row for row in rows if row.retired_at is None), key=lambda row: (row.condition, row.tag))
        self._pieces = [self._piece(row) for row in rows]
        self._lathes = [_lathe(row) for row in Lathe.objects.order_by("name") if row.retired_at is None]

    def now(self, stock, *, lathe=""):
        """All that is on hand for this stock, on the lathes in question."""
        return CribNow(
            lathes=tuple(one for one in self._lathes if lathe.upper() in ("", one.name.upper())),
            rig=tuple(piece for piece in self._pieces if not isinstance(piece, ColletOnHand)),
            collets=tuple(piece for piece in self._pieces if isinstance(piece, ColletOnHand)),
            series=tuple(_series(row) for row in self._figures.values() if row.shape == stock.shape),
        )

    def plan_crib(self, stock, *, lathe=""):
        return PlanCrib(crib=self.now(stock, lathe=lathe))

    def _piece(self, row):
        loan = self._loans.get(row.pk)
        is_with_asker = loan is not None and loan.borrower_id == self._asker_id
        of_a_collet = (
            {"size": self._size(row.size), "stop_thread": row.stop_thread, "tir_limit": self._limits.of(row).limit}
            if row.size
            else {}
        )
        return (ColletOnHand if row.size else Piece)(
            id=row.pk,
            tag=row.tag,
            kind=Kind(row.kind),
            condition=row.condition,
            location=row.location.name if row.location else "",
            mounts_in=_seat(row.mounts_in) if row.size is None else None,
            offers=row.offers.code if row.offers else None,
            through=row.through,
            is_solid=row.is_solid,
            pilot=row.pilot,
            jaws=row.jaws,
            outside_smallest=row.outside_smallest,
            outside_largest=row.outside_largest,
            inside_smallest=row.inside_smallest,
            inside_largest=row.inside_largest,
            max_rpm=row.max_rpm,
            weight_ug=row.weight_ug,
            tir=row.tir,
            tir_in_holder=row.reading.in_holder_id if row.reading else None,
            tir_on_lathe=row.reading.on_lathe_id if row.reading else None,
            mounted_on=row.mounted_on_id,
            why_not=_why_not(row, None if is_with_asker else loan),
            lacks=tuple(name for name in row.lacking if name in ASKED_OF_A_GRIP),
            is_with_asker=is_with_asker,
            is_lent=_is_lent(row, None if is_with_asker else loan),
            is_lost=row.missing_since is not None,
            belongs_to=row.belongs_to_id,
            tightens=row.fits,
            step_depth=row.step_depth,
            body=row.body,
            jaw_length=row.jaw_length,
            tail=row.tail,
            slots=row.slots,
            reserved=self._reserved.get(row.pk),
            shank=row.shank,
            load_ug=row.load_ug,
            **({} if is_with_asker or loan is None else _out(loan)),
            **of_a_collet,
        )

    def _size(self, row):
        figures = self._figures[row.series_id, row.shape]
        return SizeOnHand(
            id=row.pk,
            series=row.series.code,
            seat=row.series.seat.code,
            shape=StockShape(row.shape),
            nominal=row.nominal,
            reach=Reach(
                smallest=row.clamps_from,
                largest=row.clamps_to,
                edge_bottom=row.edge_bottom,
                edge_top=row.edge_top,
                true_from=row.true_from,
                true_to=row.true_to,
            ),
            passes=figures.passes,
            passes_with_stop_thread=figures.passes_with_stop_thread,
            typical_tir=row.typical_tir,
        )


def _reserved(asker_id):
    """By the piece, what waits for it first of all that stands now."""
    now, found = timezone.now(), {}
    rows = Reservation.objects.select_related("sheet", "reserved_by").order_by("starts_at", "pk")
    for row in rows:
        ended = row.lifted_at or row.taken_at or row.sheet.put_away_at or row.lapses_at <= now
        if ended or row.tool_id in found:
            continue
        begins = timezone.localtime(row.starts_at)
        days = (begins.date() - timezone.localdate()).days
        day = {-1: "yesterday", 0: "today", 1: "tomorrow"}.get(days, begins.date().isoformat())
        when = f"{day} {begins.hour}:{begins.minute:02}"
        is_own = asker_id in (row.reserved_by_id, row.sheet.made_by_id)
        found[row.tool_id] = ReservedFor(
            job=row.sheet.title,
            by=row.reserved_by.first_name or row.reserved_by.username,
            begins=begins,
            when=when if begins > now else f"since {when}",
            pushes_back=not is_own and row.starts_at - now < timedelta(days=3),
        )
    return found


def _why_not(row, loan):
    if row.condition in ("damaged", "scrapped"):
        return f"{row.condition}: {row.finding}" if row.finding else row.condition
    if row.missing_since:
        return f"missing since {row.missing_since}"
    if loan is None:
        return ""
    due = f", due back {loan.due_on}" if loan.due_on else ""
    return f"out to {loan.borrower.first_name or loan.borrower.username} since {loan.issued_at:%Y-%m-%d}{due}"


def _out(loan):
    return {
        "lent_to": loan.borrower.first_name or loan.borrower.username,
        "lent_since": loan.issued_at.date(),
        "due_back": loan.due_on,
    }


def _is_lent(row, loan):
    return loan is not None and row.condition in ("good", "worn") and row.missing_since is None


def _seat(row):
    if row is None:
        return None
    return SeatOnHand(row.code, needs_drawbar=row.needs_drawbar, is_thread=row.family == "thread")


def _lathe(row):
    return LatheOnHand(
        id=row.pk,
        name=row.name,
        nose=_seat(row.nose),
        headstock_taper=_seat(row.headstock_taper),
        tailstock_taper=_seat(row.tailstock_taper),
        spindle_bore=row.spindle_bore,
        nose_tir=row.nose_tir,
        spindle_length=row.spindle_length,
        swing_over_bed=row.swing_over_bed,
        swing_over_slide=row.swing_over_slide,
        gap_swing=row.gap_swing,
        gap_width=row.gap_width,
        between_centers=row.between_centers,
        set_over=row.set_over,
        compound_travel=row.compound_travel,
        slowest_rpm=row.slowest_rpm,
        fastest_rpm=row.fastest_rpm,
    )


def _series(row):
    def reach_of(nominal):
        clamps = row.figures.clamping_range(nominal)
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
        reach_of=reach_of,
    )
