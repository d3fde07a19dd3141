"""The door: signing in, and changing one's own password."""

from typing import Any

from django.contrib import messages
from django.contrib.auth import get_user_model
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.core.validators import MaxLengthValidator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse, reverse_lazy
from django.utils.http import urlencode

from inventory.models import User
from shop.door import second_factor


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": "That name and password do not go together. Capital letters count in both. "
        "After six wrong tries the next one is looked at after a minute.",
        "inactive": "This sign-in is closed. Ask the administrator.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Name"
        self.fields["username"].validators.append(
            MaxLengthValidator(150, "No name here is longer than %(limit_value)d characters; %(show_value)d were read.")
        )
        # A phone's keyboard would begin the name with a capital.
        self.fields["username"].widget.attrs.update({"autocapitalize": "none", "spellcheck": "false"})


class SignIn(LoginView):
    template_name = "shop/sign_in.html"
    authentication_form = SignInForm

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        user = form.get_user()
        if not isinstance(user, User) or not user.totp_secret:
            return super().form_valid(form)
        second_factor.begin(self.request, user)
        return redirect(f"{reverse('sign_in_code')}?{urlencode({'next': self.get_redirect_url()})}")

    def get_context_data(self, **context: Any) -> dict[str, Any]:
        is_new = not get_user_model().objects.exists()
        return super().get_context_data(is_new=is_new, **context)


class PasswordChange(PasswordChangeView):
    template_name = "shop/password.html"
    success_url = reverse_lazy("find")
    extra_context = {"place": "desk"}

    def form_valid(self, form: PasswordChangeForm) -> HttpResponse:
        form.user.must_change_password = False
        messages.success(self.request, "Your password is changed. Other phones are signed out.")
        return super().form_valid(form)
