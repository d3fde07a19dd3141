"""The page on which an administrator says where the shop is, so that its day begins when it does there."""

from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from django import forms
from django.conf import settings
from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from inventory.measures.inputs import say_plainly
from inventory.models import ShopFigures
from inventory.web import zone
from inventory.web.access import PersonsRequest, administrators_only

_REGIONS = ("Africa", "America", "Antarctica", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific")


@lru_cache
def _zones() -> list[str]:
    """Those that are called by a place; the others are older names for them."""
    return ["UTC", *sorted(name for name in available_timezones() if name.partition("/")[0] in _REGIONS)]


class TimeZoneForm(forms.ModelForm):
    time_zone = forms.CharField(
        required=False,
        max_length=64,
        label="Time zone",
        help_text="The nearest of the places in the list, like America/Chicago. Empty: as this computer has it.",
        widget=forms.TextInput(attrs={"list": "zones", "autocapitalize": "none", "spellcheck": "false"}),
    )

    class Meta:
        model = ShopFigures
        fields = ("time_zone",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)

    def clean_time_zone(self) -> str:
        typed = self.cleaned_data["time_zone"].replace(" ", "_")
        known = {name.casefold(): name for name in _zones()}.get(typed.casefold())
        if typed and known is None:
            raise forms.ValidationError(f"“{typed}” is no time zone here. Choose one of the list, like Europe/Vienna.")
        return known or ""


@require_http_methods(["GET", "POST"])
@administrators_only
def time_zone(request: PersonsRequest) -> HttpResponse:
    with transaction.atomic():
        shop = ShopFigures.objects.the_row() if request.method == "POST" else ShopFigures.objects.now()
        form = TimeZoneForm(request.POST or None, instance=shop)
        if request.method == "POST" and form.is_valid():
            form.instance.changed_by = request.user
            form.save()
    if request.method == "POST" and form.is_valid():
        zone.forget()
        messages.success(request, f"The shop's day is that of {shop.time_zone or 'this computer'} from now on.")
        return redirect("time_zone")
    context = {
        "place": "desk",
        "form": form,
        "zones": _zones(),
        "fixed": settings.TIME_ZONE if settings.TIME_ZONE_IS_FIXED else "",
        "here": ZoneInfo(settings.TIME_ZONE).key,
        "now": timezone.now(),
    }
    return render(request, "shop/time_zone.html", context)
