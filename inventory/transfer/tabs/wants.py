"""The order list, out and in, line by line, from wanted to received or dropped."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any, cast

from django.db import models
from msgspec import Struct, structs

from inventory.measures.lengths import Length, shorten
from inventory.models import CountedItem, Kind, SeriesShape, Size, Want
from inventory.models.wants import MOST_OF_ONE, OPEN
from inventory.orders.ordering import standing_like
from inventory.transfer.tabs.cells import Cents
from inventory.transfer.tabs.entering import Entering, OwnTab, TabReport, refuse, rows_in

_TEXTS = ("what", "kind", "mount", "takes", "state", "why", "supplier", "order_number", "in_set")


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


def enter(tab: OwnTab, entering: Entering, report: TabReport) -> None:
    """Enter lines of the order list that are new, and bring open ones to what their rows say.

    A line that was received or dropped stays as the book has it, and so does one for which another stands.
    """
    wants = entering.to_change(Want.objects.with_names())
    by_key = {_key(row_of(want)): want for want in wants}
    for line, row in rows_in(tab, WantRow, report):
        row = structs.replace(row, asked_by=entering.known_name(row.asked_by))
        want = by_key.get(_key(row))
        if want is not None and row_of(want) == row:
            report.unchanged += 1
            continue
        if want is not None and not want.is_open:
            report.left.append(f"Row {line}: {want.name} is {want.get_state_display()} in Gripbook, and stays so.")
            report.unchanged += 1
            continue
        if columns := _columns(row, line, entering, report):
            _keep(want, columns, row, line, entering, report)


def _key(row: WantRow) -> tuple[str, str, Length | None, str, str, datetime]:
    return row.series.upper(), row.shape, row.size, row.item.upper(), row.what.upper(), row.asked


def _columns(row: WantRow, line: int, entering: Entering, report: TabReport) -> dict[str, Any] | None:
    """The columns of the want; None where the row is refused."""
    if (bool(row.series or row.size), bool(row.item), bool(row.what)).count(True) != 1:
        refuse(report, line, "what", row.what, "Write one of three: a series with its size, an item, or what in words.")
        return None
    for name, text, accepted in (
        ("state", row.state, Want.State.values),
        ("kind", row.kind, ["", *(kind.value for kind in Kind)]),
    ):
        if text not in accepted:
            refuse(
                report, line, name, text, f"“{shorten(text)}” is no {name}. Write {', '.join(filter(None, accepted))}."
            )
            return None
    if not 1 <= row.quantity <= MOST_OF_ONE:
        refuse(report, line, "quantity", row.quantity, f"Write how many, 1 to {MOST_OF_ONE:,}.")
        return None
    if row.received is not None and row.state != Want.State.RECEIVED:
        refuse(report, line, "received", row.received, "Only a line in the state received has a moment when it was.")
        return None
    named = {name: getattr(row, name) for name in _TEXTS}
    for name, text in named.items():
        longest = cast(models.Field, Want._meta.get_field(name)).max_length
        if longest is not None and len(text) > longest:
            refuse(report, line, name, text, f"{len(text)} characters were read; at most {longest} are accepted.")
            return None
    thing = _thing(row, line, report)
    if thing is None:
        return None
    return (
        named
        | thing
        | {
            "quantity": row.quantity,
            "price_cents": row.price,
            "expected_on": row.expected_on,
            "received_at": row.received,
            "asked_by": entering.people.get(row.asked_by),
        }
    )


def _thing(row: WantRow, line: int, report: TabReport) -> dict[str, Any] | None:
    if row.what:
        return {}
    if row.item:
        item = CountedItem.objects.filter(name__iexact=row.item).first()
        if item is None:
            refuse(report, line, "item", row.item, f"“{shorten(row.item)}” is not among what is counted here.")
        return None if item is None else {"item": item}
    figures = SeriesShape.objects.select_related("series").filter(
        series__code__iexact=row.series, shape=row.shape or "round"
    )
    of_series = figures.first()
    if of_series is None or row.size is None or not of_series.takes_nominal(row.size):
        size_asked = f"{row.series} {row.shape} {row.size or ''}".strip()
        refuse(report, line, "size", size_asked, f"“{shorten(size_asked)}” is no size of a series that is known here.")
        return None
    return {"size": Size.objects.of(of_series, row.size)}


def _keep(
    want: Want | None, columns: dict[str, Any], row: WantRow, line: int, entering: Entering, report: TabReport
) -> None:
    same = standing_like(**columns) if row.state in OPEN else None
    if same is not None and (want is None or same.pk != want.pk):
        report.left.append(f"Row {line}: {same.name} stands on the order list already, and stays as it is.")
        report.unchanged += 1
        return
    if want is not None:
        entering.book_rows.note_before_change([Want.objects.get(pk=want.pk)])
        for name, value in columns.items():
            setattr(want, name, value)
        want.save()
        report.updated += 1
        return
    want = Want.objects.create(**columns)
    Want.objects.filter(pk=want.pk).update(asked_at=row.asked)
    entering.book_rows.note_made([want])
    report.added += 1
