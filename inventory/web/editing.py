"""A row that is edited on a page: written only where a column changes, and never over what somebody else changed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.http import HttpRequest


class RowForm(forms.ModelForm):
    """The form of one row, new or in the book. Where no column changes, `save` leaves no entry in its history."""

    has_changed_row = False

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, instance: models.Model | None = None, **kwargs: Any
    ) -> None:
        super().__init__(data, instance=instance, **kwargs)
        self.was = columns_of(instance) if instance is not None else None

    def save(self, commit: bool = True) -> Any:
        self.has_changed_row = columns_of(self.instance) != self.was
        return super().save(commit=commit) if self.has_changed_row else self.instance

    def tell_taken(self) -> bool:
        """After the database refused the row: whether somebody was quicker, which the form then says."""
        return False


def save_row(form: RowForm, *, meanwhile: str = "") -> bool:
    """Whether the row of this form, its `instance`, is in the book as it says; else the form says why not.

    `meanwhile` is what somebody else changed since the page was drawn: over that nothing else is kept.
    """
    if not form.is_valid():
        if meanwhile:
            form.add_error(None, meanwhile)
        return False
    try:
        # The savepoint: after the database's refusal the form still has to look something up.
        with transaction.atomic():
            form.save()
            if meanwhile and form.has_changed_row:
                raise ValidationError(meanwhile)
            return True
    except ValidationError as error:
        form.add_error(None, error.messages)
    except IntegrityError:
        if not form.tell_taken():
            raise
    return False


def tell_change(request: HttpRequest, form: RowForm, words: str) -> None:
    """After the row is saved: what became of it, or that nothing of it was another than before."""
    if form.has_changed_row:
        messages.success(request, words)
    else:
        messages.info(request, "Nothing was changed.")


def columns_of(row: models.Model) -> dict[str, Any]:
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
