"""A set of jaws as it is written down: what it holds, and where it lies."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.db import transaction

from inventory.keeping.places import place_named
from inventory.measures.inputs import LineInput, SizeInput, TokenInput, say_plainly
from inventory.measures.length_words import typed
from inventory.models import Condition, JawSet, Tool
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces.fields import LARGEST_HELD
from inventory.reference.kinds import JawKind
from inventory.web.editing import RowForm


def _holding_size(label: str, hint: str) -> SizeInput:
    return SizeInput(required=False, label=label, help_text=hint, at_most=LARGEST_HELD)


class JawSetForm(RowForm):
    """One set of jaws of a chuck, new or in the book."""

    token = TokenInput()
    kind = forms.ChoiceField(
        choices=[(kind.value, kind.value) for kind in JawKind],
        widget=forms.RadioSelect,
        help_text="Hard jaws for outside or for inside, or soft jaws that are bored in place.",
    )
    mark = forms.CharField(required=False, max_length=30, label="Marked", help_text="What is stamped on them.")
    outside_smallest = _holding_size("Holds outside, from", "The smallest, like [1/8|3]. Not asked of soft jaws.")
    outside_largest = _holding_size("Holds outside, to", "The largest; not below the smallest, up to [60 in|1524 mm].")
    inside_smallest = _holding_size("Holds inside, from", "The smallest bore that they hold from within.")
    inside_largest = _holding_size("Holds inside, to", "The largest; not below the smallest, up to [60 in|1524 mm].")
    jaw_length = _holding_size(
        "Grips by", "How long the step or face is that touches the work, like [1|25]; up to [60 in|1524 mm]."
    )
    bored_to = _holding_size("Last bored to", "Soft jaws only; they are counted on for that size and no other.")
    condition = forms.ChoiceField(choices=[(value, value) for value in Condition.values])
    place = LineInput(
        required=False,
        max_length=60,
        label="Drawer or place",
        help_text="Where they lie while they are not in the chuck.",
        widget=forms.TextInput(attrs={"list": "places"}),
    )
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 2}))

    class Meta:
        model = JawSet
        fields = (
            "kind", "mark", "outside_smallest", "outside_largest", "inside_smallest", "inside_largest",
            "jaw_length", "bored_to", "condition", "place", "notes",
        )  # fmt: skip

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, chuck: Tool, instance: JawSet | None = None, **kwargs: Any
    ) -> None:
        self.chuck = chuck
        if instance is not None:
            place = instance.location.name if instance.location else ""
            kwargs["initial"] = {"token": instance.token, "place": place}
        super().__init__(data, instance=instance, **kwargs)
        self.instance.chuck = chuck
        say_plainly(self.fields)

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        soft = cleaned.get("kind") == JawKind.SOFT
        for side in ("outside", "inside"):
            low, high = cleaned.get(f"{side}_smallest"), cleaned.get(f"{side}_largest")
            if low is not None and high is not None and high < low:
                self.add_error(f"{side}_largest", f"{typed(high)} is below the smallest size, {typed(low)}.")
        if cleaned.get("bored_to") is not None and not soft:
            self.add_error("bored_to", "Only soft jaws are bored to a size: choose soft, or leave this empty.")
        if soft and {cleaned.get("outside_smallest"), cleaned.get("outside_largest")} != {None}:
            self.add_error(
                "outside_smallest", "Soft jaws hold the size that they were bored to: write it there, not a range."
            )
        if self.instance.is_in and cleaned.get("condition") not in USABLE_CONDITIONS:
            self.add_error("condition", f"These jaws are in {self.chuck}. Put other jaws in it first.")
        return cleaned

    @transaction.atomic
    def save(self, commit: bool = True) -> JawSet:
        """The jaws in the book, and the chuck's ranges with them where they are in it; sent again, those of before."""
        if self.was is None:
            standing = JawSet.objects.filter(token=self.cleaned_data["token"], chuck=self.chuck).first()
            if standing is not None:
                self.instance = standing
                return standing
            self.instance.token = self.cleaned_data["token"]
        place = self.cleaned_data["place"]
        self.instance.location = place_named(place) if place else None
        jaws: JawSet = super().save(commit=commit)
        if self.has_changed_row:
            jaws.carry_over()
        return jaws

    def tell_taken(self) -> bool:
        self.add_error(None, "These jaws were sent twice at one moment. Look at the chuck's page.")
        return True
