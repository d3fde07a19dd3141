"""A drawer counted: what is expected in it, what was said of each piece, and the differences put right at the end.

Nothing is changed before somebody closes the count, so that it can be dropped. What happened to a piece after somebody
said that it is there, or not, beats what was said.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from django.db import IntegrityError, transaction
from django.db.models import Count as Number
from django.db.models import Exists, F, OuterRef, Q, Subquery
from django.utils import timezone

from inventory.keeping.mounting import take_off
from inventory.models import Answer, Count, CountLine, Loan, Location, Tool

MOST_LINES = 2_000
"""A place with more pieces is no drawer; it is counted by the places inside it."""


class CannotCount(Exception):
    """The count cannot be gone on with like this; the text says why."""


@dataclass
class Sheet:
    """One count as a page shows it: what nobody said anything of, what was said, and what is away by the book."""

    open: list[Tool] = field(default_factory=list)
    said: list[CountLine] = field(default_factory=list)
    away: list[Tool] = field(default_factory=list)


def to_count():
    """The places in which pieces belong and which nobody counts now, the longest uncounted first.

    Each has `pieces`, how many belong in it, and `counted_at`, when its last count was closed.
    """
    counts = Count.objects.filter(place=OuterRef("pk"))
    closed = counts.filter(is_dropped=False, ended_at__isnull=False).order_by("-ended_at").values("ended_at")[:1]
    places = Location.objects.in_use().annotate(
        pieces=Number("tools", filter=Q(tools__retired_at=None)), counted_at=Subquery(closed)
    )
    waiting = places.filter(~Exists(counts.open()), pieces__gt=0)
    return waiting.order_by(F("counted_at").asc(nulls_first=True), "name")


def begin(place: Location, *, by) -> Count:
    """The open count of this place; a new one where there is none. Two who begin at once count together."""
    if place.retired_at is not None:
        raise CannotCount(f"{place} is retired, and nothing belongs there.")
    try:
        with transaction.atomic():
            found = Count.objects.open().filter(place=place).first()
            return found or Count.objects.create(place=place, begun_at=timezone.now(), begun_by=by)
    except IntegrityError:
        return Count.objects.open().get(place=place)


def sheet(count: Count) -> Sheet:
    said = list(count.lines.select_related("tool__size__series", "tool__location", "by"))
    known = {line.tool_id for line in said}
    found = Sheet(said=said)
    for tool in _belonging(count).for_list().with_open_loans().order_by("tag")[:MOST_LINES]:
        if tool.pk not in known:
            is_away = tool.loan is not None or tool.mounted_on_id is not None
            (found.away if is_away else found.open).append(tool)
    return found


def _belonging(count: Count):
    return Tool.objects.in_book().filter(location=count.place_id)


@transaction.atomic
def say(count: Count, tools, answer: Answer, *, by) -> int:
    """Keep what was said of these pieces; what was said of them before is replaced. How many they are."""
    count = _locked(count)
    now = timezone.now()
    pieces = list(Tool.objects.in_book().filter(Q(location=count.place_id) | Q(count_lines__count=count), pk__in=tools))
    for tool in {tool.pk: tool for tool in pieces}.values():
        kept = _fitting(answer, tool, count)
        CountLine.objects.update_or_create(count=count, tool=tool, defaults={"answer": kept, "at": now, "by": by})
    return len({tool.pk for tool in pieces})


@transaction.atomic
def say_all(count: Count, here, missing, *, by) -> tuple[int, int]:
    """Keep that these are here and those are not, both or neither. How many they are."""
    return say(count, here, Answer.HERE, by=by), say(count, missing, Answer.NOT_HERE, by=by)


def _fitting(answer: Answer, tool: Tool, count: Count) -> Answer:
    """A piece that belongs elsewhere and is here goes back, unless it was said that it is moved."""
    return Answer.GOES_BACK if answer == Answer.HERE and tool.location_id != count.place_id else answer


@transaction.atomic
def say_extra(count: Count, tag: str, answer: Answer, *, by) -> Tool:
    """A piece that lies here and belongs elsewhere, by its tag. Raises CannotCount for one that is not in the book."""
    count = _locked(count)
    tool = Tool.objects.tagged(tag).select_related("location").first()
    if tool is None:
        raise CannotCount(f"No piece has the tag “{tag.strip()[:20]}”. Look at the piece again, or enter it first.")
    if tool.retired_at is not None:
        raise CannotCount(f"{tool} is retired. Take it back into the book first, or leave it out.")
    belongs = tool.location_id == count.place_id
    if not belongs and answer == Answer.GOES_BACK and tool.location_id is None:
        raise CannotCount(f"{tool} has no place to go back to. Move it here.")
    CountLine.objects.update_or_create(
        count=count,
        tool=tool,
        defaults={"answer": Answer.HERE if belongs else answer, "at": timezone.now(), "by": by},
    )
    return tool


@transaction.atomic
def close(count: Count, *, unsaid: set[int], by) -> Count:
    """Put the differences right and end the count.

    `unsaid` are the pieces that the page showed as not found by anybody: these are missing. Raises CannotCount where
    they are others by now.
    """
    count = _locked(count)
    left = {tool.pk for tool in sheet(count).open}
    if left != unsaid:
        raise CannotCount("Something was counted, taken or moved since this page was drawn. Look again, then close.")
    now = timezone.now()
    CountLine.objects.bulk_create(
        CountLine(count=count, tool_id=pk, answer=Answer.NOT_HERE, at=now, by=by) for pk in sorted(left)
    )
    # In one order, so that two who change the same pieces wait for each other and do not block each other.
    for line in count.lines.order_by("tool_id"):
        tool = Tool.objects.select_for_update().get(pk=line.tool_id)
        line.outcome = _put_right(tool, line, count.place, by=by)
        line.save(update_fields=["outcome"])
    return _end(count, by=by)


@transaction.atomic
def drop(count: Count, *, by) -> Count:
    """End the count and leave everything as it is; what was said stays in its history."""
    count = _locked(count)
    count.is_dropped = True
    return _end(count, by=by)


def _end(count: Count, *, by) -> Count:
    count.ended_at, count.ended_by = timezone.now(), by
    count.save(update_fields=["ended_at", "ended_by", "is_dropped"])
    return count


def _locked(count: Count) -> Count:
    found = Count.objects.select_for_update(of=("self",)).select_related("place").get(pk=count.pk)
    if not found.is_open:
        raise CannotCount(f"This count of {found.place} was {'dropped' if found.is_dropped else 'closed'} already.")
    return found


def _put_right(tool: Tool, line: CountLine, place: Location, *, by) -> str:
    """Bring the piece to what was said of it; what that changed, in words."""
    if tool.retired_at is not None:
        return "retired meanwhile"
    if line.answer == Answer.NOT_HERE:
        return _missing(tool, line)
    changed = [*_returned(tool, line, by=by), *_found(tool, line)]
    if line.answer == Answer.MOVE_IN and tool.location_id != place.pk:
        changed.append(f"moved from {tool.location}" if tool.location else "got its place")
        tool.location = place
        tool.save()
    elif line.answer == Answer.GOES_BACK and tool.location_id not in (None, place.pk):
        changed.append(f"goes back to {tool.location}")
    return ", ".join(changed)


def _missing(tool: Tool, line: CountLine) -> str:
    if tool.missing_since is not None:
        return "still missing"
    if tool.mounted_on_id is not None:
        return f"on {tool.mounted_on}"
    loan = tool.loans.filter(Q(returned_at=None) | Q(returned_at__gt=line.at)).select_related("borrower").first()
    if loan is not None:
        return f"out to {loan.borrower}" if loan.returned_at is None else "returned meanwhile"
    if tool.inspections.filter(recorded_at__gt=line.at).exists():
        return "inspected meanwhile"
    tool.missing_since = timezone.localdate()
    tool.save()
    return "missing"


def _returned(tool: Tool, line: CountLine, *, by) -> list[str]:
    """What lay here was neither out nor on a lathe, whatever the book said; unless it went out after that."""
    changed = []
    loan = tool.loans.open().filter(issued_at__lte=line.at).select_related("borrower").first()
    if loan is not None:
        Loan.objects.filter(pk=loan.pk).end(by=by, at=timezone.now())
        changed.append(f"returned for {loan.borrower}")
    if tool.mounted_on_id is not None and not _changed_since(tool, line, mounted_on=tool.mounted_on_id):
        changed.append(f"taken off {tool.mounted_on}")
        take_off(tool)
    return changed


def _found(tool: Tool, line: CountLine) -> list[str]:
    if tool.missing_since is None or _changed_since(tool, line, missing_since=tool.missing_since):
        return []
    tool.missing_since = None
    tool.save()
    return ["found"]


def _changed_since(tool: Tool, line: CountLine, **state) -> bool:
    """Whether the piece came into its present state only after somebody said something of it."""
    last_before = tool.history.filter(history_date__lte=line.at).first()
    return last_before is not None and any(
        getattr(last_before, name if name != "mounted_on" else "mounted_on_id") != value
        for name, value in state.items()
    )
