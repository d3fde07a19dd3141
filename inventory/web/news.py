"""Messages of what came into the book beside what somebody entered: most of it was meant, some is mistyped."""

from collections.abc import Iterable

from django.contrib import messages
from django.http import HttpRequest
from django.utils.text import capfirst

from inventory.models import Location


def tell_new_seats(request: HttpRequest, codes: Iterable[str]) -> None:
    for code in dict.fromkeys(codes):
        messages.info(
            request,
            f"{code} is no seat known here: saved as the shop's own; nothing else mounts on it yet. "
            "Mistyped? Edit the piece.",
        )


def tell_new_places(request: HttpRequest, places: Iterable[Location]) -> None:
    for place in places:
        messages.info(
            request,
            f"{capfirst(place.called)} is a new place, which stands by itself so far. Mistyped? Move the piece; else "
            f"say on the page of {place.called} what it stands in.",
        )
