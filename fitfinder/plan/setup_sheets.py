"""A way of a plan made a setup sheet: a draft, until it is used; and its pieces as they are now."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from uuid import UUID

from fitfinder.holding.job import Job
from fitfinder.holding.way import Way
from fitfinder.plan import sheet
from fitfinder.plan.question import JobQuestion
from fitfinder.setups.drafts import one_of_a_revision
from inventory.measures.length_words import in_unit
from inventory.models import HeldTool, Loan, SetupPiece, SetupSheet, Tool, User
from inventory.reference.cutting import materials


@one_of_a_revision()
def keep_sheet(
    way: Way, question: JobQuestion, *, by: User, token: UUID, name: str = "", number: str = "", revision: str = ""
) -> SetupSheet:
    """Keep a way of a plan, under the number and name that the shop gives the part or else its stock.

    Raises CannotChange where the part has such a sheet already.
    """
    job, effort, limit = way.job, way.effort, way.speed_limit
    made = SetupSheet.objects.create(
        number=number,
        revision=revision,
        title=(name or _title(job))[:200],
        method=str(way.method),
        speed_limit=limit.rpm if limit else None,
        speed_limit_why=limit.why[:200] if limit else "",
        stock=job.read_as[:200],
        stock_smallest=job.stock.band.smallest,
        stock_largest=job.stock.band.largest,
        material=str(job.material) if job.material in materials() else "",
        parts=job.parts,
        is_hollow=job.bore is not None,
        is_unbalanced=job.is_irregular or job.throw is not None,
        setup_hundredths=_hundredths(effort.fit + effort.set_up * job.setups) if effort else None,
        part_hundredths=_hundredths(effort.once + effort.per_part * job.setups) if effort else None,
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


def _hundredths(minutes: Fraction) -> int | None:
    """None of what takes no time: somebody may still say it."""
    return round(minutes * 100) or None


def _title(job: Job) -> str:
    """What tells two sheets apart that nobody gave a name."""
    return job.read_as if job.length is None else f"{job.read_as}, {in_unit(job.length)} long"


@dataclass(frozen=True)
class Pick:
    """A piece of a sheet as it is now."""

    tool: Tool
    loan: Loan | None
    is_on_lathe: bool
    """Whether it is on the lathe of the sheet already, by itself or in its holder."""
    holds: bool
    """Whether it holds or carries the work, and is no tool of an operation."""
    holder: str = ""
    """The tag of the holder that it sits in now."""

    @property
    def place(self) -> str:
        return str(self.tool.location) if self.tool.location else ""

    @property
    def can_be_taken(self) -> bool:
        return self.tool.is_in_service and self.loan is None and not self.is_on_lathe

    @property
    def why_not(self) -> str:
        """Why it is of no use for this sheet any more; empty where it still is."""
        return self.tool.why_not


_OF_A_PICK = (
    "condition", "missing_since", "retired_at", "mounted_on__name", "weight_ug", "jaw_length",
    "shank_shape", "jaws", "angle_deg", "tip",
)  # fmt: skip
"""What the page of a sheet says and compares of a piece, beside what a line does."""


def picks_of(made: SetupSheet) -> list[Pick]:
    """The pieces that hold the work, from the spindle on, then the tools and holders of its operations."""
    keys = list(made.pieces.values_list("tool", flat=True))
    holding = frozenset(keys)
    for operation in made.operations.all():
        keys += [key for key in (operation.holder_id, operation.tool_id) if key is not None]
    order = {key: place for place, key in reversed(list(enumerate(keys)))}
    tools = Tool.objects.for_line(*_OF_A_PICK).select_related("mounted_on").with_open_loans().filter(pk__in=order)
    rows = HeldTool.objects.filter(tool__in=order).select_related("holder")
    rows = rows.only("tool", "holder__tag", "holder__mounted_on")
    held = {one.tool_id: one.holder for one in rows}
    return [
        _pick(tool, made, held.get(tool.pk), holds=tool.pk in holding)
        for tool in sorted(tools, key=lambda tool: order[tool.pk])
    ]


def _pick(tool: Tool, made: SetupSheet, holder: Tool | None, *, holds: bool) -> Pick:
    on = {tool.mounted_on_id, holder.mounted_on_id if holder else None}
    is_on_lathe = made.lathe_id is not None and made.lathe_id in on
    return Pick(tool, tool.loan, is_on_lathe, holds, holder=holder.tag if holder else "")


def in_drawer_order(picks: list[Pick]) -> list[Pick]:
    """As they are fetched; what is on the lathe already comes last."""
    return sorted(picks, key=lambda pick: (pick.is_on_lathe, pick.place, pick.tool.tag))
