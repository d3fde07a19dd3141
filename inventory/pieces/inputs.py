"""Form fields that read a shop's own words for a piece."""

from __future__ import annotations

from collections.abc import Callable

from django import forms
from django.core.exceptions import ValidationError

from inventory.measures.lengths import shorten
from inventory.models.kinds import Operation
from inventory.pieces import words


class WordInput(forms.CharField):
    """One of a few words, in a shop's spelling, as `read` understands it; cleans to `empty` where nothing is said."""

    def __init__(self, *, read: Callable[[str], str | bool | None], accepted: str, empty: str | None = "", **kwargs):
        super().__init__(required=False, **kwargs)
        self.read, self.accepted, self.empty = read, accepted, empty

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return self.empty
        word = self.read(text)
        if word is None:
            raise ValidationError(f"“{shorten(text)}” was read. Write {self.accepted}, or leave it empty.")
        return word


class SeveralInput(forms.Field):
    """Names with a semicolon between them, or the ticked ones; cleans to a list."""

    widget = forms.TextInput

    def prepare_value(self, value):
        return self._split(value) if isinstance(self.widget, forms.CheckboxSelectMultiple) else value

    def to_python(self, value):
        return self._split(value)

    @staticmethod
    def _split(value) -> list[str]:
        texts = value if isinstance(value, list | tuple) else str(value or "").split(";")
        return [" ".join(text.split()) for text in texts if text.strip()]


class OperationsInput(forms.Field):
    """Operations of the lathe, as words or the ticked ones; cleans to one text in the trade's order."""

    widget = forms.TextInput

    def prepare_value(self, value):
        if not isinstance(self.widget, forms.CheckboxSelectMultiple):
            return value
        return value if isinstance(value, list) else words.operations_of(value or "")[0]

    def to_python(self, value):
        text = " ".join(value) if isinstance(value, list | tuple) else value or ""
        operations, unknown = words.operations_of(text)
        if unknown:
            raise ValidationError(f"“{shorten(unknown[0])}” is no operation here. Write {', '.join(Operation.values)}.")
        return ", ".join(operations)
