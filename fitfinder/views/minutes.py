"""The shop's working minutes: first filled from common practice, changed here, with who and when."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from fitfinder.plan.working_minutes import MinutesForm, keep_minutes
from inventory.models import WorkingMinutes
from inventory.web.access import PersonsRequest, keepers_only


@require_http_methods(["GET", "POST"])
@keepers_only
def working_minutes(request: PersonsRequest) -> HttpResponse:
    own = WorkingMinutes.objects.select_related("changed_by")
    form = MinutesForm(request.POST or None, initial={row.step: row.as_typed for row in own})
    if request.method == "POST" and form.is_valid():
        changed = keep_minutes(form.cleaned_data, by=request.user)
        messages.success(request, f"{changed} changed." if changed else "Nothing was changed.")
        return redirect("working_minutes")
    return render(request, "fitfinder/minutes.html", {"place": "plan", "form": form, "own": own})
