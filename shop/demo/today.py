"""What is going on at Millrace Works just now: drawers counted, a setup sheet in use, a sheet half imported."""

import uuid
from datetime import datetime, time, timedelta
from pathlib import Path

from django.utils import timezone

from fitfinder.plan.question import JobQuestion
from fitfinder.plan.setup_sheets import keep_sheet
from inventory.keeping.reservations import pieces_of, reserve
from inventory.models import (
    Count,
    CountAnswer,
    CountLine,
    Loan,
    Location,
    SetupSheet,
    SheetImport,
    ShiftNote,
    Tool,
    User,
)
from inventory.transfer import headings, in_progress, sheets
from shop.demo import setups

_COUNTED = {"E2": 12, "E4": 19, "H1": 75}
"""Place -> days since its count was closed. In E2 the piece was not found that is missing since."""
_NOT_FOUND = "C-0036"
_BEING_COUNTED, _MINUTES_AGO = "E5", 35
_ANSWERS = {
    "C-0058": CountAnswer.HERE,
    "C-0059": CountAnswer.HERE,
    "C-0060": CountAnswer.HERE,
    "C-0063": CountAnswer.NOT_HERE,
}
_JOB = {"size": "2-1/8", "shape": "tube", "bore": "1/2", "length": "1-1/2", "parts": "6", "lathe": "Lathe 1"}
_JOB_NAME, _JOB_DAYS_AGO = "Impeller hub, feed pump", 41
_TAKEN = ("H-0088",)
"""Of the sheet's pieces; the others are still in their places."""
_NOTE, _NOTE_HOURS_AGO = "Lathe 2 hums in back gear: leave it off until the belt is looked at.", 5
_SHEET = Path(__file__).with_name("estate_sale.csv")


def load(tools: dict[str, Tool], *, now: datetime) -> None:
    """Begin what is not begun and never was; without the pieces that it is about it stays away."""
    keeper, machinist = (User.objects.get(username=name) for name in ("keeper", "machinist"))
    if not Count.objects.exists():
        _count(tools, now=now, by=keeper)
    if not SetupSheet.objects.exists() and set(_TAKEN) <= tools.keys():
        _set_up(tools, now=now, by=machinist)
        setups.load(tools, now=now, by=machinist)
    if not ShiftNote.objects.exists():
        _write_a_note(now=now, by=keeper)
    if not SheetImport.objects.exists():
        _import_half(by=keeper, at=now - timedelta(days=1))


def _count(tools: dict[str, Tool], *, now: datetime, by: User) -> None:
    for name, days_ago in _COUNTED.items():
        ended = now - timedelta(days=days_ago)
        count = _open_count(name, at=ended - timedelta(minutes=20), by=by, ended_at=ended, ended_by=by)
        for tool in Tool.objects.in_book().filter(location=count.place, pk__in=[one.pk for one in tools.values()]):
            is_lost = tool.tag == _NOT_FOUND
            _say(
                count, tool, CountAnswer.NOT_HERE if is_lost else CountAnswer.HERE, outcome="missing" if is_lost else ""
            )
    count = _open_count(_BEING_COUNTED, at=now - timedelta(minutes=_MINUTES_AGO), by=by)
    for tag, answer in _ANSWERS.items():
        if tag in tools:
            _say(count, tools[tag], answer)


def _open_count(name: str, *, at: datetime, by: User, **ended) -> Count:
    return Count.objects.create(place=Location.objects.get(name=name), begun_at=at, begun_by=by, **ended)


def _say(count: Count, tool: Tool, answer: CountAnswer, *, outcome: str = "") -> None:
    at = count.begun_at + timedelta(minutes=5)
    CountLine.objects.create(count=count, tool=tool, answer=answer, at=at, by=count.begun_by, outcome=outcome)


def _set_up(tools: dict[str, Tool], *, now: datetime, by: User) -> None:
    """The best way of the job's plan, kept for the first batch; for the second some of it is issued."""
    question = JobQuestion.from_texts(_JOB)
    way = next((way for way in question.plan().ways if set(_TAKEN) <= {piece.tag for piece in way.pieces}), None)
    if way is None:
        return  # On lathes of a person's own.
    sheet = keep_sheet(way, question, by=by, token=uuid.uuid4(), name=_JOB_NAME)
    made = now - timedelta(days=_JOB_DAYS_AGO)
    SetupSheet.objects.filter(pk=sheet.pk).update(made_at=made, frozen_at=made, frozen_by=by)
    for tag in _TAKEN:
        at, due = now - timedelta(hours=2), now.date() + timedelta(days=3)
        Loan.objects.issue(
            tool=tools[tag], to=by, at=at, token=uuid.uuid4(), due_on=due, lathe=sheet.lathe, sheet=sheet
        )
    _wait_for_tomorrow(sheet, now=now, by=by)


def _wait_for_tomorrow(sheet: SetupSheet, *, now: datetime, by: User) -> None:
    """The next batch is to begin tomorrow at seven on the shop's clock."""
    day = timezone.localdate(now) + timedelta(days=1)
    starts_at = datetime.combine(day, time(7), timezone.get_current_timezone())
    lapses_at = starts_at + timedelta(days=1)
    token = uuid.uuid4()
    reserve(sheet, pieces_of(sheet), starts_at=starts_at, lapses_at=lapses_at, by=by, at=now, token=token)


def _write_a_note(*, now: datetime, by: User) -> None:
    ShiftNote.objects.create(text=_NOTE, written_by=by, written_at=now - timedelta(hours=_NOTE_HOURS_AGO))


def _import_half(*, by: User, at: datetime) -> None:
    """A sheet that was read, with rows that wait to be put right before anybody takes it."""
    content = _SHEET.read_bytes()
    sent = in_progress.SheetInProgress(
        in_progress.begin(sheets.grid(content, name=_SHEET.name), content=content, by=by)
    )
    in_progress.settle_columns(sent, headings.guessed_choices(sent.sheet.headings, sent.contents), by=by)
    in_progress.answer(sent.sent, unit="in", dates="")
    while not sent.is_read:
        in_progress.read_on(sent)
    SheetImport.objects.filter(pk=sent.sent.pk).update(made_at=at)
