"""In which zone, unit, currency and notation of days each page is made: those of the shop, or of who reads it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.contrib.auth.models import AnonymousUser
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.template.backends.utils import csrf_input
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString
from msgspec.structs import replace

from inventory.measures import display
from inventory.measures.display import Currency, DayOrder, Display
from inventory.measures.lengths import RunoutUnit, Unit
from inventory.models import ShopFigures, User

_SHOW_NOTHING_OF_IT = {"health", "out_of_reach", "reach_script", "reach_card_script"}
"""Addresses that a monitor and each browser ask now and then."""
_shop: ContextVar[ShopFigures | None] = ContextVar("shop", default=None)
"""As it was read for the page that is being made; each page reads it anew, as any process may have changed it."""
DRAWN_IN = "drawn_in"
"""The name of the hidden text by which every form says in which units it was drawn: it is read in them."""


def activate(user: User | AnonymousUser | None = None) -> None:
    """From here on, today is the shop's, times are shown as its clock has them, and lengths as the user chose."""
    shop = _read()
    _shop.set(shop)
    zone = _zone(shop.time_zone)
    timezone.activate(zone) if zone else timezone.deactivate()
    display.activate(display_of(shop, user))


@contextmanager
def as_the_shop() -> Iterator[None]:
    """What a command does in it is done as on the shop's pages."""
    with display.shown_as(display.PLAIN):
        activate()
        display.activate(replace(display.now(), is_for_program=True))
        yield


def address_unit() -> SafeString:
    """For a form that is sent by its address: the unit of its bare numbers, where that is not plain."""
    now = display.now()
    if now.bare is now.shop_unit is Unit.INCH:
        return SafeString("")
    return format_html('<input type="hidden" name="unit" value="{}">', now.bare.value)


def shop_now() -> ShopFigures:
    """As it was read for the page that is being made."""
    return _shop.get() or _read()


def has_chosen_unit() -> bool:
    shop = _shop.get()
    return shop is not None and bool(shop.unit)


def display_of(shop: ShopFigures, user: User | AnonymousUser | None = None) -> Display:
    """As the user chose, else as the shop did."""
    shops_unit = Unit(shop.unit or Unit.INCH)
    own_unit = user.unit if isinstance(user, User) else ""
    own_runout = user.runout_unit if isinstance(user, User) else ""
    unit = Unit(own_unit or shops_unit)
    # Who thinks in the other unit does not want the shop's readings in it either.
    runout = own_runout or (shop.runout_unit if unit is shops_unit else "")
    return Display(
        unit=unit,
        shop_unit=shops_unit,
        bare=unit,
        runout=RunoutUnit(runout) if runout else RunoutUnit.of(unit),
        currency=Currency(
            sign=shop.currency,
            places=shop.currency_places,
            is_after=shop.currency_is_after,
            has_comma=shop.has_decimal_comma,
        ),
        days=DayOrder(shop.day_order) if shop.day_order else None,
    )


def drawn_form(request: HttpRequest) -> dict[str, SafeString]:
    """A context processor: every form that is posted says the units that it was drawn in, beside its own token."""
    now = display.now()
    units = format_html('<input type="hidden" name="{}" value="{} {}">', DRAWN_IN, now.unit.value, now.runout.value)
    return {"csrf_input": csrf_input(request) + units}


def _as_drawn(request: HttpRequest) -> Display | None:
    """As now, with the units that the form was drawn in, where somebody chose others meanwhile."""
    now = display.now()
    unit, _, runout = request.POST.get(DRAWN_IN, "").partition(" ")
    if unit not in list(Unit) or runout not in list(RunoutUnit) or (unit, runout) == (now.unit, now.runout):
        return None
    return replace(now, unit=Unit(unit), bare=Unit(unit), runout=RunoutUnit(runout))


def _as_addressed(request: HttpRequest) -> Display:
    """As now, with bare numbers in the unit of the address; where it says none, in the shop's, whoever opens it."""
    now, unit = display.now(), request.GET.get("unit", "")
    return replace(now, bare=Unit(unit) if unit in list(Unit) else now.shop_unit)


def _read() -> ShopFigures:
    try:
        return ShopFigures.objects.now()
    except DatabaseError:
        return ShopFigures()  # what is asked next says so better


def _zone(name: str) -> ZoneInfo | None:
    if settings.TIME_ZONE_IS_FIXED:
        return None
    try:
        return ZoneInfo(name) if name else None
    except (ZoneInfoNotFoundError, ValueError):
        return None  # of a book from a machine that knew more zones than this one


class ShopsSettings:
    """Middleware: every page is made as the shop and its reader chose."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with display.shown_as(display.PLAIN):
            return self.get_response(request)

    def process_view(self, request: HttpRequest, view: object, args: object, kwargs: object) -> None:
        if request.resolver_match is not None and request.resolver_match.view_name in _SHOW_NOTHING_OF_IT:
            return
        activate(request.user)
        if request.method == "POST" and (drawn := _as_drawn(request)):
            display.activate(drawn)
        elif request.GET and request.method == "GET":
            display.activate(_as_addressed(request))
        if display.now().currency.has_comma and _is_typed_by_a_person(request):
            display.activate(replace(display.now(), asks_of_thousands=True))


def _is_typed_by_a_person(request: HttpRequest) -> bool:
    """Whether what is read is a form: a sheet that is brought in and another program are not asked back."""
    name = request.resolver_match.view_name if request.resolver_match is not None else ""
    return not name.startswith("import_") and not request.path.endswith(".json")
