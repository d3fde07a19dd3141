"""What is typed on the pages of what is short: what a board is drawn for, what is tapped on it, the lead time."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from django import forms
from django.http import QueryDict

from fitfinder.holding.pieces import LatheOnHand
from fitfinder.short.shortfalls import LEAD_DAYS
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import CountInput, say_plainly
from inventory.measures.lengths import Length

USUAL = Length.inches("0.002")
"""Cold drawn bar up to 1-1/2 in may be this much under its size (ASTM A108)."""

_LONGEST_LEAD = 365


class BoardForm(forms.Form):
    lathe = forms.ChoiceField(required=False)
    tolerance = LengthInput(
        required=False,
        may_be_zero=True,
        label="The bar may be off by",
        help_text="[Inches, or write mm: .002, 0.05 mm, 0|Millimetres, or write in: 0.05, .002 in, 0]. "
        "A hole is where no one collet holds such bar.",
    )

    def __init__(self, data: QueryDict | None = None, *, lathes: Iterable[LatheOnHand] = ()) -> None:
        super().__init__(data, initial={"tolerance": USUAL})
        lathe = cast(forms.ChoiceField, self.fields["lathe"])
        lathe.choices = [("", "any lathe here"), *((lathe.name, lathe.name) for lathe in lathes)]
        say_plainly(self.fields)

    @property
    def is_readable(self) -> bool:
        return not self.is_bound or self.is_valid()

    @property
    def asked_tolerance(self) -> Length:
        """The usual one where none is asked for."""
        asked = self.cleaned_data.get("tolerance") if self.is_bound else None
        return USUAL if asked is None else asked

    @property
    def asked_lathe(self) -> str:
        return self.cleaned_data.get("lathe", "") if self.is_bound else ""


class PickedForm(forms.Form):
    """The size that was tapped on the board."""

    pick = forms.IntegerField(min_value=1, max_value=10**12)


class LeadForm(forms.Form):
    lead_days = CountInput(
        required=False,
        min_value=1,
        max_value=_LONGEST_LEAD,
        label="Days from order to delivery",
        help_text=f"1 to {_LONGEST_LEAD}. Empty: {LEAD_DAYS}, common practice.",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)


class DroppedForm(forms.Form):
    """The want that was dropped a moment ago, as the page after it names it."""

    dropped = forms.IntegerField(min_value=1, max_value=2**63 - 1)
