"""Form fields for what a shop writes beside its sizes: money, counts, the swing of an indicator."""

import re

from django import forms
from django.core.exceptions import ValidationError

from inventory.measures import money
from inventory.measures.display import now
from inventory.measures.examples import LIKE_A_RUNOUT, by_unit
from inventory.measures.fields import LengthInput
from inventory.measures.length_words import typed, typed_runout
from inventory.measures.lengths import Length, RunoutUnit, Unit, is_bare, shorten

LARGEST_TIR = Length.inches("0.25")
"""More than any indicator swings on a piece that is still mounted: a size was typed (common practice, no source)."""


MOST_BARE_INCH, MOST_BARE_MM = Length.inches("0.02"), Length.mm("0.5")
"""A run-out above it is taken for a slip of the unit until its unit is written (common practice, no source)."""
SHORTEST_TIR = Length.mm("0.0001")
"""Less than any indicator of a shop shows (common practice, no source)."""


def one_line(text: str) -> str:
    return " ".join("".join(character for character in text if character.isprintable() or character.isspace()).split())


class LineInput(forms.CharField):
    """A text of one line."""

    def to_python(self, value):
        return one_line(super().to_python(value))


class MoneyInput(forms.CharField):
    """An amount as the shop writes it, like 31.50 or $28; cleans to a whole number of the smallest coin."""

    def prepare_value(self, value):
        return money.typed(value) if isinstance(value, int) else value

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        try:
            return money.parse(text)
        except money.MoneyError as error:
            raise ValidationError(str(error)) from None


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


MOST_COUNTED = 9_999_999
_OUT_OF_RANGE = re.compile(r"[-−+]?[0-9]+(?:,[0-9]{3})*")
"""Whole, and below or above what can be counted."""


class CountInput(forms.IntegerField):
    """A whole number, also with its thousands or the word for what it counts: 2,500 rpm, 3 jaws, 60 deg."""

    def to_python(self, value):
        if not isinstance(value, str) or not value.strip():
            return super().to_python(value)
        number = re.fullmatch(
            r"([0-9]{1,3}(?:,[0-9]{3}){0,2}|[0-9]{1,7})\s*(?:rpm|jaws?|deg\.?|degrees?|°)?", value.strip()
        )
        if not number and _OUT_OF_RANGE.fullmatch(value.strip()):
            raise ValidationError(f"“{shorten(value)}” was read; write {self._range}.")
        if not number:
            raise ValidationError(f"“{shorten(value)}” is no whole number. Write it in figures, like 3.")
        return int(number[1].replace(",", ""))

    @property
    def _range(self) -> str:
        least = 0 if self.min_value is None else self.min_value
        most = MOST_COUNTED if self.max_value is None else self.max_value
        return f"{least} to {most:,}"


class SizeInput(LengthInput):
    """A size that is at most `at_most`: more was typed in the wrong unit."""

    def __init__(self, *, at_most: Length, **kwargs):
        super().__init__(**kwargs)
        self.at_most = at_most

    @property
    def largest_meant(self) -> Length | None:
        return self.at_most

    def to_python(self, value):
        size = super().to_python(value)
        if size is not None and size > self.at_most:
            raise ValidationError(f"{typed(size)} was read; write at most {typed(self.at_most)}.")
        return size


class TirInput(LengthInput):
    """A swing of the indicator; unlike a size it can be 0.

    A bare number is in the unit of run-out that the person chose, and asked back where an indicator seldom says that.
    """

    def __init__(self, **kwargs):
        super().__init__(may_be_zero=True, **kwargs)

    def as_typed(self, length: Length) -> str:
        return typed_runout(length)

    @property
    def bare_unit(self) -> Unit | RunoutUnit:
        return self.unit or now().runout

    @property
    def largest_meant(self) -> Length | None:
        return LARGEST_TIR

    def to_python(self, value):
        tir = super().to_python(value)
        if tir is not None and tir > LARGEST_TIR:
            raise ValidationError(
                f"Read as {typed(tir)}; a TIR is the indicator's swing, like {LIKE_A_RUNOUT[now().runout]}."
            )
        if isinstance(value, str) and tir is not None and tir.nm and self.unit is None:
            self._ask_what_is_doubtful(value, tir)
        return tir

    def _ask_what_is_doubtful(self, text: str, tir: Length) -> None:
        most = MOST_BARE_MM if now().runout.is_metric else MOST_BARE_INCH
        if not is_bare(text) or SHORTEST_TIR <= tir <= most:
            return
        number = text.strip()
        units = ("mm", "µm", "in") if now().runout.is_metric else ("in", "thou", "mm")
        readings = f"{', '.join(f'{number} {unit}' for unit in units[:-1])} or {number} {units[-1]}"
        much = "much" if tir > most else "little"
        raise ValidationError(
            f"“{shorten(text)}” would be {number} {self.bare_unit.value}, which is {much} for a run-out. "
            f"Write it with its unit: {readings}."
        )


_PLAIN_MESSAGES = {
    "max_length": "%(show_value)d characters were read; write at most %(limit_value)d.",
    "min_value": "%(show_value)s was read; write %(limit_value)s or more.",
    "max_value": "%(show_value)s was read; write %(limit_value)s or less.",
    "null_characters_not_allowed": "A character that cannot be seen was read. Write letters and figures.",
}


def say_plainly(fields: dict[str, forms.Field], like: dict[str, str] | None = None) -> None:
    """Let the fields say in our words what was read and what is accepted; `like` has an example for each name."""
    for name, field in fields.items():
        words = field.label or name.replace("_", " ").capitalize()
        example = (like or {}).get(name)
        field.error_messages.update(_PLAIN_MESSAGES)
        field.error_messages["required"] = f"{words} is empty. " + (
            f"Write it like {by_unit(example)}." if example else "Write something."
        )
        if isinstance(field, forms.MultipleChoiceField):
            field.error_messages["required"] = f"Nothing is chosen under {words}; tick one at least."
        if isinstance(field, forms.ModelChoiceField | forms.ChoiceField):
            field.error_messages["invalid_choice"] = "“%(value)s” is none of the choices here. " + _choices(field)
        elif isinstance(field, forms.IntegerField):
            field.error_messages["invalid"] = "That is no whole number. Write it in figures, like 3."


def _choices(field) -> str:
    if isinstance(field, forms.ModelChoiceField):
        return "Choose one of the list."
    return f"Choose {', '.join(str(value) for value, _ in field.choices if value)}."
