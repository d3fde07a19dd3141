"""The shop's working minutes: first filled from common practice, changed here, with who and when."""

from fractions import Fraction

from django import forms
from django.contrib import messages
from django.db import transaction
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods

from inventory.models import WorkingMinutes
from inventory.reference import practice
from inventory.web.access import keepers_only
from inventory.web.filters import minutes as in_words


def _practice() -> list:
    return [figure for figure in practice.figures() if figure.topic == "time"]


class MinutesForm(forms.Form):
    """One field for each working step; empty is common practice."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for figure in _practice():
            typed = self.data.get(self.add_prefix(figure.method), "")
            per = figure.unit.removeprefix("min per ")
            self.fields[figure.method] = forms.DecimalField(
                required=False,
                label=figure.method.capitalize(),
                min_value=0.01,
                max_value=600,
                decimal_places=2,
                help_text=f"Minutes for each {per}. Common practice: {in_words(figure.typical)}.",
                error_messages={
                    "invalid": f"“{typed[:20]}” is no number of minutes. Write it like 2.5.",
                    "min_value": "Minutes are above zero. Leave it empty for common practice.",
                    "max_value": "Minutes are at most 600.",
                    "max_decimal_places": "Minutes have at most two decimal places, like 2.25.",
                },
                widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
            )

    def add_prefix(self, field_name):
        """In the page a step is one word: what names another part by its id must not have blanks."""
        return super().add_prefix(slugify(field_name))


@require_http_methods(["GET", "POST"])
@keepers_only
def working_minutes(request):
    own = {row.step: row for row in WorkingMinutes.objects.select_related("changed_by")}
    initial = {step: _shown(row.hundredths) for step, row in own.items()}
    form = MinutesForm(request.POST or None, initial=initial)
    if request.method == "POST" and form.is_valid():
        changed = _kept(form, own, by=request.user)
        messages.success(request, f"{changed} changed." if changed else "Nothing was changed.")
        return redirect("working_minutes")
    return render(request, "fitfinder/minutes.html", {"place": "plan", "form": form, "own": own.values()})


def _shown(hundredths: int) -> str:
    whole, rest = divmod(hundredths, 100)
    return f"{whole}.{rest:02d}".rstrip("0").rstrip(".") if rest else str(whole)


@transaction.atomic
def _kept(form, own, *, by) -> int:
    changed = 0
    for step, value in form.cleaned_data.items():
        row = own.get(step)
        if value is None:
            if row is not None:
                row.delete()
                changed += 1
            continue
        hundredths = int(Fraction(value) * 100)
        if row is None:
            WorkingMinutes.objects.create(step=step, hundredths=hundredths, changed_by=by)
            changed += 1
        elif row.hundredths != hundredths:
            row.hundredths, row.changed_by = hundredths, by
            row.save()
            changed += 1
    return changed
