"""What the forms of questions are made of."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms
from django.forms.utils import ErrorDict

from fitfinder.questions import QuestionError
from inventory.measures.display import now
from inventory.reference.bars import Grade


class QuestionForm(forms.Form):
    """A form that is sent by its address and only drawn: the question itself is read by the core."""

    def refuse(self, error: QuestionError) -> None:
        """Say beside its field what could not be read."""
        self._errors = ErrorDict({error.field: self.error_class([error.message])})

    def label_of(self, field: str) -> str:
        return str(self.fields[field].label or field.capitalize())


def unit_field() -> forms.ChoiceField:
    return forms.ChoiceField(
        required=False,
        label="A bare number is in",
        choices=_units,
        widget=forms.RadioSelect,
    )


def _units() -> list[tuple[str, str]]:
    if not now().unit_to_ask_in:
        return [("", "inches, asked back if too large"), ("mm", "millimetres"), ("in", "inches, however large")]
    units = [("mm", "millimetres"), ("in", "inches")]
    return units if now().is_metric else units[::-1]


def lathe_field(names: Iterable[str], *, any_words: str = "") -> forms.ChoiceField:
    """With `any_words` the lathe may be left open."""
    left_open = [("", any_words)] if any_words else []
    return forms.ChoiceField(required=False, choices=[*left_open, *((name, name) for name in names)])


def grade_field(grades: Iterable[Grade]) -> forms.ChoiceField:
    return forms.ChoiceField(
        required=False,
        label="Or the size is from the bar's label, and the bar is",
        help_text="The kind of bar says how far it may be off its nominal size.",
        choices=[("", "measured, no grade"), *((grade.code, grade.label) for grade in grades)],
    )
