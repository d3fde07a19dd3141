"""How the shop measures and writes, on one page: units, money, dates, time zone; and what a person has else."""

from __future__ import annotations

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

from inventory.measures import day_words, display, money
from inventory.measures.display import DayOrder
from inventory.measures.inputs import say_plainly
from inventory.measures.length_words import runout_text, shown
from inventory.measures.lengths import Length, RunoutUnit, Unit
from inventory.models import Deed, DeedAct, SetPrice, ShopFigures, Tool, User, Want
from inventory.models.prices import Price
from inventory.web import shop_settings
from inventory.web.access import PersonsRequest, administrators_only
from inventory.web.redirects import safe_redirect

_REGIONS = ("Africa", "America", "Antarctica", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific")
UNITS = [(Unit.INCH.value, "inches"), (Unit.MM.value, "millimetres")]
RUNOUT_UNITS = [
    (RunoutUnit.INCH.value, "inches: 0.0005 in"),
    (RunoutUnit.THOU.value, "thousandths of an inch: 0.5 thou"),
    (RunoutUnit.MM.value, "millimetres: 0.013 mm"),
    (RunoutUnit.MICRON.value, "micrometres: 13 µm"),
]
_DAY_ORDERS = [
    ("", "2026-03-18, and one like 3/4/2026 is asked back"),
    (DayOrder.DAY_MONTH_DOTS.value, "18.03.2026"),
    (DayOrder.DAY_MONTH.value, "18/03/2026"),
    (DayOrder.MONTH_DAY.value, "03/18/2026"),
]


@lru_cache
def _zones() -> list[str]:
    """Those that are called by a place; the others are older names for them."""
    return ["UTC", *sorted(name for name in available_timezones() if name.partition("/")[0] in _REGIONS)]


class TheShopForm(forms.ModelForm):
    """What is not sent stays as it is: the first evening asks for the unit alone."""

    unit = forms.ChoiceField(
        choices=UNITS,
        label="Lengths",
        help_text="A number without a unit is in it, and it is shown first. A piece keeps its name: 20 mm, 7/8.",
        widget=forms.RadioSelect,
    )
    runout_unit = forms.ChoiceField(
        required=False,
        choices=[("", "as lengths"), *RUNOUT_UNITS],
        label="Run-out",
        help_text="What an indicator reads.",
        widget=forms.RadioSelect,
    )
    currency = forms.CharField(max_length=8, label="Currency", help_text="Its sign or its code, like $, £, € or CHF.")
    currency_places = forms.TypedChoiceField(
        coerce=int,
        choices=[(2, "two: 12.50"), (0, "none: 1250"), (3, "three: 12.500")],
        label="Decimals of an amount",
        widget=forms.RadioSelect,
    )
    currency_is_after = forms.TypedChoiceField(
        coerce=lambda text: text == "True",
        choices=[("False", "before the amount"), ("True", "after the amount")],
        label="The currency stands",
        widget=forms.RadioSelect,
    )
    has_decimal_comma = forms.TypedChoiceField(
        coerce=lambda text: text == "True",
        choices=[("False", "a point: 1,234.50"), ("True", "a comma: 1.234,50")],
        label="Before the decimals of an amount",
        widget=forms.RadioSelect,
    )
    day_order = forms.ChoiceField(required=False, choices=_DAY_ORDERS, label="Dates", widget=forms.RadioSelect)
    time_zone = forms.CharField(
        required=False,
        max_length=64,
        label="Time zone",
        help_text="The nearest of the places in the list, like America/Chicago. Empty: as this computer has it.",
        widget=forms.TextInput(attrs={"list": "zones", "autocapitalize": "none", "spellcheck": "false"}),
    )

    class Meta:
        model = ShopFigures
        fields = (
            "unit", "runout_unit", "currency", "currency_places", "currency_is_after", "has_decimal_comma", "day_order",
            "time_zone",
        )  # fmt: skip

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        if data is not None:
            for name in [name for name in self.fields if name not in data]:
                del self.fields[name]
        elif not self.instance.unit:
            self.initial["unit"] = Unit.INCH.value
        say_plainly(self.fields, {"currency": "$", "unit": "mm"})

    def clean_currency(self) -> str:
        sign: str = self.cleaned_data["currency"].strip()
        if any(letter.isdigit() or letter in ".,-+()" for letter in sign):
            raise forms.ValidationError(f"“{sign}” is no sign of a currency. Write it like $, £, € or CHF.")
        return sign

    def clean_currency_places(self) -> int:
        places: int = self.cleaned_data["currency_places"]
        was = self.initial["currency_places"]
        if places != was and _has_amounts():
            raise forms.ValidationError(
                f"There are prices in the book already, with {was or 'no'} decimals: read anew they would be others."
            )
        return places

    def clean_time_zone(self) -> str:
        typed = self.cleaned_data["time_zone"].replace(" ", "_")
        known = {name.casefold(): name for name in _zones()}.get(typed.casefold())
        if typed and known is None:
            raise forms.ValidationError(f"“{typed}” is no time zone here. Choose one of the list, like Europe/Vienna.")
        return known or ""


def _has_amounts() -> bool:
    return (
        Price.objects.exists()
        or SetPrice.objects.exists()
        or Tool.objects.exclude(cost_cents=None).exists()
        or Want.objects.exclude(price_cents=None).exists()
    )


@require_http_methods(["GET", "POST"])
@administrators_only
def the_shop(request: PersonsRequest) -> HttpResponse:
    with transaction.atomic():
        shop = ShopFigures.objects.the_row() if request.method == "POST" else ShopFigures.objects.now()
        form = TheShopForm(request.POST or None, instance=shop)
        before = _in_words(form)
        if request.method == "POST" and form.is_valid():
            form.instance.changed_by = request.user
            form.save()
            for label, words in _in_words(form).items():
                if words != before[label]:
                    Deed.objects.keep(DeedAct.SHOP, f"{label}: {before[label]} → {words}")
    if request.method == "POST" and form.is_valid():
        shop_settings.activate(request.user)
        messages.success(request, _changes_in_words(form, shop))
        return safe_redirect(request, request.path)
    context = {
        "place": "desk",
        "form": form,
        "zones": _zones(),
        "fixed": settings.TIME_ZONE if settings.TIME_ZONE_IS_FIXED else "",
        "here": ZoneInfo(settings.TIME_ZONE).key,
        "now": timezone.now(),
    }
    return render(request, "shop/the_shop.html", context)


def _in_words(form: TheShopForm) -> dict[str, str]:
    """What the shop has of each field of the form, by the field's label."""
    return {str(field.label): _choice_in_words(form, name) for name, field in form.fields.items()}


def _choice_in_words(form: TheShopForm, name: str) -> str:
    value = str(getattr(form.instance, name))
    choices = {str(choice): str(words) for choice, words in getattr(form.fields[name], "choices", ())}
    words = choices.get(value, value).partition(", and")[0]  # without what follows from it
    return words or ("as this computer has it" if name == "time_zone" else "not chosen")


def _changes_in_words(form: TheShopForm, shop: ShopFigures) -> str:
    if set(form.fields) == {"time_zone"}:
        return f"The shop's day is that of {shop.time_zone or 'this computer'} from now on."
    with display.shown_as(shop_settings.display_of(shop)):
        size, swing = shown(Length.inches("3/4")), runout_text(Length.mm("0.012"))
        others = f"{money.shown(1250)} and {day_words.shown(day_words.LIKE)}"
        return f"The shop writes {size}, a run-out of {swing}, {others} from now on."


class MyUnitsForm(forms.ModelForm):
    unit = forms.ChoiceField(
        required=False, choices=[("", "as the shop"), *UNITS], label="Lengths", widget=forms.RadioSelect
    )
    runout_unit = forms.ChoiceField(
        required=False, choices=[("", "as the shop"), *RUNOUT_UNITS], label="Run-out", widget=forms.RadioSelect
    )

    class Meta:
        model = User
        fields = ("unit", "runout_unit")


@require_http_methods(["GET", "POST"])
def my_units(request: PersonsRequest) -> HttpResponse:
    """In which this person reads and types, whatever the others do: what a link or a label means stays the same."""
    form = MyUnitsForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        request.user.save(update_fields=["unit", "runout_unit"])
        shop_settings.activate(request.user)
        words = (
            f"You read {shown(Length.inches('3/4'))} from now on, and a run-out of {runout_text(Length.mm('0.012'))}."
        )
        messages.success(request, words)
        return redirect("my_units")
    return render(request, "shop/my_units.html", {"place": "desk", "form": form})
