"""By what a setup sheet is found again: words of its number, name or stock, the size of the stock, the lathe."""

from __future__ import annotations

from django import forms

from inventory.measures.fields import LengthInput
from inventory.measures.inputs import LineInput, say_plainly
from inventory.models import Lathe
from inventory.models.setup_sheets import SetupSheetQuerySet


class LibraryForm(forms.Form):
    """Empty is all of them."""

    text = LineInput(
        required=False, max_length=60, label="Part number or name", help_text="Or a word of the stock or material."
    )
    stock = LengthInput(required=False, label="Stock size", help_text="Like [3/4|20].")
    lathe = forms.ModelChoiceField(Lathe.objects.all(), required=False, label="Lathe", empty_label="any")

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)

    def filtered(self, sheets: SetupSheetQuerySet) -> SetupSheetQuerySet:
        """The sheets that were asked for; none while a field cannot be read."""
        if not self.is_valid():
            return sheets.none()
        asked = self.cleaned_data
        sheets = sheets.with_words(asked["text"])
        if asked["stock"] is not None:
            sheets = sheets.from_stock(asked["stock"])
        return sheets.filter(lathe=asked["lathe"]) if asked["lathe"] else sheets

    @property
    def is_narrowed(self) -> bool:
        return bool(self.errors) or any(self.cleaned_data.values())
