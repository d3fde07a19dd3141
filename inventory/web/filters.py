"""How lengths, run-out, weights, money and days are written on a page: the filters of every template."""

import re
from datetime import date, datetime

from django.utils import timezone
from django.utils.text import slugify

from inventory.measures import day_words, length_words, masses
from inventory.measures import money as amounts
from inventory.measures.lengths import Length
from inventory.reference import place_words


def length(value):
    """Both units of a Length: `3/4 in (19.050 mm)`; of anything else how many it has."""
    if isinstance(value, Length):
        return length_words.shown(value)
    return "" if value is None else len(value)


def drawer(place) -> str:
    """What stands on the drawer that a place is, `E2`; empty for another place, like `Floor rack`."""
    return place_words.drawer_code(str(place))


def called(place) -> str:
    """A place within a sentence: `drawer E2`, `Floor rack`."""
    return place_words.place_words(str(place))


def size(value) -> str:
    """A size as it is marked on a collet: `3/4`, `19 mm`."""
    return length_words.nominal(value) if isinstance(value, Length) else ""


def in_unit(value) -> str:
    """In the reader's unit alone, in decimals: `0.7500 in`, `19.05 mm`."""
    return length_words.measured(value) if isinstance(value, Length) else ""


def mm(value) -> str:
    """For what is in millimetres whoever reads it: paper, and a figure of a standard."""
    return f"{value.mm_text} mm" if isinstance(value, Length) else ""


def span(low, high) -> str:
    """`0.7450 to 0.7500 in`; the largest is filtered with the smallest before it."""
    return length_words.span(low, high) if isinstance(low, Length) and isinstance(high, Length) else ""


def other_unit(value) -> str:
    """The unit that does not come first: `19.050 mm`, for a metric reader `0.7500 in`."""
    return length_words.other_unit(value) if isinstance(value, Length) else ""


def runout(value) -> str:
    """A reading in the unit chosen for them: `0.0005 in`, `13 µm`."""
    return length_words.runout_text(value) if isinstance(value, Length) else ""


def runout_figures(value) -> str:
    return length_words.runout_figures(value) if isinstance(value, Length) else ""


def runout_shown(value) -> str:
    """As `runout`, with the other unit: `13 µm (0.0005 in)`."""
    return length_words.runout_shown(value) if isinstance(value, Length) else ""


def tenths(value) -> str:
    """A small deviation, to a hundred-thousandth: `0.00035 in (0.009 mm)`."""
    return length_words.fine_shown(value) if isinstance(value, Length) else ""


def mass(micrograms) -> str:
    return "" if micrograms in (None, "") else masses.shown(micrograms)


def money(cents) -> str:
    return "" if cents in (None, "") else amounts.shown(cents)


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
    minute_count, half = divmod(round(value * 2), 2)
    if half:
        return f"{minute_count} 1/2 min" if minute_count else "1/2 min"
    return f"{minute_count} min"


def day(value: date | None) -> str:
    """As the shop writes it, `2026-03-04`; empty where it is not known."""
    if isinstance(value, datetime):
        value = timezone.localtime(value)
    return day_words.shown(value) if value else ""


_HYPHENED = re.compile(r"((?<!\S)(?=\S*\d)\S{1,15}-\S{1,15}(?!\S))")
"""A word of figures with a hyphen: a day, a tag, `1-1/2-8`."""


def by_hyphened(text: object) -> list[str]:
    """Parts of a text: every second one is a word that is not to be broken at its hyphen."""
    return _HYPHENED.split(str(text))


def moment(value: datetime | None) -> str:
    """`2026-03-04 09:30`; empty where it is not known."""
    return f"{day(value)} {timezone.localtime(value):%H:%M}" if value else ""


def clock(value: datetime | None) -> str:
    """The time of day alone: `7:00`; empty where it is not known."""
    local = timezone.localtime(value) if value else None
    return f"{local.hour}:{local.minute:02}" if local else ""
