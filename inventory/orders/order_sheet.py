"""The order list for a spreadsheet, and what is on order for paper."""

from itertools import groupby

from django.db.models.functions import Lower
from django.utils import timezone
from msgspec import Struct

from inventory.measures.day_words import shown as day_shown
from inventory.models import Want
from inventory.orders.forms import money_text
from inventory.transfer import sheets

FORMS = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
HEADINGS = (
    "what", "how many", "state", "why", "asked by", "asked on", "supplier", "order number", "price each", "price",
    "expected on",
)  # fmt: skip


class PlacedOrder(Struct, frozen=True):
    """The lines that are on order under one number with one supplier; `cents` is what is known of its price."""

    supplier: str
    number: str
    lines: tuple[Want, ...]

    @property
    def cents(self) -> int:
        return sum(want.cents or 0 for want in self.lines)

    @property
    def unpriced(self) -> int:
        return sum(1 for want in self.lines if want.cents is None)


def sheet(*, form: str) -> bytes:
    """All that is open, a row for each line."""
    wants = Want.objects.open().with_names().order_by("state", "supplier", "order_number", "pk")
    return sheets.file_of(HEADINGS, map(_row, wants), form=form, title="Orders")


def _row(want: Want) -> list[str]:
    return [
        want.name, str(want.quantity), want.get_state_display(), want.why, str(want.asked_by or ""),
        day_shown(timezone.localdate(want.asked_at)), want.supplier, want.order_number, money_text(want.price_cents),
        money_text(want.cents), day_shown(want.expected_on) if want.expected_on else "",
    ]  # fmt: skip


def on_order(*, supplier: str = "", number: str = "") -> list[PlacedOrder]:
    """What is on order, one entry for each supplier and order number."""
    wants = Want.objects.filter(state=Want.State.ORDERED).with_names()
    if supplier:
        wants = wants.filter(supplier__iexact=supplier)
    if number:
        wants = wants.filter(order_number__iexact=number)
    rows = wants.order_by(Lower("supplier"), Lower("order_number"), "pk")
    grouped = groupby(rows, key=lambda want: (want.supplier.lower(), want.order_number.lower()))
    orders = (tuple(lines) for _, lines in grouped)
    return [PlacedOrder(lines[0].supplier, lines[0].order_number, lines) for lines in orders]
