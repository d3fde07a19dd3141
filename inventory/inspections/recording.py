"""An inspection is kept: once, in its place among the others of the piece, with its photo; and what came of it."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from inventory.inspections.form import InspectionForm
from inventory.inspections.limits import limits_of
from inventory.measures.length_words import shown
from inventory.models import Inspection, InspectionPhoto, Tool, User
from inventory.models.wear import USABLE_CONDITIONS


class AlreadyKept(Exception):
    """Nothing is left to do; the text says why."""


class CannotInspect(Exception):
    """The piece is not to be inspected; the text says why."""


@transaction.atomic
def record(tool: Tool, form: InspectionForm, *, by: User, corrects: Inspection | None) -> Inspection:
    """Keep what the valid form says of the locked piece. Raises AlreadyKept and CannotInspect."""
    token: UUID = form.cleaned_data["token"]
    if Inspection.objects.filter(token=token).exists():
        raise AlreadyKept(f"{tool}: this inspection was saved already; nothing was added.")
    if corrects and Inspection.objects.filter(corrects=corrects).exists():
        raise AlreadyKept("That inspection was corrected already; nothing was added.")
    if tool.retired_at:
        raise CannotInspect(f"{tool} is retired. Take it back into Gripbook, then inspect it.")
    # Whoever has an indicator on it has found it.
    tool.missing_since = None
    columns = {**form.columns(), "by": by, "token": token, "corrects": corrects}
    is_late = corrects is None and tool.inspected_on is not None and columns["taken_on"] < tool.inspected_on
    inspection = tool.record(**columns, is_late=is_late)
    if form.cleaned_data["photo"]:
        InspectionPhoto.objects.create(inspection=inspection, jpeg=form.cleaned_data["photo"])
    return inspection


def outcome(tool: Tool, inspection: Inspection, *, was_missing: bool) -> str:
    """The sentence for whoever pressed Keep."""
    reading = f"{shown(inspection.tir)} TIR saved" if inspection.tir is not None else "inspection saved"
    parts = [f"{tool}: {reading}"]
    if inspection.corrects_id:
        parts.append("the mistyped one stays in the history, struck through")
    parts.append(_state(tool, inspection))
    if was_missing:
        parts.append("and it is found again")
    return "; ".join(parts) + "."


def _state(tool: Tool, inspection: Inspection) -> str:
    if inspection.taken_on != tool.inspected_on:
        return "it is older than the last inspection, which stays the current one"
    if tool.is_found_unfit:
        return f"{tool.finding}, so it is {tool.condition} and out of use"
    if limit := limits_of(tool).exceeded_by(tool.tir, tool.condition):
        return f"that is over its limit of {shown(limit)}, and it is still called good"
    if tool.condition not in USABLE_CONDITIONS:
        return f"it is {tool.condition}, and out of use"
    return f"it is {tool.condition}"
