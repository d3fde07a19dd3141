"""What is said when a piece is issued or brought back."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, cast

from django import forms
from django.db.models import Max, QuerySet
from django.db.models.functions import Coalesce
from django.http import QueryDict

from inventory.keeping.lending import borrowers
from inventory.measures.inputs import TokenInput
from inventory.models import Lathe, SetupSheet, User

MOST_JOBS = 20


def recent_jobs() -> QuerySet[SetupSheet]:
    """What a piece may be issued for: the sheets that were used or made last."""
    last = Coalesce(Max("loans__issued_at"), "made_at")
    recent = SetupSheet.objects.in_use().annotate(last_used=last).order_by("-last_used", "-pk")
    return SetupSheet.objects.filter(pk__in=[sheet.pk for sheet in recent.only("pk")[:MOST_JOBS]])


class TapForm(forms.Form):
    """One press of a button; sent twice it carries the same token."""

    token = TokenInput()

    @property
    def agreed(self) -> set[int]:
        """The keys of other jobs' reservations that a piece is taken in spite of; what is no key is left out."""
        sent = self.data.getlist("agreed") if isinstance(self.data, QueryDict) else []
        return {int(text) for text in sent if text.isascii() and text.isdigit() and len(text) < 19}


class IssueForm(TapForm):
    """Issue to me, or by a keeper to somebody else, and by when it is to be back where somebody says so."""

    BACK = (("", "not said"), ("0", "today"), ("3", "in 3 days"), ("7", "in a week"))
    back_in = forms.ChoiceField(required=False, label="Expected back", choices=BACK, widget=forms.RadioSelect)
    to = forms.ModelChoiceField(User.objects.none(), required=False, label="To", empty_label="me")
    lathe = forms.ModelChoiceField(
        Lathe.objects.in_use(),
        required=False,
        label="For",
        empty_label="no lathe",
        help_text="It is mounted there.",
    )
    sheet = forms.ModelChoiceField(
        SetupSheet.objects.none(),
        required=False,
        label="Job",
        empty_label="no job",
        help_text="Its setup sheet: what the job took stands there.",
    )

    def __init__(self, *args: Any, by: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by = by
        sheets = cast("forms.ModelChoiceField[SetupSheet]", self.fields["sheet"])
        sheets.queryset = recent_jobs()
        to = cast("forms.ModelChoiceField[User]", self.fields["to"])
        to.queryset = borrowers() if by.may_keep else borrowers().filter(pk=by.pk)

    def due_on(self, today: date) -> date | None:
        days = self.cleaned_data["back_in"]
        return today + timedelta(days=int(days)) if days else None

    @property
    def borrower(self) -> User:
        return self.cleaned_data["to"] or self.by

    @property
    def trouble(self) -> str:
        """Why nothing can be issued as it was sent; empty where it can."""
        if self.is_valid():
            return ""
        if "back_in" in self.errors:
            return "Expected back: choose today, in 3 days or in a week."
        if "to" in self.errors and not self.by.may_keep:
            return "Only crib keepers issue to others. Press Take it."
        if "to" in self.errors:
            return "To: choose somebody who may take pieces out."
        if "lathe" in self.errors:
            return "For: choose one of the lathes, or none."
        if "sheet" in self.errors:
            return "Job: choose one of the list, or none."
        return "This page is too old. Press Issue again."


class ReturnForm(TapForm):
    """A return, and in what state it comes back."""

    came_back = forms.ChoiceField(required=False, choices=(("", "as it went"), ("damaged", "damaged")))

    @property
    def is_damaged(self) -> bool:
        return self.is_valid() and self.cleaned_data["came_back"] == "damaged"
