"""The order list out, line by line, from wanted to received or dropped."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import Want
from inventory.transfer.tabs.cells import Cents


class WantRow(Struct, frozen=True, kw_only=True):
    """One line: a size of a series, something that is counted (`item`), or a thing in words (`what`)."""

    series: str
    shape: str
    size: Length | None
    item: str
    what: str
    kind: str
    mount: str
    takes: str
    quantity: int
    state: str
    why: str
    supplier: str
    order_number: str
    price: Cents | None
    in_set: str
    expected_on: date | None
    received: datetime | None
    asked: datetime
    asked_by: str


def rows() -> Iterator[WantRow]:
    return map(row_of, Want.objects.with_names().order_by("asked_at", "pk").iterator(chunk_size=2000))


def row_of(want: Want) -> WantRow:
    return WantRow(
        series=want.size.series.code if want.size else "",
        shape=want.size.shape if want.size else "",
        size=want.size.nominal if want.size else None,
        item=want.item.name if want.item else "",
        what=want.what,
        kind=want.kind,
        mount=want.mount,
        takes=want.takes,
        quantity=want.quantity,
        state=want.state,
        why=want.why,
        supplier=want.supplier,
        order_number=want.order_number,
        price=None if want.price_cents is None else Cents(want.price_cents),
        in_set=want.in_set,
        expected_on=want.expected_on,
        received=want.received_at.replace(microsecond=0) if want.received_at else None,
        asked=want.asked_at.replace(microsecond=0),
        asked_by=want.asked_by.username if want.asked_by else "",
    )
