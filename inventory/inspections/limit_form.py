"""A shop's own limit and intervals, as a keeper writes them down."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import IntegrityError, transaction

from inventory.measures.display import now
from inventory.measures.examples import LIKE_A_RUNOUT
from inventory.measures.inputs import CountInput, TirInput, say_plainly
from inventory.measures.lengths import Length
from inventory.models import WearLimit


class LimitForm(forms.Form):
    """A shop's own figures; an empty field keeps the built-in one."""

    limit = TirInput(required=False, label="Largest TIR", help_text="Like [TIR].")
    every_days = CountInput(
        required=False, min_value=1, max_value=10_000, label="Look at it every so many days", help_text="Like 365."
    )
    every_uses = CountInput(
        required=False, min_value=1, max_value=100_000, label="Look at it after so many issues", help_text="Like 50."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)

    def clean_limit(self) -> Length | None:
        limit: Length | None = self.cleaned_data["limit"]
        if limit is not None and limit.nm == 0:
            raise forms.ValidationError(
                f"0 was read; nothing runs that true. Write a limit like {LIKE_A_RUNOUT[now().runout]}."
            )
        return limit


def keep_limits(subject: dict[str, Any], figures: dict[str, Any]) -> None:
    """Keep the figures of a series or a kind in one row, also where two keepers press at once.

    Where all are as built in, there is no row.
    """
    if all(value is None for value in figures.values()):
        for row in WearLimit.objects.filter(**subject):
            row.delete()
        return
    try:
        with transaction.atomic():
            WearLimit.objects.update_or_create(**subject, defaults=figures)
    except IntegrityError:
        WearLimit.objects.update_or_create(**subject, defaults=figures)
