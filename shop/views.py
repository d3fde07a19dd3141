from django.contrib import messages
from django.contrib.auth import get_user_model
from django.contrib.auth.views import LoginView, PasswordChangeView
from django.urls import reverse_lazy

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
