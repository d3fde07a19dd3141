"""Where somebody is signed in: listed for themselves, ended one by one, and with their sign-in when that is closed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.signals import user_logged_in
from django.contrib.sessions.models import Session
from django.db.models.signals import post_save
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods
from msgspec import Struct

from inventory.measures.signs import shown
from inventory.models import Deed, DeedAct, ReadToken, User
from inventory.web.access import PersonsRequest

SIGNED_IN, CONFIRMED = "signed_in_at", "confirmed_at"
"""Keys of a session: seconds at which the password was asked."""


class Device(Struct, frozen=True):
    """One sign-in; `name` tells it apart without being the key that opens it."""

    key: str
    since: datetime | None
    address: str
    browser: str

    @property
    def name(self) -> str:
        return hashlib.sha256(self.key.encode()).hexdigest()[:16]


def devices_of(user: User) -> list[Device]:
    return sorted(_devices(user), key=lambda device: device.since or timezone.now(), reverse=True)


def _devices(user: User) -> Iterator[Device]:
    # A shop has some dozens of sessions: looking through them costs less than a table that has to agree with them.
    for session in Session.objects.filter(expire_date__gt=timezone.now()):
        held = session.get_decoded()
        if held.get(SESSION_KEY) == str(user.pk):
            at = held.get(SIGNED_IN)
            since = datetime.fromtimestamp(at, tz=timezone.get_current_timezone()) if at else None
            yield Device(session.session_key, since, held.get("address", ""), held.get("browser", ""))


def end(devices: list[Device]) -> int:
    return Session.objects.filter(session_key__in=[device.key for device in devices]).delete()[0]


@receiver(user_logged_in)
def _note_device(sender: Any, request: HttpRequest, user: User, **_signal: Any) -> None:
    now = timezone.now().timestamp()
    request.session[SIGNED_IN] = request.session[CONFIRMED] = now
    request.session["address"] = request.META.get("REMOTE_ADDR", "")
    request.session["browser"] = shown(request.META.get("HTTP_USER_AGENT", ""))[:120]


@receiver(post_save, sender=User)
def _end_with_the_person(sender: Any, instance: User, created: bool, raw: bool = False, **_signal: Any) -> None:
    """Whoever is let in again later signs in anew, and makes tokens anew."""
    if created or raw or instance.is_active:
        return
    end(list(_devices(instance)))
    ReadToken.objects.filter(made_by=instance, revoked_at=None).update(revoked_at=timezone.now())


@require_http_methods(["GET", "POST"])
@never_cache
def devices(request: PersonsRequest) -> HttpResponse:
    signed_in = devices_of(request.user)
    here = request.session.session_key
    if request.method == "POST":
        asked = request.POST.get("device", "")
        ended = end([one for one in signed_in if one.key != here and asked in (one.name, "all")])
        if ended:
            Deed.objects.keep(DeedAct.DEVICES, f"{request.user}: {ended}")
        words = f"Signed out there: {ended} device{'' if ended == 1 else 's'}." if ended else "Nothing was left to end."
        messages.success(request, words)
        return redirect("devices")
    return render(request, "shop/devices.html", {"place": "desk", "devices": signed_in, "here": here})
