"""Reads what a plan is made from: the crib as the finder sees it, and what only a plan asks of lathes and pieces."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from fitfinder import crib
from fitfinder.pieces import CribNow, LatheOnHand, Piece
from fitfinder.plan.efforts import Minutes
from fitfinder.plan.floor import Floor
from fitfinder.plan.job import Job
from inventory.models import Lathe, WorkingMinutes
from inventory.models.tools import Tool


def floor_for(job: Job, *, lathe: str = "", asker_id: int | None = None) -> Floor:
    """What is on hand for this job. A piece that is out to the asker counts as here."""
    now = _filled_in(_crib(job, lathe, asker_id))
    each = {entry.id: _crib(job, entry.name, asker_id) for entry in now.lathes} if len(now.lathes) > 1 else {}
    return Floor(crib=now, crib_of=each, minutes=_minutes())


def _crib(job: Job, lathe: str, asker_id: int | None) -> CribNow:
    now = crib.crib_now(job.stock, lathe=lathe, asker_id=asker_id)
    return crib.for_a_gap(now, job.stock, asker_id=asker_id)


def _minutes() -> Minutes:
    rows = WorkingMinutes.objects.values_list("step", "hundredths")
    return Minutes({step: Fraction(hundredths, 100) for step, hundredths in rows})


def _filled_in(now: CribNow) -> CribNow:
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
        swing_over_bed=row.swing_over_bed,
        swing_over_slide=row.swing_over_slide,
        between_centers=row.between_centers,
        fastest_rpm=row.fastest_rpm,
    )


def _piece(entry: Piece, row: Tool) -> Piece:
    return replace(entry, inside_smallest=row.inside_smallest, inside_largest=row.inside_largest)
