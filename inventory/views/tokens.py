"""Read tokens, for the administrators."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from inventory.measures.inputs import say_plainly
from inventory.models import Deed, DeedAct, ReadToken
from inventory.web.access import PersonsRequest, administrators_only


class TokenForm(forms.ModelForm):
    class Meta:
        model = ReadToken
        fields = ("name",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"name": "stock room screen"})


@require_http_methods(["GET", "POST"])
@never_cache
@administrators_only
def tokens(request: PersonsRequest) -> HttpResponse:
    form, text = TokenForm(request.POST or None), None
    if request.method == "POST" and form.is_valid():
        # No redirect: the text is shown in this one answer and kept nowhere.
        text = ReadToken.objects.make(name=form.cleaned_data["name"], by=request.user)
        Deed.objects.keep(DeedAct.TOKEN, form.cleaned_data["name"])
        form = TokenForm()
    rows = ReadToken.objects.select_related("made_by")
    return render(request, "inventory/tokens.html", {"place": "desk", "form": form, "text": text, "tokens": rows})


@require_POST
@administrators_only
def token_revoke(request: PersonsRequest, pk: int) -> HttpResponse:
    token = get_object_or_404(ReadToken, pk=pk)
    ReadToken.objects.filter(pk=token.pk, revoked_at=None).update(revoked_at=timezone.now())
    Deed.objects.keep(DeedAct.REVOKED, token.name)
    messages.success(request, f"The token of {token} is revoked.")
    return redirect("tokens")
