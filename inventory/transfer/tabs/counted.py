"""Counted stock, out and in: a row for each place of a thing, and one for a thing that has no place."""

from __future__ import annotations

import uuid
from collections.abc import Iterator

from django.utils.text import capfirst
from msgspec import Struct

from inventory.keeping.counted import CountedItemForm
from inventory.keeping.places import place_named
from inventory.measures.lengths import Length
from inventory.models import CountedItem, CountedMovement, CountedStock, Location
from inventory.transfer.tabs.cells import Cents, headings, texts
from inventory.transfer.tabs.entering import Entering, OwnTab, TabReport, refuse, refuse_form, rows_in

_LONGEST_PLACE = 60


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


def enter(tab: OwnTab, entering: Entering, report: TabReport) -> None:
    """Enter what is counted and is new, and bring what the book has to what its rows say.

    A count is changed by a person: without one, a count that differs is refused.
    """
    items = {item.name.upper(): item for item in entering.to_change(CountedItem.objects.all())}
    seen: set[tuple[str, str]] = set()
    for line, row in rows_in(tab, CountedRow, report):
        key = (row.name.upper(), row.place.upper())
        if key in seen:
            refuse(report, line, "name", row.name, f"{row.name} stands further up with the same place.")
            continue
        seen.add(key)
        item = items.get(row.name.upper())
        stock = _stock(item, row.place)
        if item is not None and row == row_of(item, stock):
            report.unchanged += 1
            continue
        if _is_enterable(row, item, stock, line, entering, report) and (form := _form(row, item, line, report)):
            items[row.name.upper()] = _save(form, row, entering)
            _keep_count(items[row.name.upper()], stock, row, entering)
            report.added += item is None or (stock is None and bool(row.place))
            report.updated += not (item is None or (stock is None and bool(row.place)))


def _stock(item: CountedItem | None, place: str) -> CountedStock | None:
    if item is None or not place:
        return None
    return item.stocks.filter(location__name__iexact=place).select_related("location").first()


def _is_enterable(
    row: CountedRow,
    item: CountedItem | None,
    stock: CountedStock | None,
    line: int,
    entering: Entering,
    report: TabReport,
) -> bool:
    if row.count is not None and not row.place:
        refuse(report, line, "place", "", "A count needs the place that was counted. Write it like E4.")
    elif len(row.place) > _LONGEST_PLACE:
        refuse(report, line, "place", row.place, f"The name of a place has up to {_LONGEST_PLACE} letters.")
    elif stock is not None and row.count is not None and stock.count != row.count and entering.by is None:
        message = (
            f"{capfirst(stock.location.called)} holds {stock.count} in Gripbook. A count is changed by a person: "
            "send the workbook on the page."
        )
        refuse(report, line, "count", row.count, message)
    else:
        return True
    return False


def _form(row: CountedRow, item: CountedItem | None, line: int, report: TabReport) -> CountedItemForm | None:
    cells = dict(zip(headings(CountedRow), texts(row), strict=True))
    form = CountedItemForm(cells, instance=item)
    if form.is_valid():
        return form
    refuse_form(report, line, form, cells)
    return None


def _save(form: CountedItemForm, row: CountedRow, entering: Entering) -> CountedItem:
    if form.instance.pk is not None:
        entering.book_rows.note_before_change([CountedItem.objects.get(pk=form.instance.pk)])
    item = form.save()
    if row.retired != (item.retired_at is not None):
        item.retired_at = entering.now if row.retired else None
        item.save()
    entering.book_rows.note_made([item])
    return item


def _keep_count(item: CountedItem, stock: CountedStock | None, row: CountedRow, entering: Entering) -> None:
    if not row.place:
        return
    if stock is None:
        stock = CountedStock.objects.create(item=item, location=_place(row.place, entering))
        entering.book_rows.note_made([stock])
    if row.count is None or row.count == stock.count:
        return
    if entering.by is None:
        # It is new, and who counted it is in the book that the sheet came from.
        CountedStock.objects.filter(pk=stock.pk).update(count=row.count)
        return
    entering.book_rows.note_before_change([stock])
    counted = CountedMovement.What.COUNTED
    movement = CountedStock.objects.move(stock, counted, row.count, by=entering.by, at=entering.now, token=uuid.uuid4())
    entering.book_rows.note_made([movement])


def _place(name: str, entering: Entering) -> Location:
    is_new = not Location.objects.filter(name__iexact=name).exists()
    place = place_named(name)
    if is_new:
        entering.book_rows.note_made([place])
    return place
