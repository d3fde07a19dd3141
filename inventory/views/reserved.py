"""Asking before a piece is issued that another job wants."""

from __future__ import annotations

from collections.abc import Iterable

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from msgspec import Struct

from inventory.keeping.reservations import when_words
from inventory.models import Reservation, Tool
from inventory.web.access import PersonsRequest

_NOT_SENT_AGAIN = ("csrfmiddlewaretoken", "agreed", "piece")


class StandingReservation(Struct, frozen=True):
    """A reservation, and from when on it is."""

    reservation: Reservation
    when: str


def reserved_lines(tool: Tool) -> list[StandingReservation]:
    """The jobs that wait for a piece, what begins first comes first."""
    now = timezone.now()
    return [
        StandingReservation(one, when_words(one, now=now)) for one in tool.reservations.standing(at=now).with_names()
    ]


def ask_for_reserved(request: PersonsRequest, reservations: Iterable[Reservation], *, back: str) -> HttpResponse:
    """The page that says for whom and from when on, and sends what was posted again once somebody taps once more.

    Of a tap for several pieces only these are sent again: the others are issued.
    """
    now = timezone.now()
    rows = [StandingReservation(one, when_words(one, now=now)) for one in reservations]
    sent = [(name, text) for name, texts in request.POST.lists() if name not in _NOT_SENT_AGAIN for text in texts]
    agreed = {*request.POST.getlist("agreed"), *(str(row.reservation.pk) for row in rows)}
    pieces = {row.reservation.tool_id: row.reservation.tool for row in rows}
    context = {
        "place": "tooling",
        "rows": rows,
        "pieces": list(pieces.values()),
        "sent": [*sent, *(("agreed", key) for key in sorted(agreed)), *(("piece", str(key)) for key in pieces)],
        "back": back,
    }
    return render(request, "inventory/issue_reserved.html", context)
