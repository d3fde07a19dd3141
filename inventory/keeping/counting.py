"""A drawer counted: what is expected in it, and what was said of each piece; `putting_right` does what follows from it.

Nothing is changed before somebody closes the count, so that it can be dropped, and gone on with by anybody.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime

from django import forms
from django.db import IntegrityError, transaction
from django.db.models import Count as Number
from django.db.models import Exists, F, OuterRef, Q, QuerySet, Subquery
from django.utils.text import capfirst

from inventory.keeping.putting_right import put_right
from inventory.measures.inputs import say_plainly
from inventory.models import Count, CountAnswer, CountLine, Location, Tool, User
from inventory.models.tools import ToolQuerySet, along_the_rack

MOST_LINES = 2_000
"""A place with more pieces is no drawer; it is counted by the places inside it."""


class CannotCount(Exception):
    """The count cannot be gone on with like this; the text says why."""


@dataclass
class DrawerCount:
    """One count as a page shows it: pieces that nobody saw or missed, what was said, and what is away by the book."""

    unseen: list[Tool] = field(default_factory=list)
    lines: list[CountLine] = field(default_factory=list)
    away: list[Tool] = field(default_factory=list)


class ExtraForm(forms.Form):
    """A piece that lies here and does not belong here."""

    tag = forms.CharField(max_length=20, label="Tag")
    answer = forms.ChoiceField(
        choices=[(CountAnswer.MOVE_IN, "move it here"), (CountAnswer.GOES_BACK, "it goes back")],
        widget=forms.HiddenInput,
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"tag": "C-0011"})
        self.fields["answer"].error_messages["required"] = "Press “Move it here” or “It goes back to its place”."


def places_to_count() -> QuerySet[Location]:
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


def begin(place: Location, *, by: User, at: datetime) -> Count:
    """The open count of this place; a new one where there is none. Two who begin at once count together."""
    if place.retired_at is not None:
        raise CannotCount(f"{capfirst(place.called)} is retired, and nothing belongs there.")
    try:
        with transaction.atomic():
            open_count = Count.objects.open().filter(place=place).first()
            return open_count or Count.objects.create(place=place, begun_at=at, begun_by=by)
    except IntegrityError:
        return Count.objects.open().get(place=place)


def drawer(count: Count) -> DrawerCount:
    """What is in the drawer of a count, by the book and by those who looked."""
    lines = list(
        count.lines.select_related(
            "tool__size__series", "tool__mounts_in", "tool__offers", "tool__location", "by"
        ).order_by(*along_the_rack("tool__"))
    )
    known = {line.tool_id for line in lines}
    drawer_count = DrawerCount(lines=lines)
    for tool in _belonging(count).for_list().with_open_loans().along_the_rack()[:MOST_LINES]:
        if tool.pk not in known:
            is_away = tool.loan is not None or tool.mounted_on_id is not None
            (drawer_count.away if is_away else drawer_count.unseen).append(tool)
    return drawer_count


def _belonging(count: Count) -> ToolQuerySet:
    return Tool.objects.in_book().filter(location=count.place_id)


@transaction.atomic
def mark(count: Count, keys: Collection[int], answer: CountAnswer, *, by: User, at: datetime) -> int:
    """Keep what was said of these pieces, instead of what was said before. How many they are."""
    count = _locked_count(count)
    asked_for = Q(location=count.place_id) | Q(count_lines__count=count)
    pieces = {tool.pk: tool for tool in Tool.objects.in_book().filter(asked_for, pk__in=keys)}
    for tool in pieces.values():
        fitting = _fitting(answer, tool, count)
        CountLine.objects.update_or_create(count=count, tool=tool, defaults={"answer": fitting, "at": at, "by": by})
    return len(pieces)


@transaction.atomic
def mark_all(
    count: Count, here: Collection[int], missing: Collection[int], *, by: User, at: datetime
) -> tuple[int, int, list[str]]:
    """Keep that these are here and those are not, both or neither. How many they are, and the tags that are left out.

    What is missing by the book is not found again by a word for all: that is said of each by itself.
    """
    lost = dict(Tool.objects.filter(pk__in=here).exclude(missing_since=None).order_by("tag").values_list("pk", "tag"))
    here_count = mark(count, set(here) - set(lost), CountAnswer.HERE, by=by, at=at)
    return here_count, mark(count, missing, CountAnswer.NOT_HERE, by=by, at=at), list(lost.values())


def _fitting(answer: CountAnswer, tool: Tool, count: Count) -> CountAnswer:
    """A piece that belongs elsewhere and is here goes back, unless it was said that it is moved."""
    belongs = tool.location_id == count.place_id
    return CountAnswer.GOES_BACK if answer == CountAnswer.HERE and not belongs else answer


@transaction.atomic
def mark_extra(count: Count, tag: str, answer: CountAnswer, *, by: User, at: datetime) -> Tool:
    """A piece that lies here and belongs elsewhere, by its tag. Raises CannotCount for one that is not in the book."""
    count = _locked_count(count)
    tool = Tool.objects.tagged(tag).select_related("location").first()
    if tool is None:
        raise CannotCount(f"No piece has the tag “{tag.strip()[:20]}”. Look at the piece again, or enter it first.")
    if tool.retired_at is not None:
        raise CannotCount(f"{tool} is retired. Take it back into Gripbook first, or leave it out.")
    belongs = tool.location_id == count.place_id
    if not belongs and answer == CountAnswer.GOES_BACK and tool.location_id is None:
        raise CannotCount(f"{tool} has no place to go back to. Move it here.")
    fitting = CountAnswer.HERE if belongs else answer
    CountLine.objects.update_or_create(count=count, tool=tool, defaults={"answer": fitting, "at": at, "by": by})
    return tool


@transaction.atomic
def close(count: Count, *, unseen: set[int], by: User, at: datetime) -> Count:
    """Put the differences right and end the count.

    `unseen` are the pieces that the page showed as not found by anybody: these are missing. Raises CannotCount where
    they are others by now.
    """
    count = _locked_count(count)
    if unseen != {tool.pk for tool in drawer(count).unseen}:
        raise CannotCount("Something was counted, taken or moved since this page was drawn. Look again, then close.")
    CountLine.objects.bulk_create(
        CountLine(count=count, tool_id=pk, answer=CountAnswer.NOT_HERE, at=at, by=by) for pk in sorted(unseen)
    )
    # In one order, so that two who change the same pieces wait for each other and do not block each other.
    for line in count.lines.order_by("tool_id"):
        tool = Tool.objects.select_for_update().get(pk=line.tool_id)
        line.outcome = put_right(tool, line, count.place, by=by, at=at)
        line.save(update_fields=["outcome"])
    return _end(count, by=by, at=at)


@transaction.atomic
def drop(count: Count, *, by: User, at: datetime) -> Count:
    """End the count and leave everything as it is; what was said stays in its history."""
    count = _locked_count(count)
    count.is_dropped = True
    return _end(count, by=by, at=at)


def _end(count: Count, *, by: User, at: datetime) -> Count:
    count.ended_at, count.ended_by = at, by
    count.save(update_fields=["ended_at", "ended_by", "is_dropped"])
    return count


def _locked_count(count: Count) -> Count:
    locked = Count.objects.select_for_update(of=("self",)).select_related("place").get(pk=count.pk)
    if not locked.is_open:
        raise CannotCount(f"This count of {locked.place} was {'dropped' if locked.is_dropped else 'closed'} already.")
    return locked
