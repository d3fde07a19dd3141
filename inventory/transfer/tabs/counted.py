"""Counted stock out: a row for each place of a thing, and one for a thing that has no place."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import CountedItem, CountedStock
from inventory.transfer.tabs.cells import Cents


class CountedRow(Struct, frozen=True, kw_only=True):
    """How many of one thing lie in one place; what is said of the thing stands in each of its rows."""

    name: str
    group: str
    unit: str
    low_mark: int | None
    size: Length | None
    cost: Cents | None
    notes: str
    retired: bool
    place: str
    count: int | None


def rows() -> Iterator[CountedRow]:
    for item in CountedItem.objects.with_places().order_by("name"):
        stocks: list[CountedStock | None] = [*item.stocks.all()]
        for stock in stocks or [None]:
            yield row_of(item, stock)


def row_of(item: CountedItem, stock: CountedStock | None) -> CountedRow:
    return CountedRow(
        name=item.name,
        group=item.group,
        unit=item.unit,
        low_mark=item.low_mark,
        size=item.size,
        cost=None if item.cost_cents is None else Cents(item.cost_cents),
        notes=item.notes,
        retired=item.retired_at is not None,
        place=stock.location.name if stock else "",
        count=stock.count if stock else None,
    )
