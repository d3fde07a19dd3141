"""The forms of what is counted: an item, a tap that changes its count, and what the list is narrowed by."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import django_filters
from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q

from inventory.keeping.places import place_named
from inventory.measures import money as amounts
from inventory.measures.inputs import CountInput, LineInput, MoneyInput, TokenInput, say_plainly
from inventory.models import CountedItem, CountedMovement, CountedStock, User
from inventory.models.counted import MOST, CountedItemQuerySet
from inventory.web.editing import RowForm

_EXAMPLES = {"name": "Center drill No. 3", "unit": "pieces", "location": "E4", "how_many": "5", "count": "12"}
_FIGURES = {"inputmode": "numeric"}


def _place_input(*, required: bool = True, help_text: str = "") -> LineInput:
    return LineInput(
        max_length=60,
        required=required,
        label="Drawer or place",
        help_text=help_text,
        widget=forms.TextInput(attrs={"list": "places"}),
    )


class CountedItemForm(RowForm):
    """What is counted: its name, word, unit and mark."""

    low_mark = CountInput(
        required=False,
        min_value=0,
        max_value=MOST,
        help_text="With so many left in all places, or fewer, it is low. Empty: it never is.",
    )
    cost = MoneyInput(required=False, label="Cost each", help_text="Of one, like [MONEY].")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))
    field_order = ("name", "group", "unit", "location", "count", "low_mark", "size", "cost", "notes")

    class Meta:
        model = CountedItem
        fields = ("name", "group", "unit", "low_mark", "size", "notes")
        field_classes = {"name": LineInput, "group": LineInput, "unit": LineInput}
        widgets = {"group": forms.TextInput(attrs={"list": "groups"})}

    def __init__(self, data: Mapping[str, Any] | None = None, *, instance: CountedItem | None = None) -> None:
        cents = instance.cost_cents if instance is not None else None
        initial = {} if cents is None else {"cost": amounts.typed(cents)}
        super().__init__(data, instance=instance, initial=initial)
        say_plainly(self.fields, _EXAMPLES)

    def save(self, commit: bool = True) -> CountedItem:
        self.instance.cost_cents = self.cleaned_data["cost"]
        item: CountedItem = super().save(commit=commit)
        return item

    def tell_taken(self) -> bool:
        is_taken = CountedItem.objects.filter(name__iexact=self.cleaned_data["name"]).exists()
        if is_taken:
            self.add_error("name", "There is something of this name already.")
        return is_taken


class NewCountedItemForm(CountedItemForm):
    """The same of a new one, which may say at once where it lies and how many there are."""

    location = _place_input(required=False, help_text="Others can be added later.")
    count = CountInput(
        required=False, min_value=0, max_value=MOST, label="How many are there", help_text="As counted now."
    )

    def __init__(self, data: Mapping[str, Any] | None = None, *, by: User, now: datetime) -> None:
        super().__init__(data)
        self._by, self._now = by, now

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        if cleaned.get("count") is not None and not cleaned.get("location") and "location" not in self.errors:
            self.add_error("location", "A count needs the place that was counted. Write it like E4.")
        return cleaned

    @transaction.atomic
    def save(self, commit: bool = True) -> CountedItem:
        item = super().save(commit=commit)
        place, count = self.cleaned_data["location"], self.cleaned_data["count"]
        if place:
            stock = CountedStock.objects.create(item=item, location=place_named(place))
            if count is not None:
                counted = CountedMovement.What.COUNTED
                CountedStock.objects.move(stock, counted, count, by=self._by, at=self._now, token=uuid.uuid4())
        return item


class CountTapForm(forms.Form):
    """One tap that changes a count: how many, and the token by which it is known when it is sent again."""

    token = TokenInput()
    how_many = CountInput(min_value=1, max_value=MOST, widget=forms.TextInput(attrs=_FIGURES))

    def __init__(self, *args: Any, label: str = "", help_text: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, _EXAMPLES)
        self.fields["how_many"].label = label or self.fields["how_many"].label
        self.fields["how_many"].help_text = help_text


class RecountForm(CountTapForm):
    """A place that was counted: one where the item lies already, or a new one."""

    how_many = CountInput(
        min_value=0, max_value=MOST, label="How many are there", widget=forms.TextInput(attrs=_FIGURES)
    )
    location = _place_input()
    field_order = ("token", "location", "how_many")

    def clean_location(self) -> str:
        name: str = self.cleaned_data["location"]
        if not name:
            raise ValidationError("The place is empty. Write it like E4.")
        return name


class CountedFilter(django_filters.FilterSet):
    """What is counted and in the book; low and retired only where they are asked for."""

    LOW, RETIRED = "low", "retired"

    text = django_filters.CharFilter(label="Name, word or note", method="with_text")
    location = django_filters.CharFilter(field_name="stocks__location__name", lookup_expr="iexact", label="Drawer")
    state = django_filters.ChoiceFilter(
        label="State", choices=[(LOW, "low"), (RETIRED, "retired")], empty_label="any", method="in_state"
    )

    class Meta:
        model = CountedItem
        fields = ()

    def filter_queryset(self, queryset: CountedItemQuerySet) -> CountedItemQuerySet:
        if self.form.cleaned_data.get("state") != self.RETIRED:
            queryset = queryset.in_book()
        # By key, so that the narrowing to one drawer does not narrow what is added up over all.
        narrowed = super().filter_queryset(queryset)
        return self.queryset.filter(pk__in=narrowed.order_by().values("pk")).with_total().with_places()

    def with_text(self, queryset: CountedItemQuerySet, name: str, value: str) -> CountedItemQuerySet:
        return queryset.filter(Q(name__icontains=value) | Q(group__icontains=value) | Q(notes__icontains=value))

    def in_state(self, queryset: CountedItemQuerySet, name: str, value: str) -> CountedItemQuerySet:
        if value == self.LOW:
            return queryset.filter(pk__in=CountedItem.objects.low().order_by().values("pk"))
        return queryset.exclude(retired_at=None)
