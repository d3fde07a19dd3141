"""How lengths, weights, money and days are written on a page: the filters of every template."""

from datetime import date, datetime

from django.utils import timezone
from django.utils.text import slugify

from inventory.measures import lengths, masses
from inventory.measures.lengths import Length


def length(value):
    """Both units of a Length: `3/4 in (19.050 mm)`; of anything else how many it has."""
    if isinstance(value, Length):
        return lengths.shown(value)
    return "" if value is None else len(value)


def size(value) -> str:
    """A size as it is marked on a collet: `3/4`, `19 mm`."""
    return lengths.nominal(value) if isinstance(value, Length) else ""


def inches(value) -> str:
    return f"{value.inch_text} in" if isinstance(value, Length) else ""


def mm(value) -> str:
    return f"{value.mm_text} mm" if isinstance(value, Length) else ""


def tenths(value) -> str:
    """A small deviation, to a hundred-thousandth: `0.00035 in (0.009 mm)`."""
    return f"{value.fine_inch_text} in ({value.mm_text} mm)" if isinstance(value, Length) else ""


def mass(micrograms) -> str:
    return "" if micrograms in (None, "") else masses.shown(micrograms)


def money(cents) -> str:
    return "" if cents in (None, "") else f"${cents // 100:,}.{cents % 100:02d}"


def kind_slug(kind) -> str:
    """A kind as it stands in an address: `bull-nose-center`."""
    return slugify(str(kind))


def minutes(value) -> str:
    """A Fraction of minutes as it is said: `12 1/2 min`, `1 h 35 min`."""
    if value is None:
        return ""
    if value >= 60:
        hours, rest = divmod(round(value), 60)
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    whole, half = divmod(round(value * 2), 2)
    if half:
        return f"{whole} 1/2 min" if whole else "1/2 min"
    return f"{whole} min"


def day(value: date | None) -> str:
    """`2026-03-04`; empty where it is not known."""
    if isinstance(value, datetime):
        value = timezone.localtime(value)
    return f"{value:%Y-%m-%d}" if value else ""


def moment(value: datetime | None) -> str:
    """`2026-03-04 09:30`; empty where it is not known."""
    return f"{timezone.localtime(value):%Y-%m-%d %H:%M}" if value else ""
