"""What the demo crib counts instead of tagging: entered, counted by the keeper, and taken from by the machinist."""

import csv
import uuid
from datetime import datetime, timedelta
from pathlib import Path

from inventory.keeping.counted import CountedItemForm
from inventory.keeping.places import place_named
from inventory.models import CountedItem, CountedMovement, CountedStock, User

_TABLE = Path(__file__).resolve().parent / "counted.csv"
_COUNTED_DAYS_AGO = 30
_TAKEN = (("Center drill No. 3", "E4", 1, 6), ("Center drill No. 3", "E4", 1, 2), ("Way oil", "Floor rack", 1, 3))
"""Name, place, how many, days ago."""
_CAME = (("Boring insert 80° small", "F2", 10, 4),)
"""The same, of what was topped up."""

_What = CountedMovement.What


def load(*, now: datetime, keeper: User, machinist: User) -> None:
    """Enter what is not and never was in the book; the figures of the table are what is left today."""
    ever = {name.upper() for name in CountedItem.history.values_list("name", flat=True)}
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["name"].upper() not in ever]
    for row in rows:
        _enter(row, now=now, keeper=keeper, machinist=machinist)


def _enter(row: dict[str, str], *, now: datetime, keeper: User, machinist: User) -> None:
    form = CountedItemForm(row)
    # The demo's own figures: an error here is a mistake in this folder.
    if not form.is_valid():
        raise ValueError(f"The demo crib is wrong at {row}: {form.errors.as_json()}")
    item = form.save()
    item.history.update(history_date=now - timedelta(days=_COUNTED_DAYS_AGO), history_user=keeper)
    for text in row["places"].split(";"):
        place, _, left = text.partition("=")
        stock = CountedStock.objects.create(item=item, location=place_named(place))
        taken, came = _of(_TAKEN, item.name, place), _of(_CAME, item.name, place)
        first = int(left) + sum(how_many for how_many, _ in taken) - sum(how_many for how_many, _ in came)
        _move(stock, _What.COUNTED, first, by=keeper, at=now - timedelta(days=_COUNTED_DAYS_AGO))
        for how_many, days in taken:
            _move(stock, _What.TAKEN, how_many, by=machinist, at=now - timedelta(days=days))
        for how_many, days in came:
            _move(stock, _What.TOPPED_UP, how_many, by=keeper, at=now - timedelta(days=days))


def _of(table, name: str, place: str) -> list[tuple[int, int]]:
    return [(how_many, days) for what, where, how_many, days in table if (what, where) == (name, place)]


def _move(stock: CountedStock, what: CountedMovement.What, how_many: int, *, by: User, at: datetime) -> None:
    CountedStock.objects.move(stock, what, how_many, by=by, at=at, token=uuid.uuid4())
