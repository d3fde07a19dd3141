"""Form fields for what a shop writes beside its sizes: money, days, the swing of an indicator."""

import re
from datetime import date
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

    def to_python(self, value):
        if isinstance(value, str) and re.fullmatch(r"\s*0*[.,]?0+(?:\s*(?:in|mm|\"))?\s*", value, re.ASCII):
            return Length(0)
        tir = super().to_python(value)
        if tir is not None and tir > LARGEST_TIR:
            raise ValidationError(f"Read as {exact(tir)}; a TIR is the indicator's swing, like .0005.")
        return tir


class DayInput(forms.CharField):
    """A date like 2026-03-18; in other notations day and month are read in `order`, or as only they can be.

    A day after `today` is refused, where that is given.
    """

    def __init__(self, *, order: str | None = None, today: date | None = None, **kwargs):
        self.order, self.today = order, today
        super().__init__(**kwargs)

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        day = read_day(text, self.order)
        if day is None:
            raise ValidationError(f"“{shorten(text)}” is not a date. Write it like 2026-03-18.")
        if self.today is not None and day > self.today:
            raise ValidationError(f"“{shorten(text)}” is still to come: today is {self.today.isoformat()}.")
        return day


class AmbiguousDay(ValidationError):
    """Day and month could be either way round."""


def read_day(text: str, order: str | None) -> date | None:
    """The date, None where it is none; raises AmbiguousDay where 3/4/2026 could be two days."""
    iso = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ].*)?", text, re.ASCII)
    if iso:
        return _day(iso[1], iso[2], iso[3])
    parts = re.fullmatch(r"(\d{1,2})[/.](\d{1,2})[/.](\d{4})", text, re.ASCII)
    if not parts:
        return None
    as_mdy, as_dmy = _day(parts[3], parts[1], parts[2]), _day(parts[3], parts[2], parts[1])
    if order:
        first, second = (as_mdy, as_dmy) if order == "mdy" else (as_dmy, as_mdy)
        return first or second
    if as_mdy and as_dmy and as_mdy != as_dmy:
        raise AmbiguousDay(
            f"“{text}” could be {as_mdy.isoformat()} or {as_dmy.isoformat()}. Say which comes first, day or month, "
            "or write it like 2026-03-18."
        )
    return as_mdy or as_dmy


def _day(year: str, month: str, day: str) -> date | None:
    try:
        return date(int(year), int(month), int(day))
    except ValueError:
        return None


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


_TAPER_WORDS = (
    (re.compile(r"^(?:MORSE(?: TAPER)?|M\.? ?T\.?)(?: NO\.?)?[ #-]*(?=[0-9])"), "MT"),
    (re.compile(r"^(?:JACOBS(?: TAPER)?|J\.? ?T\.?)(?: NO\.?)?[ #-]*(?=[0-9])"), "JT"),
    (re.compile(r"^(?:NO\.? ?|#)?([0-9])[ -]?(?:MORSE(?: TAPER)?|M\.? ?T\.?)$"), r"MT\1"),
)


def known_code(text: str, known) -> str | None:
    """The code among `known` (upper case) that a shop's spelling means, or None.

    `Morse 3`, `M.T. 3` and `mt-3` are MT3, `5-C` is 5C, `d1 4` is D1-4, `1 1/2 - 8` is 1-1/2-8.
    """
    said = " ".join(text.upper().split())
    for pattern, code in _TAPER_WORDS:
        said = said if said in known else pattern.sub(code, said)
    spellings = (said, re.sub(r"[ -]+", "-", said), re.sub(r"[ -]+", "", said))
    return next((code for code in spellings if code in known), None)
