"""How lengths, weights and money are written on a page; at hand in every template."""

from django import template
from django.template import defaulttags
from django.template.defaultfilters import length as count_of
from django.utils.text import slugify

from inventory.measures import lengths, masses
from inventory.measures.lengths import Length
from inventory.web.addresses import address_of_page

register = template.Library()


@register.tag
def url(parser, token):
    """Django's own; an address without parameters, of which every page has ten, is worked out once."""
    node = defaulttags.url(parser, token)
    name = node.view_name.var
    is_fixed = isinstance(name, str) and ":" not in name and not (node.args or node.kwargs or node.asvar)
    return _FixedAddress(name) if is_fixed and not node.view_name.filters else node


class _FixedAddress(template.Node):
    def __init__(self, name: str) -> None:
        self._name = name

    def render(self, context) -> str:
        return address_of_page(self._name)


@register.filter
def length(value):
    """Both units of a Length: `3/4 in (19.050 mm)`; of anything else how many it has, as Django's filter."""
    if isinstance(value, Length):
        return lengths.shown(value)
    return "" if value is None else count_of(value)


@register.filter
def size(value) -> str:
    """A size as it is marked on a collet: `3/4`, `19 mm`."""
    return lengths.nominal(value) if isinstance(value, Length) else ""


@register.filter
def inches(value) -> str:
    return f"{value.inch_text} in" if isinstance(value, Length) else ""


@register.filter
def mm(value) -> str:
    return f"{value.mm_text} mm" if isinstance(value, Length) else ""


@register.filter
def tenths(value) -> str:
    """A small deviation, to a hundred-thousandth: `0.00035 in (0.009 mm)`."""
    return f"{value.fine_inch_text} in ({value.mm_text} mm)" if isinstance(value, Length) else ""


@register.filter
def mass(micrograms) -> str:
    return "" if micrograms in (None, "") else masses.shown(micrograms)


@register.filter
def money(cents) -> str:
    return "" if cents in (None, "") else f"${cents // 100:,}.{cents % 100:02d}"


@register.filter
def kind_slug(kind) -> str:
    """A kind as it stands in an address: `bull-nose-center`."""
    return slugify(str(kind))


@register.filter
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
