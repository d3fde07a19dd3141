"""The sheet for the meeting: five figures of a period, on one page."""

from datetime import date, timedelta

from django import forms
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.measures.day_words import shown as day_shown
from inventory.measures.days import DayInput
from inventory.measures.inputs import say_plainly
from inventory.orders.report import figures
from inventory.web.access import buyers_and_keepers

USUAL = timedelta(days=90)
EARLIEST = date(1900, 1, 1)
LONGEST = timedelta(days=5 * 366)


class PeriodForm(forms.Form):
    """From one day to another, both within the period."""

    def __init__(self, data=None, *, today, **kwargs):
        super().__init__(data, **kwargs)
        for name in ("from", "to"):
            picker = forms.TextInput(attrs={"type": "date"})
            self.fields[name] = DayInput(required=False, today=today, label=name.capitalize(), widget=picker)
        self.today = today
        say_plainly(self.fields)

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        last = cleaned.get("to") or self.today
        if last < EARLIEST:  # what is told looks back from it
            self.add_error("to", f"{last.isoformat()} was read; a period ends on {EARLIEST.isoformat()} or later.")
            return cleaned
        first = cleaned.get("from") or last - USUAL
        if first > last:
            self.add_error("to", f"{day_shown(last)} is before the period begins, {day_shown(first)}.")
        elif last - first > LONGEST:
            self.add_error("from", f"{day_shown(first)} was read; a period is at most five years long.")
        cleaned["first"], cleaned["last"] = first, last
        return cleaned


@require_GET
@buyers_and_keepers
def report(request):
    form = PeriodForm(request.GET, today=timezone.localdate())
    period = (form.cleaned_data["first"], form.cleaned_data["last"]) if form.is_valid() else None
    context = {"place": "buying", "form": form, "period": period}
    if period:
        context["figures"] = figures(first=period[0], last=period[1])
    return render(request, "inventory/report.html", context)
