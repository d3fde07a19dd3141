"""Form fields for what a shop writes beside its sizes: money, counts, the swing of an indicator."""

import re
from decimal import Decimal, InvalidOperation

from django import forms
from django.core.exceptions import ValidationError

from inventory.measures.fields import LengthInput
from inventory.measures.lengths import Length, exact, shorten

LARGEST_TIR = Length.inches("0.25")
"""More than any indicator swings on a piece that is still mounted: a size was typed (common practice, no source)."""


def one_line(text: str) -> str:
    return " ".join("".join(character for character in text if character.isprintable() or character.isspace()).split())


class LineInput(forms.CharField):
    """A text of one line."""

    def to_python(self, value):
        return one_line(super().to_python(value))


class MoneyInput(forms.CharField):
    """An amount like 31.50 or $28; cleans to whole cents."""

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        try:
            amount = Decimal(_plain_amount(text))
            cents = amount * 100
            if not amount.is_finite() or cents != int(cents) or not 0 <= cents < 2**31:
                raise InvalidOperation
        except InvalidOperation:
            raise ValidationError(f"“{shorten(text)}” is not an amount of money. Write it like 31.50.") from None
        return int(cents)


def _plain_amount(text: str) -> str:
    """The amount without its sign and its thousands; a comma before one or two last figures is the decimal one."""
    bare = text.replace("$", "").replace(" ", "")
    if re.fullmatch(r"[0-9.]*,[0-9]{1,2}", bare, re.ASCII):
        return bare.replace(".", "").replace(",", ".")
    if not re.fullmatch(
        r"[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+|(?:[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+)?\.[0-9]*", bare, re.ASCII
    ):
        raise InvalidOperation
    return bare.replace(",", "")


class TokenInput(forms.UUIDField):
    """Hidden: the token by which one press of a button is known when it is sent again."""

    widget = forms.HiddenInput

    def __init__(self, *, too_old: str = "This page is too old. Press again.", **kwargs):
        super().__init__(**kwargs)
        self._too_old = too_old

    def clean(self, value):
        try:
            return super().clean(value)
        except ValidationError:
            raise ValidationError(self._too_old) from None


class CountInput(forms.IntegerField):
    """A whole number, also with its thousands or the word for what it counts: 2,500 rpm, 3 jaws, 60 deg."""

    def to_python(self, value):
        if not isinstance(value, str) or not value.strip():
            return super().to_python(value)
        found = re.fullmatch(
            r"([0-9]{1,3}(?:,[0-9]{3}){0,2}|[0-9]{1,7})\s*(?:rpm|jaws?|deg\.?|degrees?|°)?", value.strip()
        )
        if not found:
            raise ValidationError(f"“{shorten(value)}” is no whole number. Write it in figures, like 3.")
        return int(found[1].replace(",", ""))


class SizeInput(LengthInput):
    """A size that is at most `at_most`: more was typed in the wrong unit."""

    def __init__(self, *, at_most: Length, **kwargs):
        super().__init__(**kwargs)
        self.at_most = at_most

    def to_python(self, value):
        size = super().to_python(value)
        if size is not None and size > self.at_most:
            raise ValidationError(f"{exact(size)} was read; write at most {exact(self.at_most)}.")
        return size


class TirInput(LengthInput):
    """A swing of the indicator; unlike a size it can be 0."""

    def __init__(self, **kwargs):
        super().__init__(may_be_zero=True, **kwargs)

    def to_python(self, value):
        tir = super().to_python(value)
        if tir is not None and tir > LARGEST_TIR:
            raise ValidationError(f"Read as {exact(tir)}; a TIR is the indicator's swing, like .0005.")
        return tir


_PLAIN_MESSAGES = {
    "max_length": "%(show_value)d characters were read; write at most %(limit_value)d.",
    "min_value": "%(show_value)s was read; write %(limit_value)s or more.",
    "max_value": "%(show_value)s was read; write %(limit_value)s or less.",
    "null_characters_not_allowed": "A character that cannot be seen was read. Write letters, figures and signs.",
}


def say_plainly(fields: dict[str, forms.Field], like: dict[str, str] | None = None) -> None:
    """Let the fields say in our words what was read and what is accepted; `like` has an example for each name."""
    for name, field in fields.items():
        words = field.label or name.replace("_", " ").capitalize()
        example = (like or {}).get(name)
        field.error_messages.update(_PLAIN_MESSAGES)
        field.error_messages["required"] = f"{words} is empty. " + (
            f"Write it like {example}." if example else "Write something."
        )
        if isinstance(field, forms.ModelChoiceField | forms.ChoiceField):
            field.error_messages["invalid_choice"] = "“%(value)s” is none of the choices here. " + _choices(field)
        elif isinstance(field, forms.IntegerField):
            field.error_messages["invalid"] = "That is no whole number. Write it in figures, like 3."


def _choices(field) -> str:
    if isinstance(field, forms.ModelChoiceField):
        return "Choose one of the list."
    return f"Choose {', '.join(str(value) for value, _ in field.choices if value)}."
