"""A Length as one value, from the form to the column of nanometres."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from inventory.measures import display, masses
from inventory.measures.length_words import typed
from inventory.measures.lengths import (
    Length,
    LengthError,
    RunoutUnit,
    Unit,
    exact,
    is_zero,
    parse,
    raise_doubt_of_thousands,
)


class LengthField(models.BigIntegerField):
    """A column of whole nanometres whose value in Python is a Length."""

    description = "A length in nanometres"
    # What the checker of types takes the value of such a column to be.
    _pyi_private_set_type: Length  # type: ignore[assignment]
    _pyi_private_get_type: Length  # type: ignore[assignment]
    _pyi_lookup_exact_type: Length  # type: ignore[assignment]

    def from_db_value(self, value, expression, connection):
        return None if value is None else Length(value)

    def to_python(self, value):
        if value is None or isinstance(value, Length):
            return value
        return Length(int(value))

    def get_prep_value(self, value):
        if isinstance(value, Length):
            value = value.nm
        return super().get_prep_value(value)

    def value_to_string(self, obj):
        value = self.value_from_object(obj)
        return "" if value is None else str(value.nm)

    def formfield(self, **kwargs):
        return LengthInput(required=not self.blank, label=self.verbose_name.capitalize(), help_text=self.help_text)

    @property
    def validators(self):
        return []  # BigIntegerField's bounds compare plain numbers


class LengthInput(forms.CharField):
    """A size as a machinist writes it; cleans to a Length, or None where it is empty.

    A bare number is in `unit`, which is that of the person who types where none is given. One of inches above
    `bare_limit` is asked back. What is no size but a distance `may_be_zero`. A size that is marked on a piece is
    written as it `is_marked`, all else in the person's unit.
    """

    def __init__(
        self,
        *,
        unit: Unit | None = None,
        bare_limit: Length | None = None,
        may_be_zero: bool = False,
        is_marked: bool = False,
        **kwargs,
    ):
        self.unit, self.bare_limit = unit, bare_limit
        self.may_be_zero, self.is_marked = may_be_zero, is_marked
        kwargs.setdefault("widget", forms.TextInput(attrs={"autocapitalize": "off"}))
        super().__init__(**kwargs)

    def prepare_value(self, value):
        return self.as_typed(value) if isinstance(value, Length) else value

    def as_typed(self, length: Length) -> str:
        """What `to_python` reads back to the same length."""
        return exact(length) if self.is_marked else typed(length)

    @property
    def bare_unit(self) -> Unit | RunoutUnit:
        return self.unit or display.now().bare

    @property
    def largest_meant(self) -> Length | None:
        """The largest that this field may hold, where it has one."""
        return self.bare_limit

    def to_python(self, value: Any) -> Length | None:  # type: ignore[override]  # its text becomes a Length
        if isinstance(value, Length):
            return value
        text = super().to_python(value)
        if not text:
            return None
        if self.may_be_zero and is_zero(text):
            return Length(0)
        try:
            if display.now().asks_of_thousands:
                raise_doubt_of_thousands(text, self.bare_unit, most=self.largest_meant)
            return parse(text, self.bare_unit, bare_limit=self.bare_limit)
        except LengthError as error:
            raise ValidationError(error.message, code="unreadable") from None


class MassInput(forms.CharField):
    """A weight with its unit; cleans to whole micrograms."""

    def prepare_value(self, value):
        return masses.typed(value) if isinstance(value, int) else value

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return None
        try:
            return masses.parse(text)
        except masses.MassError as error:
            raise ValidationError(str(error), code="unreadable") from None
