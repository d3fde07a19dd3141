"""What purchasing does first: at most four of the orders and of what is short, each with why and its act."""

from collections.abc import Iterable
from datetime import date

from django.urls import reverse

from fitfinder.short.reader import ShortRow
from inventory.inspections.do_first import MOST, FirstThing
from inventory.measures.days import shown
from inventory.models import Want


def first_to_buy(wants: Iterable[Want], short: Iterable[ShortRow], *, today: date, may_buy: bool) -> list[FirstThing]:
    """What is late, then what is approved and waits to be ordered, then what is short and nobody asked for yet."""
    late = sorted((want for want in wants if want.is_late(on=today)), key=lambda want: want.expected_on or today)
    approved = [want for want in wants if want.state == Want.State.APPROVED] if may_buy else []
    things = [
        *(_chase(want, today=today) for want in late),
        *(_order(want) for want in approved),
        *(_ask(row) for row in short if row.want is None),
    ]
    return things[:MOST]


def _chase(want: Want, *, today: date) -> FirstThing:
    days = (today - want.expected_on).days if want.expected_on else 0
    number = f", order {want.order_number}" if want.order_number else ""
    expected = shown(want.expected_on) if want.expected_on else "on no set day"
    return FirstThing(
        what=f"Chase {want.name}: {days} day{'' if days == 1 else 's'} late",
        why=f"{want.supplier or 'No supplier is written down'}{number}, expected {expected}.",
        act="It came",
        address=reverse("want_receive", args=[want.pk]),
    )


def _order(want: Want) -> FirstThing:
    return FirstThing(
        what=f"Order {want.name}",
        why=f"Approved. {want.why}".strip(),
        act="Order it",
        address=f"{reverse('order_place')}?want={want.pk}",
    )


def _ask(row: ShortRow) -> FirstThing:
    return FirstThing(
        what=f"{row.shortfall.name}: {row.shortfall.need}",
        why=row.shortfall.why,
        act="Put it on the order list",
        address=reverse("want_add" if row.is_size else "want_thing"),
        sends=tuple((name, str(value)) for name, value in row.asks_for.items()),
    )
