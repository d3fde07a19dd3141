"""Setup sheets of Millrace Works: a part made often, one still being written, and the tools in their holders."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from typing import Any

from msgspec import Struct

from fitfinder.plan.question import JobQuestion
from fitfinder.plan.setup_sheets import keep_sheet
from fitfinder.setups.inputs import PitchInput
from inventory.measures.lengths import Length, parse
from inventory.models import HeldTool, SetupOperation, SetupRun, SetupSheet, Tool, User

HELD = {"T-0107": "H-0078", "T-0108": "H-0079", "T-0110": "H-0080", "T-0109": "H-0081"}
"""Which tool sits in which holder."""
_LENGTHS = {"height", "stick_out", "diameter", "feed", "hole", "pitch"}


class DemoSheet(Struct, frozen=True, kw_only=True):
    """A part, the job that its plan is asked, and its cuts: each the columns of an operation."""

    job: dict[str, str]
    number: str
    revision: str
    name: str
    material: str
    note: str
    cuts: tuple[dict[str, str], ...]
    days_ago: int
    is_used: bool


_SHEETS = (
    DemoSheet(
        job={"size": "3/4", "grade": "cold-drawn", "length": "5", "stick_out": "1-1/2", "parts": "12"},
        number="MW-4471",
        revision="B",
        name="Idler pin",
        material="low-carbon steel",
        note="The shoulder is the datum: face first, then turn to it.",
        cuts=(
            {"does": "facing", "tool": "T-0107", "position": "1", "height": "0 in", "stick_out": "1 in"},
            {"does": "center drilling", "tool_words": "No. 3 center drill", "diameter": "1/4 in", "note": "Oil."},
            {"does": "turning", "tool": "T-0107", "position": "1", "height": "0 in", "stick_out": "1 in",
             "diameter": "0.625 in", "feed": "0.004 in", "stop": "carriage stop, 1.250"},
            {"does": "parting", "tool": "T-0109", "position": "2", "height": "0.004 in", "stick_out": "1/2 in",
             "diameter": "5/8 in", "feed": "0.002 in", "note": "Close to the nose."},
        ),
        days_ago=75,
        is_used=True,
    ),
    DemoSheet(
        job={"size": "1", "grade": "cold-drawn", "length": "4", "stick_out": "1-1/2", "parts": "20"},
        number="MW-3082",
        revision="A",
        name="Clamp knob",
        material="free-cutting steel",
        note="",
        cuts=(
            {"does": "turning", "tool": "T-0107", "position": "1", "height": "0 in", "stick_out": "1 in",
             "diameter": "0.980 in", "feed": "0.005 in"},
            {"does": "knurling", "tool": "T-0110", "position": "3", "diameter": "0.980 in", "pitch": "21 tpi",
             "pattern": "diamond", "making": "formed"},
            {"does": "drilling", "tool_words": "27/64 drill", "diameter": "27/64 in"},
            {"does": "tapping", "tool_words": "1/2-13 tap", "hole": "27/64 in", "pitch": "13 tpi",
             "note": "By hand, guided by the tailstock."},
            {"does": "parting", "tool": "T-0109", "position": "2", "stick_out": "5/8 in", "diameter": "0.980 in"},
        ),
        days_ago=1,
        is_used=False,
    ),
)  # fmt: skip
_RUN = {"parts": 12, "setup_hundredths": 2200, "part_hundredths": 650, "note": "A sharp blade parts in half the time."}


def load(tools: dict[str, Tool], *, now: datetime, by: User) -> None:
    """What has not its pieces stays away."""
    for tool, holder in HELD.items():
        if tool in tools and holder in tools and not HeldTool.objects.filter(holder=tools[holder]).exists():
            HeldTool.objects.get_or_create(tool=tools[tool], defaults={"holder": tools[holder]})
    for one in _SHEETS:
        needed = {cut["tool"] for cut in one.cuts if "tool" in cut}
        if needed <= tools.keys() and not SetupSheet.objects.filter(number=one.number).exists():
            _write(one, tools, now=now, by=by)


def _write(one: DemoSheet, tools: dict[str, Tool], *, now: datetime, by: User) -> None:
    question = JobQuestion.from_texts(one.job)
    way = question.plan().lead
    if way is None or not way.is_here:
        return  # On lathes of a person's own.
    sheet = keep_sheet(
        way, question, by=by, token=uuid.uuid4(), name=one.name, number=one.number, revision=one.revision
    )
    sheet.material, sheet.note = one.material, one.note
    for order, cut in enumerate(one.cuts, start=1):
        _cut(sheet, order, cut, tools)
    made = now - timedelta(days=one.days_ago)
    if one.is_used:
        sheet.frozen_at, sheet.frozen_by = made + timedelta(hours=1), by
        day = (made + timedelta(days=1)).date()
        SetupRun.objects.create(sheet=sheet, ran_on=day, written_by=by, token=uuid.uuid4(), **_RUN)
    sheet.save()
    SetupSheet.objects.filter(pk=sheet.pk).update(made_at=made)


def _cut(sheet: SetupSheet, order: int, cut: dict[str, str], tools: dict[str, Tool]) -> None:
    columns: dict[str, Any] = {name: _value(name, text) for name, text in cut.items() if name != "tool"}
    tool = tools[cut["tool"]] if "tool" in cut else None
    holder = tools.get(HELD.get(cut.get("tool", ""), ""))
    SetupOperation.objects.create(sheet=sheet, order=order, tool=tool, holder=holder, **columns)


def _value(name: str, text: str) -> str | Length:
    if name not in _LENGTHS:
        return text
    if name == "pitch":
        return PitchInput().clean(text)
    return Length(0) if text == "0 in" else parse(text)
