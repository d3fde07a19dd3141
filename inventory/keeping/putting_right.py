"""What closing a count does to a piece: what happened to it after somebody said that it is there beats that."""

from __future__ import annotations

from datetime import datetime

from django.db.models import Q
from django.utils import timezone

from inventory.keeping.mounting import take_off
from inventory.models import CountAnswer, CountLine, Loan, Location, Tool, User


def put_right(tool: Tool, line: CountLine, place: Location, *, by: User, at: datetime) -> str:
    """Bring the locked piece to what was said of it; what that changed, in words."""
    if tool.retired_at is not None:
        return "retired meanwhile"
    if line.answer == CountAnswer.NOT_HERE:
        return _mark_missing(tool, line, at)
    changed = [_end_loan(tool, line, by=by, at=at), _take_off_lathe(tool, line), _mark_found(tool, line)]
    if line.answer == CountAnswer.MOVE_IN and tool.location_id != place.pk:
        changed.append(f"moved from {tool.location.called}" if tool.location else "got its place")
        tool.location = place
        tool.save()
    elif line.answer == CountAnswer.GOES_BACK and tool.location and tool.location_id != place.pk:
        changed.append(f"goes back to {tool.location.called}")
    return ", ".join(words for words in changed if words)


def _mark_missing(tool: Tool, line: CountLine, at: datetime) -> str:
    if tool.missing_since is not None:
        return "still missing"
    if tool.mounted_on_id is not None:
        return f"on {tool.mounted_on}"
    loan = tool.loans.filter(Q(returned_at=None) | Q(returned_at__gt=line.at)).select_related("borrower").first()
    if loan is not None:
        return f"out to {loan.borrower}" if loan.returned_at is None else "returned meanwhile"
    if tool.inspections.filter(recorded_at__gt=line.at).exists():
        return "inspected meanwhile"
    tool.missing_since = timezone.localdate(at)
    tool.save()
    return "missing"


def _end_loan(tool: Tool, line: CountLine, *, by: User, at: datetime) -> str:
    """What lay here was not out, whatever the book said; unless it went out after that."""
    loan = tool.loans.open().filter(issued_at__lte=line.at).select_related("borrower").first()
    if loan is None:
        return ""
    Loan.objects.filter(pk=loan.pk).end(by=by, at=at)
    return f"returned for {loan.borrower}"


def _take_off_lathe(tool: Tool, line: CountLine) -> str:
    """Nor was it on a lathe; unless it was put there after that."""
    if tool.mounted_on_id is None:
        return ""
    before = _as_it_was(tool, line)
    if before and before.mounted_on_id != tool.mounted_on_id:
        return ""
    lathe = tool.mounted_on
    take_off(tool)
    return f"taken off {lathe}"


def _mark_found(tool: Tool, line: CountLine) -> str:
    if tool.missing_since is None:
        return ""
    before = _as_it_was(tool, line)
    if before and before.missing_since != tool.missing_since:
        return ""
    tool.missing_since = None
    tool.save()
    return "found"


def _as_it_was(tool: Tool, line: CountLine):
    """The entry of its history when somebody said something of it; None where it was entered later."""
    return tool.history.filter(history_date__lte=line.at).first()
