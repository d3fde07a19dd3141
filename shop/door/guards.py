"""What stands behind the door: a first password is changed, a device that lies idle is signed out, and what could hurt
the whole shop asks for the password again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import authenticate, logout
from django.contrib.auth.views import redirect_to_login
from django.core import signing
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme, urlencode
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from inventory.measures.inputs import say_plainly
from inventory.models import User
from inventory.web.access import PersonsRequest
from shop.door.devices import CONFIRMED, SIGNED_IN

MINUTE, HOUR, DAY = 60, 60 * 60, 24 * 60 * 60
IDLE, IDLE_ADMINISTRATOR = 30 * DAY, 12 * HOUR
"""A phone of the shop lies in a drawer over the holidays; who administers sits down to it anew each day."""
CONFIRMED_FOR = 15 * MINUTE
_SEEN, _SEEN_AGAIN = "gripbook_seen", 5 * MINUTE
_ASKS_AGAIN = {"backup", "people", "person_add", "person_edit", "tokens", "token_revoke", "second_factor"}
_WITH_FIRST_PASSWORD = {"password", "sign_out"}
_PAGE_OF = {"token_revoke": "tokens"}
"""Of an address that only takes a press, the page with the button."""


class Guards:
    """Middleware behind the door. When a device was last used stands in a signed cookie: looking writes no book."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        # Every page says who is signed in, and most who has what; a device in a shop is used by many.
        response.headers.setdefault("Cache-Control", "no-store")
        return response

    def process_view(self, request: Any, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        if not getattr(view, "login_required", True):
            return None
        if _is_idle(request):
            logout(request)
            messages.info(request, "This device was not used for a long time, so it was signed out.")
            return redirect_to_login(request.get_full_path(), reverse(settings.LOGIN_URL))
        name = request.resolver_match.view_name
        if request.user.must_change_password and name not in _WITH_FIRST_PASSWORD:
            messages.info(request, "Whoever entered you knows your password. Choose one that only you know.")
            return redirect("password")
        if (name in _ASKS_AGAIN or name.startswith("admin:")) and not _is_confirmed(request):
            return _ask_again(request, name)
        return None


class LastSeen:
    """Middleware around the others: notes in the browser that it is in use, so that it is not taken for idle."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        key = getattr(request, "is_in_use_by", "")
        if key and _now() - _seen_at(request, key) > _SEEN_AGAIN:
            response.set_cookie(
                _SEEN, _signer(key).sign(str(int(_now()))), max_age=settings.SESSION_COOKIE_AGE,
                secure=settings.HTTPS, httponly=True, samesite="Lax",
            )  # fmt: skip
        return response


def _is_idle(request: Any) -> bool:
    key = request.session.session_key or ""
    last = max(_seen_at(request, key), request.session.get(SIGNED_IN, 0))
    most = IDLE_ADMINISTRATOR if request.user.may_administer else IDLE
    request.is_in_use_by = key
    # A session from before this was noted counts from now on.
    return last > 0 and _now() - last > most


def _seen_at(request: HttpRequest, key: str) -> int:
    try:
        return int(_signer(key).unsign(request.COOKIES.get(_SEEN, "")))
    except (signing.BadSignature, ValueError):
        return 0


def _signer(key: str) -> signing.Signer:
    return signing.Signer(salt=f"seen {key}")


def _now() -> float:
    return timezone.now().timestamp()


def _is_confirmed(request: PersonsRequest) -> bool:
    return _now() - request.session.get(CONFIRMED, 0) <= CONFIRMED_FOR


def _ask_again(request: PersonsRequest, name: str) -> HttpResponseRedirect:
    if request.method == "POST":
        messages.info(request, "Nothing was saved: the password is asked again first. Then write it once more.")
    back = reverse(_PAGE_OF[name]) if name in _PAGE_OF else request.get_full_path()
    return redirect(f"{reverse('confirm')}?{urlencode({'next': back})}")


class ConfirmForm(forms.Form):
    password = forms.CharField(
        max_length=128,
        strip=False,
        label="Your password",
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, *args: Any, request: PersonsRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        say_plainly(self.fields)

    def clean_password(self) -> str:
        password = self.cleaned_data["password"]
        person = authenticate(self.request, username=self.request.user.get_username(), password=password)
        if not isinstance(person, User) or person.pk != self.request.user.pk:
            raise forms.ValidationError("That is not your password. Capital letters count.")
        return password


@require_http_methods(["GET", "POST"])
@never_cache
@sensitive_post_parameters("password")
def confirm(request: PersonsRequest) -> HttpResponse:
    form = ConfirmForm(request.POST or None, request=request)
    back = (request.POST if request.method == "POST" else request.GET).get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None) or not back.startswith("/"):
        back = reverse("desk")
    if request.method == "POST" and form.is_valid():
        request.session[CONFIRMED] = _now()
        return redirect(back)
    return render(request, "shop/confirm.html", {"place": "desk", "form": form, "back": back})
