"""What a keeper does first: at most four of all that waits, each with why and where it is done."""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import chain, islice, zip_longest

from django.urls import reverse
from msgspec import Struct

from inventory.inspections.waiting import Waiting
from inventory.measures import days
from inventory.models import CountedItem, Loan, Tool

MOST = 4


class FirstThing(Struct, frozen=True):
    """One thing to do: its name, the reason, the drawer where that helps, and the words and address of the act.

    With `sends`, names and texts, the act is a button that sends them; else a link.
    """

    what: str
    why: str
    act: str
    address: str
    place: str = ""
    sends: tuple[tuple[str, str], ...] = ()


def first_things(
    *, due: Iterable[Waiting], overdue: Iterable[Loan], missing: Iterable[Tool], low: Iterable[CountedItem]
) -> list[FirstThing]:
    """The first of each list, then the second of each: what may spoil work before what only costs a search."""
    lists = (
        (_inspect(row) for row in due),
        (_get_back(loan) for loan in overdue),
        (_look_for(tool) for tool in missing),
        (_top_up(item) for item in low),
    )
    in_turn: Iterator[FirstThing | None] = chain.from_iterable(zip_longest(*lists))
    return list(islice((thing for thing in in_turn if thing is not None), MOST))


def _day(day: date | None) -> str:
    return days.shown(day) if day else "a day that nobody wrote down"


def _inspect(row: Waiting) -> FirstThing:
    tool = row.tool
    return FirstThing(
        what=f"Inspect {tool.what}, {tool.tag}",
        why=f"{row.why[:1].upper()}{row.why[1:]}.",
        act=f"Inspect {tool.tag}",
        address=reverse("inspect", args=[tool.tag]),
        place=str(tool.location or ""),
    )


def _get_back(loan: Loan) -> FirstThing:
    needed = f" {loan.needed_by} needs it." if loan.needed_by else ""
    return FirstThing(
        what=f"Get {loan.tool.what} back, {loan.tool.tag}",
        why=f"With {loan.borrower}, expected back {_day(loan.due_on)}.{needed}",
        act="It is back",
        address=loan.tool.get_absolute_url(),
    )


def _look_for(tool: Tool) -> FirstThing:
    return FirstThing(
        what=f"Look for {tool.what}, {tool.tag}",
        why=f"Not found since {_day(tool.missing_since)}.",
        act="Found it",
        address=tool.get_absolute_url(),
        place=str(tool.location or ""),
    )


def _top_up(item: CountedItem) -> FirstThing:
    return FirstThing(
        what=f"Top up {item}",
        why=f"{item.total} {item.unit} left; low at {item.low_mark}.",
        act="Open it",
        address=reverse("counted_item", args=[item.pk]),
    )
