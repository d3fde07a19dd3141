"""A question that could not be read, told on the page that asks it."""

from collections.abc import Callable

from django import forms
from django.forms.utils import ErrorDict

from fitfinder.questions import QuestionError


def no_size() -> QuestionError:
    return QuestionError("No size was given. Write it like .7485, 3/4 or 19 mm.", field="size", read="")


def refusal(form: forms.Form, error: QuestionError | None, address_with: Callable[[str], str] | None = None) -> dict:
    """For `fitfinder/_refusal.html`: the error, the label of its field, and what may have been meant.

    The form is only drawn, as the question itself was read by the core; the error is put beside its field. With
    `address_with`, the address of the question with another text in that field, what may have been meant is a tap away.
    """
    if error is None:
        return {"error": None, "error_label": "", "suggestions": []}
    form._errors = ErrorDict({error.field: form.error_class([error.message])})
    label = form.fields[error.field].label or error.field.capitalize()
    readings = [(reading, address_with(reading)) for reading in _readings(error)] if address_with else []
    return {"error": error, "error_label": label, "suggestions": readings}


def _readings(error: QuestionError) -> list[str]:
    """What may have been meant: both units where a bare number was read."""
    if not error.suggest:
        return []
    return [error.suggest] + ([f"{error.read} in"] if error.suggest == f"{error.read} mm" else [])
