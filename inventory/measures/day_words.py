"""Dates as a person of this shop reads them."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from inventory.measures.display import DayOrder, now

_FORMATS = {
    DayOrder.ISO: "%Y-%m-%d",
    DayOrder.DAY_MONTH_DOTS: "%d.%m.%Y",
    DayOrder.DAY_MONTH: "%d/%m/%Y",
    DayOrder.MONTH_DAY: "%m/%d/%Y",
}
LIKE = date(2026, 3, 18)


def shown(day: date) -> str:
    """As the shop writes it: `2026-03-18`, `18.03.2026`."""
    here = now()
    return day.strftime(_FORMATS[DayOrder.ISO if here.is_for_program else here.days or DayOrder.ISO])


def missing_words(since: date) -> str:
    return f"missing since {shown(since)}"


def moment_shown(moment: datetime, *, today: date) -> str:
    """A moment of the shop's own clock, as it is said on the day `today`: `tomorrow 7:00`, `2026-12-03 15:30`."""
    days = {today: "today", today + timedelta(days=1): "tomorrow", today - timedelta(days=1): "yesterday"}
    return f"{days.get(moment.date()) or shown(moment.date())} {moment.hour}:{moment.minute:02}"
