"""What Millrace Works ordered, scrapped, lent and was asked for in the last half year; all invented."""

import uuid
from datetime import datetime, timedelta
from typing import Any

from inventory.models import Ask, Condition, CountedItem, Loan, Tool, User, Want

ENTERED_DAYS_AGO = 500
"""The crib is older than the day on which the demo is loaded."""
_RECEIVED = {"C-0007": 70, "C-0026": 64, "C-0027": 64, "C-0057": 35, "C-0059": 35}
"""Tag -> days ago that it came from the dealer."""
_SCRAPPED = {"C-0076": 24, "C-0077": 61}
"""Tag -> days ago."""
_USED = {"C-0008": (4, 11, 19, 33, 47, 58, 76), "C-0007": (6, 40), "C-0013": (15,)}
"""Tag -> days ago that it was issued; it was back the next day."""
_USED_BEFORE = (
    "C-0002", "C-0003", "C-0004", "C-0005", "C-0006", "C-0009", "C-0011", "C-0017", "C-0018", "C-0020", "C-0022",
    "C-0023", "C-0030", "C-0037", "C-0039", "C-0040", "C-0044", "C-0054", "C-0056",
    "C-0062", "C-0064", "K-0082", "K-0083", "H-0062", "H-0068", "H-0071", "H-0074", "H-0079", "H-0082", "H-0086",
    "N-0093", "N-0094", "N-0096", "T-0102", "T-0105",
)  # fmt: skip
"""Issued once each, from a hundred days ago back into the spring."""
_ASKS = (("13/16", 12, 2), ("15/16", 8, 1), ("0.515", 30, 1), ("13/16", 110, 1), ("9 mm", 130, 1), ("0.515", 150, 4))
"""Size, days ago, how often. The older ones were dismissed since."""
_DISMISSED_BEFORE_DAYS = 60
_DEALER = "Tool dealer by the station"
INSERTS_CAME_DAYS_AGO = 4


def load(tools: dict[str, Tool], *, now: datetime) -> None:
    """Put the story of half a year behind the pieces that were added; what was entered stays as it is."""
    _date_the_history(tools, now)
    _scrap(tools, now)
    _lend(tools, now)
    if not Ask.objects.exists():
        _be_asked(now)
    if not Want.objects.exclude(state=Want.State.WANTED).exists():
        _order(tools, now)


def _date_the_history(tools: dict[str, Tool], now: datetime) -> None:
    """Each entry stands on the day of the reading, or of the look in vain, that it tells of."""
    keeper = User.objects.get(username="keeper")
    entries = list(Tool.history.filter(id__in=[tool.pk for tool in tools.values()]))
    for entry in entries:
        days = [day for day in (entry.inspected_on, entry.missing_since) if day is not None]
        entered = _RECEIVED.get(entry.tag, ENTERED_DAYS_AGO)
        days_ago = min([(now.date() - day).days for day in days] + [entered])
        entry.history_date = now - timedelta(days=entered if entry.history_type == "+" else days_ago)
        entry.history_user = keeper
    Tool.history.bulk_update(entries, ["history_date", "history_user"])


def _scrap(tools: dict[str, Tool], now: datetime) -> None:
    for tag, days_ago in _SCRAPPED.items():
        if tag in tools:
            tool = tools[tag]
            tool.condition = Condition.SCRAPPED
            _save(tool, at=now - timedelta(days=days_ago))


def _lend(tools: dict[str, Tool], now: datetime) -> None:
    machinist = User.objects.get(username="machinist")
    before = {tag: (100 + 5 * place,) for place, tag in enumerate(_USED_BEFORE)}
    for tag, days in (_USED | before).items():
        for days_ago in days if tag in tools else ():
            at = now - timedelta(days=days_ago)
            Loan.objects.create(
                tool=tools[tag],
                borrower=machinist,
                issued_at=at,
                returned_at=at + timedelta(days=1),
                token=uuid.uuid4(),
            )


def _be_asked(now: datetime) -> None:
    for size, days_ago, times in _ASKS:
        dismissed = now - timedelta(days=_DISMISSED_BEFORE_DAYS) if days_ago > _DISMISSED_BEFORE_DAYS else None
        Ask.objects.create(
            question=f"size={size.replace('/', '%2F').replace(' ', '+')}",
            read_as=f"{size}{'' if ' ' in size else ' in'} round, measured",
            verdict="chuck",
            asked_on=(now - timedelta(days=days_ago)).date(),
            times=times,
            dismissed_at=dismissed,
        )


def _order(tools: dict[str, Tool], now: datetime) -> None:
    machinist, keeper = (User.objects.get(username=name) for name in ("machinist", "keeper"))
    _way(
        now, machinist, what="MT3 drawbar", kind="drawbar", mount="MT3", price_cents=3400,
        why="H-0064 cannot be drawn in without it.", steps=(("wanted", 20), ("approved", 6)),
    )  # fmt: skip
    if "C-0012" in tools:
        _way(
            now, keeper, size=tools["C-0012"].size, why="A second one: the first is always out.", price_cents=2850,
            supplier=_DEALER, order_number="1047", expected_on=(now - timedelta(days=9)).date(),
            steps=(("wanted", 44), ("approved", 40), ("ordered", 38)),
        )  # fmt: skip
    oil = CountedItem.objects.filter(name="Way oil").first()
    if oil is not None:
        _way(
            now, keeper, item=oil, quantity=2, price_cents=1890, supplier="Oil merchant", order_number="77-2",
            expected_on=(now + timedelta(days=5)).date(), steps=(("wanted", 9), ("ordered", 8)),
        )  # fmt: skip
    inserts = CountedItem.objects.filter(name="Boring insert 80° small").first()
    if inserts is not None:
        half: dict[str, Any] = {"item": inserts, "price_cents": 720, "supplier": _DEALER, "order_number": "1052"}
        _way(
            now, keeper, quantity=10, received_at=now - timedelta(days=INSERTS_CAME_DAYS_AGO), **half,
            steps=(("wanted", 17), ("approved", 16), ("ordered", 15), ("received", INSERTS_CAME_DAYS_AGO)),
        )  # fmt: skip
        _way(
            now, keeper, quantity=10, why="The rest of 20.", expected_on=(now + timedelta(days=6)).date(), **half,
            steps=(("ordered", INSERTS_CAME_DAYS_AGO),),
        )  # fmt: skip
    for tag, days_ago in _RECEIVED.items():
        if tag in tools:
            tool = tools[tag]
            want = _way(
                now, machinist, size=tool.size, price_cents=tool.cost_cents, supplier=_DEALER,
                order_number=f"{1046 - days_ago // 2}", received_at=now - timedelta(days=days_ago),
                steps=(("wanted", days_ago + 30), ("ordered", days_ago + 20), ("received", days_ago)),
            )  # fmt: skip
            want.pieces.add(tool)


def _save(row: Any, *, at: datetime, by: User | None = None) -> None:
    """With an entry of that day in its history, which reads both names from the row."""
    row._history_date, row._history_user = at, by
    row.save()


def _way(
    now: datetime, by: User, *, steps: tuple[tuple[str, int], ...], received_at: datetime | None = None, **columns: Any
) -> Want:
    """A want with its steps so many days ago: asked for by `by`, the rest taken by purchasing."""
    purchasing = User.objects.get(username="purchasing")
    want = Want(asked_by=by, **columns)
    for place, (state, days_ago) in enumerate(steps):
        want.state = state
        want.received_at = received_at if state == "received" else None
        _save(want, at=now - timedelta(days=days_ago), by=purchasing if place else by)
    Want.objects.filter(pk=want.pk).update(asked_at=now - timedelta(days=steps[0][1]))
    return want
