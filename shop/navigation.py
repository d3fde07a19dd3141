"""The five places; at a desk the pages under the one that is open are listed at the side, with how many each has."""

from collections.abc import Callable, Mapping
from typing import Any

import msgspec
from django.db.models import IntegerField, QuerySet, Subquery

from inventory.models import (
    Count,
    CountedItem,
    Lathe,
    Loan,
    Location,
    SetupSheet,
    SheetImport,
    Tool,
    User,
    Want,
)


class Door(msgspec.Struct, frozen=True):
    """A page under a place: its words, its name among the addresses, and what is counted beside it."""

    words: str
    name: str
    counted: Callable[[User], QuerySet[Any]] | None = None
    is_for: Callable[[User], bool] = lambda user: True


class DoorLine(msgspec.Struct, frozen=True):
    """A door as it is shown to one person."""

    words: str
    name: str
    count: int | None


def _keeps(user: User) -> bool:
    return user.may_keep


def _buys(user: User) -> bool:
    return user.may_buy or user.may_keep


def _administers(user: User) -> bool:
    return user.may_administer


DOORS = {
    "find": (
        Door("Pocket card", "card"),
        Door("Which collet is this?", "which_collet"),
        Door("Shop arithmetic", "arithmetic_list"),
        Door("Where our numbers come from", "numbers"),
    ),
    "plan": (
        Door("Setup sheets", "setup_sheets", lambda user: SetupSheet.objects.in_use()),
        Door("Which center?", "which_center"),
        Door("Which holder?", "which_holder"),
        Door("Shop arithmetic", "arithmetic_list"),
        Door("Working minutes", "working_minutes", is_for=_keeps),
        Door("Surface speeds", "surface_speeds", is_for=_keeps),
    ),
    "tooling": (
        Door("Pieces", "tool_list", lambda user: Tool.objects.in_book()),
        Door("Drawers", "place_list", lambda user: Location.objects.in_use()),
        Door("Lathes", "lathe_list", lambda user: Lathe.objects.in_use()),
        Door("Counted stock", "counted_list", lambda user: CountedItem.objects.in_book()),
        Door("Series of collets", "series_list"),
        Door("Which collet is this?", "which_collet"),
        Door("Labels", "labels"),
    ),
    "buying": (
        Door("What is short", "short"),
        Door("What to buy", "buy", is_for=_buys),
        Door("Orders", "orders", lambda user: Want.objects.open(), is_for=_buys),
        Door("Blank or buy", "blanks", is_for=_buys),
        Door("Our stock bar", "demand", is_for=_buys),
        Door("Prices", "prices", is_for=_buys),
        Door("For the meeting", "meeting", is_for=_buys),
    ),
    "desk": (
        Door("Mine", "my_pieces", lambda user: Loan.objects.open().filter(borrower=user)),
        Door("Shift to shift", "shift"),
        Door("Tomorrow's jobs", "lay_out"),
        Door("Due", "due"),
        Door("Details to fill in", "details_missing", lambda user: Tool.objects.details_missing(), is_for=_keeps),
        Door("Counts", "count_list", lambda user: Count.objects.open(), is_for=_keeps),
        Door("Import a sheet", "import_sheet", lambda user: SheetImport.objects.filter(taken_at=None), is_for=_keeps),
        Door("Drawers", "place_list"),
        Door("Labels", "labels"),
        Door("The shop", "the_shop", is_for=_administers),
        Door("People", "people", is_for=_administers),
        Door("Backup", "backup", is_for=_administers),
    ),
}


def doors(place: str, user: User, counted: Mapping[str, int]) -> list[DoorLine]:
    """The pages under this place that this person may open.

    `counted` is what the page counted already, by the name of the door; all else is counted in one query.
    """
    open_to = [door for door in DOORS.get(place, ()) if door.is_for(user)]
    asked = {door.name: door.counted(user) for door in open_to if door.counted and door.name not in counted}
    counts = {**counted, **_counts(asked, user)}
    return [DoorLine(door.words, door.name, counts.get(door.name)) for door in open_to]


def _counts(counted: dict[str, QuerySet[Any]], user: User) -> dict[str, int]:
    if not counted:
        return {}
    how_many = [HowMany(rows.order_by().values("pk")) for rows in counted.values()]
    row = User.objects.filter(pk=user.pk).values_list(*how_many).get()
    return dict(zip(counted, row, strict=True))


class HowMany(Subquery):
    """How many rows there are, as a column of another query."""

    template = "(SELECT COUNT(*) FROM (%(subquery)s) counted)"
    output_field = IntegerField()
