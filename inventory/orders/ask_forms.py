"""What is asked for: a size, or a thing in words; and what is taken back, or let rest."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.figures.names import series_named
from inventory.measures.inputs import one_line, say_plainly
from inventory.measures.length_words import nominal, typed
from inventory.measures.lengths import Length
from inventory.models import CountedItem, Kind, SeriesShape, Shape
from inventory.orders.forms import how_many

_LONGEST_NM = 100 * 10**9


class SizeForm(forms.Form):
    """A size of a series, as a page that found it missing names it."""

    series = forms.CharField(max_length=60)
    shape = forms.ChoiceField(choices=Shape.choices)
    nm = forms.IntegerField(label="Size", min_value=1, max_value=_LONGEST_NM)
    why = forms.CharField(required=False, max_length=200)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"series": "5C or ER32", "shape": "round", "nm": "19050000, in nanometres"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        rows = SeriesShape.objects.select_related("series")
        figures = rows.filter(series=series_named(cleaned["series"]), shape=cleaned["shape"]).first()
        if figures is None:
            self.add_error("series", f"“{cleaned['series']}” has no {cleaned['shape']} collets here.")
            return cleaned
        self.figures, self.length = figures, Length(cleaned["nm"])
        if not figures.takes_nominal(self.length):
            limits = " to ".join(nominal(limit) for limit in (figures.smallest, figures.largest) if limit)
            self.add_error("nm", f"{typed(self.length)} was read; {figures} collets go from {limits}.")
        return cleaned


class ThingForm(forms.Form):
    """Something to order that is no collet size: in words, or something that is counted."""

    what = forms.CharField(
        required=False,
        max_length=80,
        label="What to order",
        help_text="In the shop's words: MT3 drawbar, key for K-0083, way wipers.",
    )
    item = forms.ModelChoiceField(
        CountedItem.objects.in_book(),
        required=False,
        label="Or something that is counted",
        empty_label="no: it is written above",
    )
    kind = forms.ChoiceField(
        required=False,
        label="What it becomes in Gripbook",
        choices=[("", "nothing with a tag"), *((kind.value, kind.value) for kind in Kind if kind != Kind.COLLET)],
    )
    quantity = how_many(required=False)
    why = forms.CharField(required=False, max_length=200, help_text="What it is for, in a few words.")
    mount = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)
    takes = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"what": "MT3 drawbar", "quantity": "2"})

    def clean_what(self) -> str:
        return one_line(self.cleaned_data["what"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        if bool(cleaned["what"]) == bool(cleaned["item"]):
            raise ValidationError(
                "Write what to order, or choose something that is counted: one of the two."
                if cleaned["what"]
                else "Nothing is named. Write what to order, like MT3 drawbar, or choose something that is counted."
            )
        return cleaned

    def as_want(self) -> dict[str, Any]:
        """The columns of the want."""
        cleaned = self.cleaned_data
        columns = {"why": cleaned["why"], "quantity": cleaned["quantity"] or 1}
        if cleaned["item"]:
            return columns | {"item": cleaned["item"]}
        return columns | {name: cleaned[name] for name in ("what", "kind", "mount", "takes")}


class DismissForm(forms.Form):
    """What people looked for, as the page groups it."""

    read_as = forms.CharField(max_length=200)
    lathe = forms.CharField(required=False, max_length=40)


class DropForm(forms.Form):
    """Drop a want, or take that back."""

    undo = forms.BooleanField(required=False)
