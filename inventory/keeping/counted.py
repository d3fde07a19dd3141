"""The forms of what is counted: an item, a tap that changes its count, and what the list is narrowed by."""

import django_filters
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q

from inventory.measures.inputs import CountInput, MoneyInput, TokenInput, say_plainly
from inventory.models import CountedItem
from inventory.models.counted import MOST

_EXAMPLES = {"name": "Center drill No. 3", "unit": "pieces", "location": "A4", "how_many": "5", "count": "12"}
_FIGURES = {"inputmode": "numeric", "autocomplete": "off"}


def _one_line(text: str) -> str:
    return " ".join("".join(character for character in text if character.isprintable() or character == " ").split())


def _place_input(**kwargs) -> forms.CharField:
    return forms.CharField(
        max_length=60, label="Drawer or place", widget=forms.TextInput(attrs={"list": "places"}), **kwargs
    )


class CountedItemForm(forms.ModelForm):
    """What is counted: its name, word, unit and mark. A new one may say at once where it lies and how many."""

    low_mark = CountInput(
        required=False,
        min_value=0,
        max_value=MOST,
        help_text="With so many left in all places, or fewer, it is low. Empty: it never is.",
    )
    cost = MoneyInput(required=False, label="Cost each", help_text="Of one, in dollars: 4.35.")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))

    class Meta:
        model = CountedItem
        fields = ("name", "group", "unit", "low_mark", "size", "notes")
        widgets = {"group": forms.TextInput(attrs={"list": "groups"})}

    def __init__(self, *args, instance=None, **kwargs):
        if instance is not None:
            cents = instance.cost_cents
            cost = {"cost": f"{cents // 100}.{cents % 100:02d}" if cents is not None else ""}
            kwargs["initial"] = {**cost, **kwargs.get("initial", {})}
        super().__init__(*args, instance=instance, **kwargs)
        self._was = _columns(instance) if instance is not None else None
        self.has_changed_item = False
        if instance is None:
            self.fields["location"] = _place_input(required=False, help_text="Others can be added later.")
            self.fields["count"] = CountInput(
                required=False, min_value=0, max_value=MOST, label="How many are there", help_text="As counted now."
            )
        self.order_fields(["name", "group", "unit", "location", "count", "low_mark", "size", "cost", "notes"])
        say_plainly(self.fields, _EXAMPLES)

    def clean_name(self):
        return _one_line(self.cleaned_data["name"])

    def clean_group(self):
        return _one_line(self.cleaned_data["group"])

    def clean_unit(self):
        return _one_line(self.cleaned_data["unit"])

    def clean_location(self):
        return _one_line(self.cleaned_data["location"])

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("count") is not None and not cleaned.get("location") and "location" not in self.errors:
            self.add_error("location", "A count needs the place that was counted. Write it like A4.")
        return cleaned

    def save(self, commit=True):
        self.instance.cost_cents = self.cleaned_data["cost"]
        self.has_changed_item = _columns(self.instance) != self._was
        return super().save(commit=commit) if self.has_changed_item else self.instance


class MoveForm(forms.Form):
    """One tap: how many, and the token by which it is known when it is sent again."""

    token = TokenInput()
    how_many = CountInput(min_value=1, max_value=MOST, widget=forms.TextInput(attrs=_FIGURES))

    def __init__(self, *args, label="", help_text="", **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, _EXAMPLES)
        self.fields["how_many"].label = label or self.fields["how_many"].label
        self.fields["how_many"].help_text = help_text


class RecountForm(MoveForm):
    """A place that was counted: one where the item lies already, or a new one."""

    how_many = CountInput(
        min_value=0, max_value=MOST, label="How many are there", widget=forms.TextInput(attrs=_FIGURES)
    )
    location = _place_input()
    field_order = ("token", "location", "how_many")

    def clean_location(self):
        name = _one_line(self.cleaned_data["location"])
        if not name:
            raise ValidationError("The place is empty. Write it like A4.")
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

    def filter_queryset(self, queryset):
        if self.form.cleaned_data.get("state") != self.RETIRED:
            queryset = queryset.in_book()
        # By key, so that the narrowing to one drawer does not narrow what is added up over all.
        found = super().filter_queryset(queryset)
        return self.queryset.filter(pk__in=found.order_by().values("pk")).with_total().with_places()

    def with_text(self, queryset, name, value):
        return queryset.filter(Q(name__icontains=value) | Q(group__icontains=value) | Q(notes__icontains=value))

    def in_state(self, queryset, name, value):
        if value == self.LOW:
            return queryset.filter(pk__in=CountedItem.objects.low().order_by().values("pk"))
        return queryset.exclude(retired_at=None)


def _columns(row) -> dict:
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
