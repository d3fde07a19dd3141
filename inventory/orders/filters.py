"""How the order list is narrowed, put in order and held against a budget by what stands in its address."""

from __future__ import annotations

import django_filters
from django import forms
from django.core.validators import validate_comma_separated_integer_list
from django.db.models import Q

from inventory.measures.inputs import MoneyInput, say_plainly
from inventory.models import Want

ALL_TICKED = ("to approve", "to order")


class WantFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="What, from whom, number or why", method="with_text")
    supplier = django_filters.CharFilter(label="Supplier", lookup_expr="iexact")

    class Meta:
        model = Want
        fields = ()

    def with_text(self, queryset, name, value):
        has_each_word = Q()
        for word in value.split():
            has_each_word &= (
                Q(what__icontains=word)
                | Q(item__name__icontains=word)
                | Q(size__series__code__iexact=word)
                | Q(size__shape__iexact=word)
                | Q(supplier__icontains=word)
                | Q(order_number__icontains=word)
                | Q(why__icontains=word)
                | Q(in_set__icontains=word)
            )
        return queryset.filter(has_each_word)


class TickedForm(forms.Form):
    """Which lines the page has ticked: all of one list, or those that were just added; and what they may cost."""

    tick = forms.CharField(required=False, max_length=800)
    budget = MoneyInput(required=False, label="Budget", widget=forms.TextInput(attrs={"inputmode": "decimal"}))

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"budget": "100"})

    def clean_tick(self) -> str:
        tick = self.cleaned_data["tick"]
        if tick and tick not in ALL_TICKED:
            validate_comma_separated_integer_list(tick)
        return tick

    @property
    def list_ticked(self) -> str:
        tick = self.cleaned_data.get("tick", "")
        return tick if tick in ALL_TICKED else ""

    @property
    def lines_ticked(self) -> frozenset[int]:
        tick = "" if self.list_ticked else self.cleaned_data.get("tick", "")
        return frozenset(int(part) for part in tick.split(",") if part)
