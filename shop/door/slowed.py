"""Wrong passwords slow down whoever tries them, and nobody is locked out by what somebody else tries.

After some wrong ones a try is taken only now and then; a try that comes before its time is not looked at, and makes
nothing longer. Counted are tries of one name from one address, of all names from one address, and of one name from
everywhere. A device on which a person has signed in before carries a cookie that says so, and is counted by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import Any

from axes.handlers.base import AxesBaseHandler
from axes.models import AccessFailureLog
from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.core import signing
from django.db.models import Max, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.crypto import get_random_string, salted_hmac
from msgspec import Struct

from inventory.models import User

COOKIE = settings.SESSION_COOKIE_NAME.replace("session", "device")
_SALT = "a device on which somebody signed in"
_MOST_PEOPLE = 30
"""Of whom one device of the shop remembers that they signed in on it."""


class Slowdown(Struct, frozen=True):
    """So many wrong tries within a time are looked at as they come, and then one in each pause."""

    free: int
    within: timedelta
    pause: timedelta
    where: str


# With one device of a person, fewer than 100 tries an hour at one name (OWASP ASVS 4.0, 2.2.1).
ON_KNOWN_DEVICE = Slowdown(6, timedelta(minutes=15), timedelta(seconds=90), "on this device")
FROM_ADDRESS = Slowdown(6, timedelta(minutes=15), timedelta(seconds=60), "from here")
ALL_FROM_ADDRESS = Slowdown(40, timedelta(minutes=15), timedelta(seconds=15), "from here, under whatever name,")
ON_NAME = Slowdown(20, timedelta(hours=1), timedelta(seconds=120), "on devices where nobody signed in under it before")
_FORGOTTEN_AFTER = timedelta(days=1)


class Wait(Struct, frozen=True):
    """Until when the next try is not looked at, and by which rule."""

    until: datetime
    slowdown: Slowdown

    @property
    def seconds(self) -> int:
        return max(1, round((self.until - timezone.now()).total_seconds()))


class Handler(AxesBaseHandler):
    """What django-axes asks at each try and tells after it."""

    def is_locked(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> bool:
        return wait_of(request, _name_in(credentials)) is not None

    def get_failures(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> int:
        return 0

    def user_login_failed(self, sender: Any, credentials: dict[str, Any], request: Any = None, **_signal: Any) -> None:
        if request is None:
            return
        request.axes_credentials = credentials
        if request.axes_locked_out:  # it was not looked at
            return
        name = _name_in(credentials)
        AccessFailureLog.objects.filter(attempt_time__lt=timezone.now() - _FORGOTTEN_AFTER).delete()
        AccessFailureLog.objects.create(
            username=_sealed(name), ip_address=request.META.get("REMOTE_ADDR"), user_agent=_known_device(request, name)
        )
        request.axes_locked_out = wait_of(request, name) is not None

    def user_logged_in(self, sender: Any, request: HttpRequest, user: User, **_signal: Any) -> None:
        name = user.get_username()
        device = _known_device(request, name)
        mine = Q(user_agent=device) if device else Q(user_agent="", ip_address=request.META.get("REMOTE_ADDR"))
        AccessFailureLog.objects.filter(mine, username=_sealed(name)).delete()

    def user_logged_out(self, sender: Any, request: HttpRequest, user: User | None, **_signal: Any) -> None:
        pass


def forget(name: str) -> None:
    """What was tried under this name: it has a new password."""
    AccessFailureLog.objects.filter(username=_sealed(name)).delete()


def refused(name: str) -> list[AccessFailureLog]:
    """Wrong passwords under this name since a day, but those before a right one from the same place; newest first."""
    since = timezone.now() - _FORGOTTEN_AFTER
    tries = AccessFailureLog.objects.filter(username=_sealed(name), attempt_time__gt=since)
    return list(tries.order_by("-attempt_time"))


def wait_of(request: HttpRequest, name: str) -> Wait | None:
    """How long the next try has to wait; None where it is looked at now."""
    waits = [wait for wait in _waits(request, name) if wait is not None]
    return max(waits, key=lambda wait: wait.until, default=None)


def _waits(request: HttpRequest, name: str) -> Iterator[Wait | None]:
    device, sealed = _known_device(request, name), _sealed(name)
    if device:
        yield _wait(ON_KNOWN_DEVICE, Q(user_agent=device, username=sealed))
        return
    here = Q(user_agent="", ip_address=request.META.get("REMOTE_ADDR"))
    yield _wait(FROM_ADDRESS, here & Q(username=sealed))
    yield _wait(ALL_FROM_ADDRESS, here)
    yield _wait(ON_NAME, Q(user_agent="", username=sealed))


def _wait(slowdown: Slowdown, tries: Q) -> Wait | None:
    now = timezone.now()
    failures = AccessFailureLog.objects.filter(tries, attempt_time__gt=now - slowdown.within, attempt_time__lte=now)
    if failures.count() < slowdown.free:
        return None
    until = failures.aggregate(last=Max("attempt_time"))["last"] + slowdown.pause
    return Wait(until, slowdown) if until > now else None


def slowed_down(request: HttpRequest, response: HttpResponse, credentials: dict[str, Any] | None) -> HttpResponse:
    """The page in place of any other, after a try that was one too many or came before its time."""
    name = _name_in(credentials)
    wait = wait_of(request, name)
    if wait is None:
        return response
    page = render(request, "shop/locked_out.html", {"wait": wait, "slowdown": wait.slowdown, "name": name}, status=429)
    page["Retry-After"] = str(wait.seconds)
    return page


def _name_in(credentials: dict[str, Any] | None) -> str:
    return str((credentials or {}).get("username") or "")[:150]


def _sealed(name: str) -> str:
    # Where a name belongs, a password may have been typed.
    return salted_hmac("a name at the door", name).hexdigest()


class KnownPeople:
    """Middleware behind the session: a device remembers who signed in on it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.session.accessed and (key := request.session.get(SESSION_KEY)):
            device, people = _remembered(request.COOKIES.get(COOKIE, ""))
            if key not in people:
                held = signing.dumps([device or get_random_string(22), [*people, key][-_MOST_PEOPLE:]], salt=_SALT)
                response.set_cookie(
                    COOKIE, held, max_age=400 * 24 * 60 * 60, secure=settings.HTTPS, httponly=True, samesite="Lax"
                )
        return response


def _known_device(request: HttpRequest, name: str) -> str:
    """The device, where somebody of this name signed in on it before; else empty."""
    device, people = _remembered(request.COOKIES.get(COOKIE, ""))
    if not device:
        return ""
    key = User.objects.filter(username=name).values_list("pk", flat=True).first()
    return device if key is not None and str(key) in people else ""


def device_in(cookie: str) -> str:
    """The name of the device that this cookie was given to; empty where it is none of ours."""
    return _remembered(cookie)[0]


def _remembered(cookie: str) -> tuple[str, list[str]]:
    try:
        device, people = signing.loads(cookie, salt=_SALT)
    except (signing.BadSignature, ValueError, TypeError):
        return "", []
    return device, people
