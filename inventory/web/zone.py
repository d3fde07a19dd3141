"""The shop's own day: in the zone of the environment, else the one chosen on the first evening, else the machine's."""

from __future__ import annotations

from collections.abc import Callable
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.core.cache import cache
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from inventory.models import ShopFigures

_KEY, _SECONDS = "shops-zone", 30
"""It is asked with every page and changes once in a shop's life; another process sees a change within the time."""


def forget() -> None:
    """Have the next page read anew which zone was chosen."""
    cache.delete(_KEY)


def activate() -> None:
    """From here on, today is the shop's, and times are shown as its clock has them."""
    zone = _chosen()
    timezone.activate(zone) if zone else timezone.deactivate()


def _chosen() -> ZoneInfo | None:
    if settings.TIME_ZONE_IS_FIXED:
        return None
    name = cache.get(_KEY)
    if name is None:
        try:
            name = ShopFigures.objects.now().time_zone
        except DatabaseError:
            return None  # what is asked next says so better
        cache.set(_KEY, name, _SECONDS)
    try:
        return ZoneInfo(name) if name else None
    except (ZoneInfoNotFoundError, ValueError):
        return None  # of a book from a machine that knew more zones than this one


class ShopsZone:
    """Middleware: every page is made in the shop's own zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: object, args: object, kwargs: object) -> None:
        activate()
