"""The shop's working minutes and surface speeds: first those of the tables, changed here, with who and when."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from fitfinder.plan.working_minutes import MinutesForm, keep_minutes
from fitfinder.setups.surface_speeds import SpeedsForm, initial_speeds, keep_speeds
from inventory.models import SurfaceSpeed, WorkingMinutes
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


@require_http_methods(["GET", "POST"])
@keepers_only
def surface_speeds(request: PersonsRequest) -> HttpResponse:
    own = SurfaceSpeed.objects.select_related("changed_by")
    form = SpeedsForm(request.POST or None, initial=initial_speeds())
    if request.method == "POST" and form.is_valid():
        changed = keep_speeds(form.typed(), by=request.user)
        messages.success(request, f"{changed} changed." if changed else "Nothing was changed.")
        return redirect("surface_speeds")
    return render(request, "fitfinder/speeds.html", {"place": "plan", "form": form, "own": own})
