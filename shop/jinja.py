"""What every page can use beside what its view gives: the environment of the templates."""

import hashlib
import logging
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import jinja2
from django.forms import renderers
from django.http import HttpRequest
from django.template import TemplateDoesNotExist, defaultfilters
from django.templatetags.static import static as address_of_static
from django.urls import reverse

from inventory.measures import display_words
from inventory.measures.examples import by_unit
from inventory.pieces import traits
from inventory.web import filters, shop_settings
from shop import navigation

_STATIC = Path(__file__).resolve().parent / "static"

# A word that a view forgot is written down by the server and left empty: a page without it is better than none.
# The tests are strict, see tests/conftest.py.
_Undefined = jinja2.make_logging_undefined(logging.getLogger(__name__), base=jinja2.ChainableUndefined)


def environment(**options) -> jinja2.Environment:
    made = jinja2.Environment(**options | {"undefined": _Undefined}, trim_blocks=True, lstrip_blocks=True)
    made.globals |= {"url": url, "static": static, "query_with": query_with, "doors": navigation.doors}
    made.globals |= {
        "has_chosen_unit": shop_settings.has_chosen_unit,
        "address_unit": shop_settings.address_unit,
        "bare_words": display_words.bare,
        "bare_words_of_address": display_words.bare_of_address,
        "bare_runout_words": display_words.bare_runout,
        "runout_unit_words": display_words.runout_unit,
        "other_unit_words": display_words.other_unit,
    }
    made.tests["drawer"] = filters.drawer
    made.filters |= {
        "length": filters.length,
        "size": filters.size,
        "in_unit": filters.in_unit,
        "by_unit": by_unit,
        "mm": filters.mm,
        "to": filters.span,
        "other_unit": filters.other_unit,
        "runout": filters.runout,
        "runout_figures": filters.runout_figures,
        "runout_shown": filters.runout_shown,
        "tenths": filters.tenths,
        "mass": filters.mass,
        "money": filters.money,
        "minutes": filters.minutes,
        "kind_slug": filters.kind_slug,
        "day": filters.day,
        "moment": filters.moment,
        "by_hyphened": filters.by_hyphened,
        "called": filters.called,
        "drawer_code": filters.drawer,
        "clock": filters.clock,
        "traits": traits.traits,
        "lift_caution": traits.lift_caution,
        "capfirst": defaultfilters.capfirst,
        "linebreaks": defaultfilters.linebreaks_filter,
        "pluralize": defaultfilters.pluralize,
    }
    return made


class FieldRenderer(renderers.Jinja2):
    """Draws the fields of forms by Jinja2 too: by Django's templates a long form costs more than the rest of its page.

    Those of the administration and of libraries come as Django's templates alone.
    """

    @cached_property
    def _of_libraries(self) -> renderers.DjangoTemplates:
        return renderers.DjangoTemplates()

    def get_template(self, template_name: str) -> Any:
        try:
            return super().get_template(template_name)
        except TemplateDoesNotExist:
            return self._of_libraries.get_template(template_name)


def url(name: str, *args: object) -> str:
    """The address of the page of this name: `url("tool", piece.tag)`."""
    return reverse(name, args=args)


def static(path: str) -> str:
    """The address of a file of shop/static, with a digest of what is in it: a browser may keep it for ever."""
    return f"{address_of_static(path)}?{_digest(path, (_STATIC / path).stat().st_mtime_ns)}"


@lru_cache
def _digest(path: str, _changed_at: int) -> str:
    return hashlib.sha256((_STATIC / path).read_bytes()).hexdigest()[:8]


def query_with(request: HttpRequest, **changes: object) -> str:
    """The query of this page with some of it changed: `?state=low&page=2`."""
    query = dict(request.GET.lists()) | {name: [str(value)] for name, value in changes.items()}
    return f"?{urlencode(query, doseq=True)}"
