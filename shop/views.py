from urllib.parse import urlsplit

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import get_user_model
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.shortcuts import render
from django.urls import reverse_lazy
from django.views.decorators.http import require_GET

from inventory.labels.codes import code
from inventory.web.site import is_only_here, site_of
from shop import network
from shop.forms import SignInForm


class SignIn(LoginView):
    template_name = "shop/sign_in.html"
    authentication_form = SignInForm

    def get_context_data(self, **context):
        is_new = not get_user_model().objects.exists()
        return super().get_context_data(is_new=is_new, **context)


class PasswordChange(PasswordChangeView):
    template_name = "shop/password.html"
    success_url = reverse_lazy("find")
    extra_context = {"place": "desk"}

    def form_valid(self, form):
        messages.success(self.request, "Your password is changed. Other phones are signed out.")
        return super().form_valid(form)


@require_GET
def phone(request):
    """The address that another device opens, as a code to point its camera at."""
    address = site_of(request) if settings.PUBLIC_URL else _from_elsewhere(site_of(request))
    context = {
        "place": "desk",
        "address": address,
        "code": code(address),
        "is_only_here": is_only_here(address),
    }
    return render(request, "shop/phone.html", context)


def _from_elsewhere(address: str) -> str:
    """The same address as other machines of the shop write it."""
    if not is_only_here(address):
        return address
    asked = urlsplit(address)
    port = f":{asked.port}" if asked.port else ""
    return f"{asked.scheme}://{network.local_address()}{port}"
