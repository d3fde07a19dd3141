"""What one shift hands to the next: what is out and runs, came back damaged, waits, is over its limit."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from django.utils import timezone
from msgspec import Struct

from inventory.inspections.due import Urgency, inspections_due
from inventory.inspections.waiting import Waiting
from inventory.keeping.jobs import damaged_since
from inventory.keeping.reservations import JobReserved, jobs_reserved, when_words
from inventory.measures.day_words import shown as day_shown
from inventory.models import Inspection, Loan, Reservation, SetupSheet, ShiftNote, Tool, User
from inventory.models.loans import LoanQuerySet

A_SHIFT = timedelta(hours=12)
FARTHEST_BACK = timedelta(days=7)
WAITS_WITHIN = timedelta(days=3)
"""What a job wants later than that is no matter of this shift."""
MOST = 200


class PieceWithSomebody(Struct, frozen=True, kw_only=True):
    loan: Loan
    is_late: bool


class OutToPerson(Struct, frozen=True):
    """All that one person has out."""

    person: User
    pieces: tuple[PieceWithSomebody, ...]


class RunningJob(Struct, frozen=True, kw_only=True):
    """A setup sheet of which pieces are out for its job."""

    sheet: SetupSheet
    people: str
    pieces: int
    since: datetime


class WaitingJob(Struct, frozen=True):
    job: JobReserved
    when: str
    away: str
    """Which of its pieces somebody has, with who."""


class Damage(Struct, frozen=True):
    inspection: Inspection
    loan: Loan | None
    """The one that it came back from; None where it lay in its drawer."""


class ShiftReport(Struct, frozen=True, kw_only=True):
    since: datetime
    out: tuple[OutToPerson, ...]
    out_count: int
    damage: tuple[Damage, ...]
    running: tuple[RunningJob, ...]
    waiting: tuple[WaitingJob, ...]
    over: tuple[Waiting, ...]
    notes: tuple[ShiftNote, ...]


def since_when(*, at: datetime) -> datetime:
    """The last 12 hours; where nobody has written a note since, from the last note on, so that no shift falls out."""
    last = ShiftNote.objects.values_list("written_at", flat=True).first()
    shift = at - A_SHIFT
    return shift if last is None else max(min(last, shift), at - FARTHEST_BACK)


def shift_report(*, since: datetime, at: datetime) -> ShiftReport:
    loans = list(_loans_out()[:MOST])
    return ShiftReport(
        since=since,
        out=tuple(_by_person(loans, today=timezone.localdate(at))),
        out_count=len(loans),
        damage=tuple(Damage(row, loan) for row, loan in damaged_since(since)),
        running=tuple(_running(loans)),
        waiting=tuple(_waiting(at)),
        over=tuple(_pieces_overdue(today=timezone.localdate(at))),
        notes=tuple(ShiftNote.objects.filter(written_at__gte=since).select_related("written_by")[:MOST]),
    )


def _loans_out() -> LoanQuerySet:
    return (
        Loan.objects.open()
        .select_related("borrower", "sheet__lathe", "lathe", "tool__size__series")
        .order_by("borrower__username", "tool__tag")
    )


def _by_person(loans: Iterable[Loan], *, today: date) -> Iterable[OutToPerson]:
    people: dict[int, list[Loan]] = {}
    for loan in loans:
        people.setdefault(loan.borrower_id, []).append(loan)
    for rows in people.values():
        pieces = [PieceWithSomebody(loan=loan, is_late=bool(loan.due_on and loan.due_on < today)) for loan in rows]
        yield OutToPerson(rows[0].borrower, tuple(pieces))


def _running(loans: Iterable[Loan]) -> Iterable[RunningJob]:
    sheets: dict[int, list[Loan]] = {}
    for loan in loans:
        if loan.sheet_id is not None:
            sheets.setdefault(loan.sheet_id, []).append(loan)
    for rows in sheets.values():
        sheet = rows[0].sheet
        assert sheet is not None, "only loans of a job were put together"
        people = dict.fromkeys(str(loan.borrower) for loan in rows)
        since = min(loan.issued_at for loan in rows)
        yield RunningJob(sheet=sheet, people=", ".join(people), pieces=len(rows), since=since)


def _waiting(at: datetime) -> Iterable[WaitingJob]:
    rows = list(Reservation.objects.standing(at=at).filter(starts_at__lt=at + WAITS_WITHIN).with_names()[:MOST])
    loans = Loan.objects.open().filter(tool__in={row.tool_id for row in rows}).select_related("borrower")
    out = {loan.tool_id: loan for loan in loans}
    firsts = {row.token: row for row in reversed(rows)}
    for job in jobs_reserved(rows):
        away = [_away(tool, out[tool.pk]) for tool in job.tools if tool.pk in out]
        yield WaitingJob(job, when_words(firsts[job.token], now=at), "; ".join(away))


def _away(tool: Tool, loan: Loan) -> str:
    back = f", expected back {day_shown(loan.due_on)}" if loan.due_on else ""
    return f"{tool.tag} is out to {loan.borrower}{back}"


def _pieces_overdue(*, today: date) -> Iterable[Waiting]:
    due = [piece for piece in inspections_due(today=today) if piece.reasons[0].urgency is Urgency.OVER_LIMIT][:MOST]
    tools = Tool.objects.for_list().in_bulk([piece.pk for piece in due])
    firsts = [(tools[piece.pk], piece.reasons[0]) for piece in due if piece.pk in tools]
    return [Waiting(tool, reason.words, reason.since) for tool, reason in firsts]
