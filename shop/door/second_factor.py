"""A second factor for administrators who want one: six figures that an app of theirs shows (TOTP, RFC 6238)."""

from __future__ import annotations

from typing import Any

import pyotp
from axes.handlers.proxy import AxesProxyHandler
from django import forms
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.signals import user_login_failed
from django.core import signing
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from inventory.labels.codes import code as qr_code
from inventory.measures.inputs import say_plainly
from inventory.models import User
from inventory.web.access import PersonsRequest, administrators_only

HALF = "half_signed_in"
_HALF_LASTS, _STEP = 5 * 60, 30
_SALT = "second factor"


class CodeForm(forms.Form):
    code = forms.CharField(
        max_length=20,
        label="Code",
        help_text="The six figures that your app shows now.",
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "one-time-code"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"code": "123456"})

    def clean_code(self) -> str:
        return "".join(self.cleaned_data["code"].split())


def is_good(user: User, code: str) -> bool:
    """Whether this code is good now; it then opens nothing a second time."""
    now = int(timezone.now().timestamp()) // _STEP
    totp = pyotp.TOTP(user.totp_secret)
    for step in (now - 1, now, now + 1):  # a phone's clock is off by some seconds
        if pyotp.utils.strings_equal(totp.at(step * _STEP), code):
            taken = User.objects.filter(pk=user.pk, totp_used__lt=step).update(totp_used=step)
            return bool(taken)
    return False


def begin(request: HttpRequest, user: User) -> None:
    """The password was right; the rest of the door is `sign_in_code`."""
    request.session.cycle_key()
    request.session[HALF] = {"pk": user.pk, "at": timezone.now().timestamp(), "backend": user.backend}


def _half_signed_in(half: dict[str, Any] | None) -> User | None:
    if not half or timezone.now().timestamp() - half["at"] > _HALF_LASTS:
        return None
    return User.objects.filter(pk=half["pk"], is_active=True).exclude(totp_secret="").first()


@login_not_required
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in_code(request: HttpRequest) -> HttpResponse:
    half = request.session.get(HALF)
    user = _half_signed_in(half)
    if half is None or user is None:
        return render(request, "shop/sign_in_code.html", {"form": None, "next": ""})
    form = CodeForm(request.POST or None)
    back = (request.POST if request.method == "POST" else request.GET).get("next", "")
    if request.method == "POST" and form.is_valid():
        named = {"username": user.get_username()}
        if AxesProxyHandler.is_allowed(request, named) and is_good(user, form.cleaned_data["code"]):
            del request.session[HALF]
            login(request, user, backend=half["backend"])
            is_ours = back.startswith("/") and url_has_allowed_host_and_scheme(back, allowed_hosts=None)
            return redirect(back if is_ours else "find")
        user_login_failed.send(sender=__name__, credentials=named, request=request)
        form.add_error("code", "That code is not good now. Wait for the next one and write that.")
    return render(request, "shop/sign_in_code.html", {"form": form, "next": back})


@require_http_methods(["GET", "POST"])
@never_cache
@administrators_only
def second_factor(request: PersonsRequest) -> HttpResponse:
    user = request.user
    if request.method == "POST" and "off" in request.POST:
        user.totp_secret = ""
        user.save()
        messages.success(request, "From now on your password alone signs you in.")
        return redirect("second_factor")
    if user.totp_secret:
        return render(request, "shop/second_factor.html", {"place": "desk", "is_on": True})
    form, secret = CodeForm(request.POST or None), _secret_of(request)
    if request.method == "POST" and form.is_valid():
        if pyotp.TOTP(secret).verify(form.cleaned_data["code"], for_time=timezone.now(), valid_window=1):
            user.totp_secret = secret
            user.save()
            messages.success(request, "The second factor is on: the next sign-in asks for a code.")
            return redirect("second_factor")
        form.add_error("code", "That is not the code of this secret now. Is the clock of the phone right?")
    address = pyotp.TOTP(secret).provisioning_uri(name=user.get_username(), issuer_name="Gripbook")
    context = {"place": "desk", "is_on": False, "form": form, "secret": secret, "code": qr_code(address)}
    context["sealed"] = signing.dumps([user.pk, secret], salt=_SALT)
    return render(request, "shop/second_factor.html", context)


def _secret_of(request: PersonsRequest) -> str:
    """The secret that the page was drawn with, else a new one; kept only once a code of it was written."""
    try:
        owner, secret = signing.loads(request.POST.get("sealed", ""), salt=_SALT, max_age=3600)
    except (signing.BadSignature, ValueError, TypeError):
        return pyotp.random_base32()
    return str(secret) if owner == request.user.pk else pyotp.random_base32()
