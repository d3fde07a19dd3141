"""What a crib keeper lays out for the jobs of a day: each piece by its drawer, and who has what is not there."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

from django.utils import timezone
from msgspec import Struct

from inventory.keeping.lathe_times import others_on_the_lathe
from inventory.keeping.reservations import first_of_each, jobs_reserved, pieces_of, reserved_words
from inventory.keeping.tools_by_name import ToolsWithoutTag, tools_without_tag
from inventory.measures.day_words import shown as day_shown
from inventory.models import JawSet, Lathe, Reservation, SetupSheet, Tool, User


class PieceToLayOut(Struct, frozen=True, kw_only=True):
    """One piece of a job; `but` says why it cannot just be laid out, empty where it can."""

    tool: Tool
    place: str
    but: str = ""


class JobToLayOut(Struct, frozen=True, kw_only=True):
    """One job of the day, what it wants from the drawers in the order of the drawers, and its jaws without a tag."""

    sheet: SetupSheet
    starts_at: datetime
    reserved_by: User
    lathe: Lathe | None
    jaws: JawSet | None
    pieces: tuple[PieceToLayOut, ...]
    untagged: ToolsWithoutTag
    others: tuple[str, ...] = ()
    """Other jobs that want its lathe at the same time."""


def jobs_of_day(day: date) -> list[JobToLayOut]:
    """The jobs that begin on this day of the shop and still stand, what begins first comes first."""
    zone = timezone.get_current_timezone()
    begins = datetime.combine(day, time.min, zone)
    ends = datetime.combine(day + timedelta(days=1), time.min, zone)
    # Looked at the day after, what lapsed is no job that waits.
    rows = Reservation.objects.standing(at=timezone.now()).filter(starts_at__gte=begins, starts_at__lt=ends)
    jobs = jobs_reserved(rows.with_names().select_related("sheet__jaws__location", "sheet__jaws__chuck"))
    return [
        JobToLayOut(
            sheet=job.sheet,
            starts_at=job.starts_at,
            reserved_by=job.reserved_by,
            lathe=job.sheet.lathe,
            jaws=job.sheet.jaws,
            others=tuple(others_on_the_lathe(job.sheet, job.starts_at, at=timezone.now())),
            untagged=tools_without_tag(job.sheet),
            pieces=tuple(_pieces(job.sheet, {tool.pk for tool in job.tools})),
        )
        for job in jobs
    ]


def _pieces(sheet: SetupSheet, reserved: set[int]) -> Iterable[PieceToLayOut]:
    tools, now = pieces_of(sheet), timezone.now()
    others = first_of_each(at=now, tools=[tool.pk for tool in tools if tool.pk not in reserved])
    for tool in tools:
        place = str(tool.location) if tool.location else ""
        but = _why_not(tool, sheet)
        if not but and tool.pk in others and others[tool.pk].sheet_id != sheet.pk:
            but = reserved_words(others[tool.pk], now=now)
        elif not but and tool.pk not in reserved:
            but = "not reserved"
        yield PieceToLayOut(tool=tool, place=place, but=but)


def _why_not(tool: Tool, sheet: SetupSheet) -> str:
    loan = tool.loan
    if loan is not None:
        back = f", expected back {day_shown(loan.due_on)}" if loan.due_on else ""
        return f"out to {loan.borrower}{back}"
    return tool.why_not or (f"on {tool.mounted_on}" if tool.mounted_on else "")
