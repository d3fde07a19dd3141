"""A question that could not be read, told on the page that asks it."""

from collections.abc import Callable

from django import forms
from django.forms.utils import ErrorDict

from fitfinder.stock import QuestionError


def no_size() -> QuestionError:
    return QuestionError("No size was given. Write it like .7485, 3/4 or 19 mm.", field="size", read="")


def refusal(form: forms.Form, error: QuestionError | None, address_with: Callable[[str], str]) -> dict:
    """For `fitfinder/_refusal.html`: the error, the label of its field, and what may have been meant.

    `address_with` is the address of the question with another text in the field of the error.
    """
    if error is None:
        return {"error": None}
    if error.field != "size":
        # The size stands right below the summary; what stands farther down is told beside its field too.
        tell_beside(form, error)
    label = form.fields[error.field].label or error.field.capitalize()
    readings = [(reading, address_with(reading)) for reading in _readings(error)]
    return {"error": error, "error_label": label, "suggestions": readings}


def tell_beside(form: forms.Form, error: QuestionError) -> None:
    """The error beside its field, in a form that is only drawn: the question itself was read by the core."""
    form._errors = ErrorDict({error.field: form.error_class([error.message])})


def _readings(error: QuestionError) -> list[str]:
    """What may have been meant: both units where a bare number was read."""
    if not error.suggest:
        return []
    return [error.suggest] + ([f"{error.read} in"] if error.suggest == f"{error.read} mm" else [])
