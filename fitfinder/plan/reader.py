"""Reads what a plan is made from: the crib as the finder sees it, and what only a plan asks of lathes and pieces."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from fitfinder import crib
from fitfinder.find import gaps
from fitfinder.find.from_rows import seat_of, why_not
from fitfinder.holding.pieces import CribNow, JawSet, LatheOnHand, Piece
from fitfinder.holding.verdicts import Reach
from fitfinder.plan.efforts import Minutes
from fitfinder.plan.floor import Floor
from fitfinder.plan.job import Job
from inventory.measures.lengths import Length
from inventory.models import JawSet as JawSetRow
from inventory.models import Kind, Lathe, Loan, WorkingMinutes
from inventory.models.tools import Tool

MOST_BORED = 20
"""Bored blanks are looked at up to here, the largest bore first: that one has the least to be opened."""


def floor_for(job: Job, *, lathe: str = "", asker_id: int | None = None) -> Floor:
    """What is on hand for this job. A piece that is out to the asker counts as here."""
    now = filled_in(_crib(job, lathe, asker_id))
    each = {entry.id: _crib(job, entry.name, asker_id) for entry in now.lathes} if len(now.lathes) > 1 else {}
    return Floor(
        crib=now,
        crib_of=each,
        jaw_sets=tuple(_jaw_sets(now)),
        bored=tuple(_bored(job, asker_id)),
        minutes=_minutes(),
    )


def _crib(job: Job, lathe: str, asker_id: int | None) -> CribNow:
    now = crib.crib_now(job.stock, lathe=lathe, asker_id=asker_id)
    return crib.for_a_gap(now, job.stock, asker_id=asker_id)


def _minutes() -> Minutes:
    rows = WorkingMinutes.objects.values_list("step", "hundredths")
    return Minutes({step: Fraction(hundredths, 100) for step, hundredths in rows})


def filled_in(now: CribNow) -> CribNow:
    """With the columns that the finder does without: one more query each for lathes and pieces."""
    lathes = Lathe.objects.select_related("post").in_bulk([lathe.id for lathe in now.lathes])
    tools = Tool.objects.in_bulk([piece.id for piece in now.rig])
    return replace(
        now,
        lathes=tuple(_lathe(entry, lathes[entry.id]) for entry in now.lathes if entry.id in lathes),
        rig=tuple(_piece(entry, tools[entry.id]) for entry in now.rig if entry.id in tools),
    )


def _lathe(entry: LatheOnHand, row: Lathe) -> LatheOnHand:
    return replace(
        entry,
        post=seat_of(row.post.code, row.post.family) if row.post else None,
        swing_over_bed=row.swing_over_bed,
        swing_over_slide=row.swing_over_slide,
        between_centers=row.between_centers,
        fastest_rpm=row.fastest_rpm,
        spindle_length=row.spindle_length,
    )


def _piece(entry: Piece, row: Tool) -> Piece:
    return replace(
        entry,
        inside_smallest=row.inside_smallest,
        inside_largest=row.inside_largest,
        belongs_to=row.belongs_to_id,
        tightens=row.fits,
        step_depth=row.step_depth,
    )


def _jaw_sets(now: CribNow) -> list[JawSet]:
    chucks = {piece.id: piece for piece in now.rig if piece.kind == Kind.UNIVERSAL_CHUCK or piece.jaws}
    rows = list(JawSetRow.objects.filter(retired_at=None, chuck__in=chucks).select_related("location"))
    hard = [row for row in rows if row.kind != JawSetRow.Kind.SOFT]
    return [
        _jaw_set(row, chucks[row.chuck_id], [other for other in hard if other.chuck_id == row.chuck_id]) for row in rows
    ]


def _jaw_set(row: JawSetRow, chuck: Piece, hard: list[JawSetRow]) -> JawSet:
    is_soft = row.kind == JawSetRow.Kind.SOFT
    return JawSet(
        id=row.pk,
        chuck=row.chuck_id,
        kind=row.kind,
        outside=_soft_reach(row, chuck, hard) if is_soft else _reach(*row.outside),
        inside=_reach(*row.inside),
        last_bored=row.bored_to,
        is_in=row.is_in,
        location=str(row.location) if row.location else "",
        why_not="" if row.is_usable else row.condition,
    )


def _soft_reach(row: JawSetRow, chuck: Piece, hard: list[JawSetRow]) -> Reach | None:
    """What soft jaws can be bored to: from the bore that is in them, which is only ever opened, to the largest that
    the chuck holds by any of its jaws. Without any largest it stays at the bore that is in them."""
    smallest = row.bored_to or row.outside_smallest or chuck.outside_smallest
    largest = row.outside_largest or max(
        (end for end in (chuck.outside_largest, row.bored_to, *(other.outside_largest for other in hard)) if end),
        default=None,
    )
    return _reach(smallest, largest)


def _reach(smallest: Length | None, largest: Length | None) -> Reach | None:
    if smallest is None or largest is None or largest < smallest:
        return None
    return Reach(smallest=smallest, largest=largest)


def _bored(job: Job, asker_id: int | None) -> list[Piece]:
    """The bored blanks that could be opened to this stock, as they are now."""
    if job.stock.shape != "round":
        return []
    rows = (
        Tool.objects.in_service()
        .filter(kind=Kind.MACHINABLE_COLLET, size__isnull=False, size__nominal__lte=gaps.bore_for(job.stock))
        .select_related("mounts_in", "location", "size")
        .order_by("-size__nominal", "tag")[:MOST_BORED]
    )
    loans = {loan.tool_id: loan for loan in Loan.objects.open().filter(tool__in=list(rows)).select_related("borrower")}
    return [_bored_piece(row, loans.get(row.pk), asker_id) for row in rows if row.mounts_in is not None]


def _bored_piece(row: Tool, loan: Loan | None, asker_id: int | None) -> Piece:
    is_with_asker = loan is not None and loan.borrower_id == asker_id
    who = (loan.borrower.first_name or loan.borrower.username) if loan is not None and not is_with_asker else None
    return Piece(
        id=row.pk,
        tag=row.tag,
        kind=row.kind,
        condition=row.condition,
        location=str(row.location) if row.location else "",
        mounts_in=seat_of(row.mounts_in.code, row.mounts_in.family),
        pilot=row.size.nominal,
        tir=row.tir,
        mounted_on=row.mounted_on_id,
        why_not=why_not(row.condition, row.finding, row.missing_since, who),
        is_with_asker=is_with_asker,
        max_rpm=row.max_rpm,
    )
