"""A sum of the shop, as a form that is sent by its address."""

from django import forms
from django.forms.utils import ErrorDict

from fitfinder.arithmetic.frame import Key, Sum
from fitfinder.questions import QuestionError


class SumForm(forms.Form):
    """The fields of one sum of the shop, drawn from its keys; it is sent by its address and decides nothing."""

    def __init__(self, asked: Sum, *, initial: dict[str, str], error: QuestionError | None = None):
        super().__init__({**initial} if error else None, initial=initial)
        for key in asked.keys:
            self.fields[key.name] = _field_of(key)
        self.fields["unit"] = forms.ChoiceField(
            required=False,
            label="A bare number is in",
            help_text="Inches, lb, lbf, ft/min and psi; or mm, kg, N, m/min and MPa.",
            choices=[("in", "inches"), ("mm", "millimetres")],
            widget=forms.RadioSelect,
        )
        if error:
            self._errors = ErrorDict()
            self.cleaned_data = {}
            self.add_error(error.field if error.field in self.fields else None, _in_words(error.message, asked))


def _in_words(message: str, asked: Sum) -> str:
    """A sentence that names fields by their keys, as a terminal has them, by what stands above them on the page."""
    for key in asked.keys:
        if "_" in key.name:
            message = message.replace(key.name, f"“{key.words.removeprefix('Or the ')}”")
    return message


def _field_of(key: Key) -> forms.Field:
    if key.choices:
        choices = [(word, word.replace("-", " ")) for word in key.choices]
        return forms.ChoiceField(
            required=False, label=key.words, help_text=key.hint, choices=choices, widget=forms.RadioSelect
        )
    attributes = {"autocapitalize": "off"}
    return forms.CharField(
        required=False, label=key.words, help_text=key.hint, widget=forms.TextInput(attrs=attributes)
    )
