"""A way kept as a setup sheet: the sheet stays as it was made, and its pieces are told as they are now."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from fitfinder.holding.job import Job
from fitfinder.holding.way import Way
from fitfinder.plan import sheet
from fitfinder.plan.question import JobQuestion
from inventory.measures.day_words import shown as day_shown
from inventory.measures.length_words import in_unit
from inventory.models import Loan, SetupPiece, SetupSheet, Tool, User


@transaction.atomic
def keep_sheet(way: Way, question: JobQuestion, *, by: User, token: UUID, name: str = "") -> SetupSheet:
    """Keep a way of a plan, under the name that the shop gives the job or else its stock."""
    made = SetupSheet.objects.create(
        title=(name or _title(way.job))[:200],
        question=question.address[:1000],
        way=way.name[:200],
        lathe_id=way.lathe.id if way.lathe else None,
        jaws_id=way.jaws_to_put_in.id if way.jaws_to_put_in else None,
        steps=[step.do for step in sheet.steps(way)],
        numbers=[
            *((number.words, number.value) for number in sheet.numbers(way)),
            *(("But", str(reason)) for reason in way.but),
        ],
        cautions=[(caution.text, caution.source) for caution in way.cautions],
        missing=[str(item) for item in (*way.missing, *way.doubts)],
        made_by=by,
        token=token,
    )
    SetupPiece.objects.bulk_create(
        SetupPiece(sheet=made, tool_id=piece.id, order=order) for order, piece in enumerate(way.pieces)
    )
    return made


def _title(job: Job) -> str:
    """What tells two sheets apart that nobody gave a name."""
    return job.read_as if job.length is None else f"{job.read_as}, {in_unit(job.length)} long"


@dataclass(frozen=True)
class Pick:
    """A piece of a sheet as it is now."""

    tool: Tool
    loan: Loan | None
    is_on_lathe: bool
    """Whether it is on the lathe of the sheet already."""

    @property
    def place(self) -> str:
        return str(self.tool.location) if self.tool.location else ""

    @property
    def can_be_taken(self) -> bool:
        return self.tool.is_in_service and self.loan is None and not self.is_on_lathe

    @property
    def why_not(self) -> str:
        """Why it is of no use for this sheet any more; empty where it still is."""
        if self.tool.is_in_service:
            return ""
        if self.tool.retired_at:
            return "retired"
        since = self.tool.missing_since
        return f"missing since {day_shown(since)}" if since else self.tool.condition


def picks_of(made: SetupSheet) -> list[Pick]:
    """The pieces from the spindle to the work."""
    order = dict(made.pieces.values_list("tool", "order"))
    tools = Tool.objects.for_list().with_open_loans().filter(pk__in=order)
    return [
        Pick(tool, tool.loan, made.lathe_id is not None and tool.mounted_on_id == made.lathe_id)
        for tool in sorted(tools, key=lambda tool: order[tool.pk])
    ]


def in_drawer_order(picks: list[Pick]) -> list[Pick]:
    """As they are fetched; what is on the lathe already comes last."""
    return sorted(picks, key=lambda pick: (pick.is_on_lathe, pick.place, pick.tool.tag))
