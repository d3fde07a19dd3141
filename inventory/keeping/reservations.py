"""Pieces that are kept free for a job from a day and time on: reserving, changing, lifting, and whom to ask first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from msgspec import Struct

from inventory.measures.day_words import moment_shown
from inventory.measures.day_words import shown as day_shown
from inventory.models import Reservation, SetupSheet, Tool, User

PUSHES_BACK_WITHIN = timedelta(days=3)
"""A piece that a job wants sooner than this comes behind free ones, and is asked for before it is issued. What a job
wants later is told and no more: a piece is back from most jobs in a day or two, and from a Friday's by Monday; a
reservation for next month must not lock a drawer until then. Common practice, no source."""


class CannotReserve(Exception):
    """Nothing is reserved or changed; the text says why."""


# Words ----------------------------------------------------------------------------------------------------------------


def when_words(reservation: Reservation | JobReserved, *, now: datetime) -> str:
    """From when on: `tomorrow 7:00`; of one that has begun `since today 7:00`."""
    begins, local = timezone.localtime(reservation.starts_at), timezone.localtime(now)
    words = moment_shown(begins, today=local.date())
    return f"since {words}" if reservation.starts_at <= now else words


def reserved_words(reservation: Reservation, *, now: datetime) -> str:
    """`reserved for Idler shaft, tomorrow 7:00`."""
    return f"reserved for {reservation.sheet.called}, {when_words(reservation, now=now)}"


# Making, changing, lifting --------------------------------------------------------------------------------------------


@dataclass
class ReservedTogether:
    """What is reserved; what of it is not in its place, and what could not be reserved, each with its sentence."""

    reserved: list[Tool] = field(default_factory=list)
    away: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)


@transaction.atomic
def reserve(
    sheet: SetupSheet,
    tools: Iterable[Tool],
    *,
    starts_at: datetime,
    lapses_at: datetime,
    by: User,
    at: datetime,
    token: UUID,
) -> ReservedTogether:
    """Reserve what can be of these pieces for the job of the sheet; the same token again adds what was not free before.

    A piece that is out is reserved all the same: it is to be back by then, and whoever lays the job out sees who has
    it. What no job can use is not, nor what another job has at that time.
    """
    _check(starts_at, lapses_at, at)
    done = ReservedTogether()
    had = set(Reservation.objects.filter(token=token).values_list("tool_id", flat=True))
    for tool in _locked_tools(tools):
        if tool.pk in had:
            continue
        other = _another_at(tool, starts_at, lapses_at, at=at, token=token)
        if other is not None:
            done.refused.append(f"{tool} is {reserved_words(other, now=at)}, by {other.reserved_by}.")
        elif reason := tool.why_not:
            done.refused.append(f"{tool} is {reason}, and is not reserved.")
        else:
            _make_room(tool, starts_at, by=by, at=at, but=token)
            tool.reservations.create(
                sheet=sheet, starts_at=starts_at, lapses_at=lapses_at, reserved_by=by, made_at=at, token=token
            )
            done.reserved.append(tool)
            done.away += _away(tool)
    return done


@transaction.atomic
def change(
    sheet: SetupSheet, tools: Iterable[Tool], *, starts_at: datetime, lapses_at: datetime, by: User, at: datetime,
    token: UUID,
) -> ReservedTogether:  # fmt: skip
    """Put what was reserved with this token to another time, and with it what of the sheet was not free before.

    Raises CannotReserve where one of the pieces is another job's then, and nothing is changed: half a job at one time
    and half of it at another helps nobody.
    """
    _check(starts_at, lapses_at, at)
    rows = sheet.reservations.standing(at=at).filter(token=token)
    held = list(_locked_tools(Tool.objects.filter(pk__in=rows.values("tool"))))
    if not held:
        raise CannotReserve("It is not reserved any more. Reserve it again.")
    others = [_another_at(tool, starts_at, lapses_at, at=at, token=token) for tool in held]
    if taken := [other for other in others if other is not None]:
        words = "; ".join(f"{other.tool} is {reserved_words(other, now=at)}" for other in taken)
        raise CannotReserve(f"Nothing was changed: {words}.")
    for tool in held:
        _make_room(tool, starts_at, by=by, at=at, but=token)
    rows.update(starts_at=starts_at, lapses_at=lapses_at)
    return reserve(sheet, tools, starts_at=starts_at, lapses_at=lapses_at, by=by, at=at, token=token)


def lift(sheet: SetupSheet, *, token: UUID, by: User, at: datetime) -> int:
    """End what was reserved with this token; how many pieces that were. Sent again, it ends nothing."""
    return Reservation.objects.filter(sheet=sheet, token=token, lifted_at=None, taken_at=None).update(
        lifted_at=at, lifted_by=by
    )


def take(tool: Tool, sheet: SetupSheet | None, *, at: datetime) -> None:
    """The piece was issued for this job: the first of its reservations for it is used up.

    What comes back is free for others; the next batch of the same sheet has a reservation of its own.
    """
    if sheet is not None:
        first = tool.reservations.standing(at=at).filter(sheet=sheet).first()
        if first is not None:
            Reservation.objects.filter(pk=first.pk).update(taken_at=at)


def _check(starts_at: datetime, lapses_at: datetime, at: datetime) -> None:
    if lapses_at <= starts_at:
        raise CannotReserve("It would lapse before it begins.")
    if lapses_at <= at:
        raise CannotReserve(
            f"From: {moment_shown(timezone.localtime(starts_at), today=timezone.localdate(at))} is over."
        )


def _locked_tools(tools: Iterable[Tool]) -> Iterable[Tool]:
    # In one order, so that two who reserve or take the same pieces wait for each other and do not block each other.
    return Tool.objects.filter(pk__in=[tool.pk for tool in tools]).order_by("pk").select_for_update(of=("self",))


def _another_at(
    tool: Tool, starts_at: datetime, lapses_at: datetime, *, at: datetime, token: UUID
) -> Reservation | None:
    standing = tool.reservations.standing(at=at).within(starts_at, lapses_at).exclude(token=token)
    return standing.with_names().first()


def _make_room(tool: Tool, starts_at: datetime, *, by: User, at: datetime, but: UUID) -> None:
    """What lapsed, or is of a sheet that was archived, does not stand; at the same moment it would be in the way."""
    rows = tool.reservations.filter(starts_at=starts_at, lifted_at=None, taken_at=None).exclude(token=but)
    rows.update(lifted_at=at, lifted_by=by)


def _away(tool: Tool) -> list[str]:
    loan = tool.loans.open().select_related("borrower").first()
    if loan is None:
        return []
    back = f", expected back {day_shown(loan.due_on)}" if loan.due_on else ""
    return [f"{tool} is out to {loan.borrower}{back}."]


# Reading --------------------------------------------------------------------------------------------------------------


class JobReserved(Struct, frozen=True, kw_only=True):
    """All that stands of one tap: the pieces of a sheet at one time."""

    sheet: SetupSheet
    token: UUID
    starts_at: datetime
    lapses_at: datetime
    reserved_by: User
    tools: tuple[Tool, ...]


def jobs_reserved(rows: Iterable[Reservation]) -> list[JobReserved]:
    """These reservations by the tap that made them, what begins first comes first; each row with its names."""
    taps: dict[UUID, list[Reservation]] = {}
    for row in rows:
        taps.setdefault(row.token, []).append(row)
    return [
        JobReserved(
            sheet=first.sheet,
            token=first.token,
            starts_at=first.starts_at,
            lapses_at=first.lapses_at,
            reserved_by=first.reserved_by,
            tools=tuple(row.tool for row in (first, *others)),
        )
        for first, *others in taps.values()
    ]


def pushes_back(reservation: Reservation, *, now: datetime) -> bool:
    """Whether a piece that this job wants comes behind free ones already."""
    return reservation.starts_at < now + PUSHES_BACK_WITHIN


_OF_A_JOB = (
    "token", "tool__tag", "starts_at", "lapses_at", "reserved_by__username", "reserved_by__first_name",
    "sheet__number", "sheet__revision", "sheet__title", "sheet__made_by",
)  # fmt: skip
"""What is said of the job that a piece is reserved for."""


def of_a_job(rows: QuerySet[Reservation]) -> QuerySet[Reservation]:
    """Each with what is said of its job."""
    return rows.select_related("sheet", "reserved_by", "tool").only(*_OF_A_JOB)


def first_of_each(*, at: datetime, tools: Iterable[int] | None = None) -> dict[int, Reservation]:
    """By the key of a piece, its reservation that stands and begins first; of all pieces or of these."""
    rows = of_a_job(Reservation.objects.standing(at=at))
    return first_by_tool(rows if tools is None else rows.filter(tool__in=tools))


def first_by_tool(rows: Iterable[Reservation]) -> dict[int, Reservation]:
    """By the key of a piece, the first of these that is of it."""
    first_of_piece: dict[int, Reservation] = {}
    for row in rows:
        first_of_piece.setdefault(row.tool_id, row)
    return first_of_piece


def to_ask_about(
    tools: Iterable[Tool], *, to: User, sheet: SetupSheet | None, at: datetime, due_on: date | None = None
) -> list[Reservation]:
    """What other jobs want soon, or before it is expected back, of the pieces that are about to be issued to somebody.

    Whose job it is is not asked, nor whoever takes the piece for it.
    """
    until = at + PUSHES_BACK_WITHIN
    if due_on is not None:
        until = max(until, datetime.combine(due_on, time.max, timezone.get_current_timezone()))
    rows = Reservation.objects.standing(at=at).filter(tool__in=[tool.pk for tool in tools], starts_at__lt=until)
    return [row for row in rows.with_names() if not row.is_of(to.pk) and (sheet is None or row.sheet_id != sheet.pk)]


def pieces_of(sheet: SetupSheet) -> list[Tool]:
    """All that a job takes out of the crib: what holds the work, what cuts it, and what holds that; by its drawer."""
    wanted = (
        Q(pk__in=sheet.pieces.values("tool"))
        | Q(pk__in=sheet.operations.values("tool"))
        | Q(pk__in=sheet.operations.values("holder"))
    )
    tools = Tool.objects.for_list().with_open_loans().filter(wanted)
    return sorted(tools, key=lambda tool: (str(tool.location or "~"), tool.tag))
