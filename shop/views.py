from django.contrib import messages
from django.contrib.auth.views import PasswordChangeView
from django.urls import reverse_lazy


class PasswordChange(PasswordChangeView):
    template_name = "shop/password.html"
    success_url = reverse_lazy("find")

    def form_valid(self, form):
        messages.success(self.request, "Your password is changed. Other phones are signed out.")
        return super().form_valid(form)
