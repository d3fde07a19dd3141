"""What a run of a setup sheet took, written down once it is done."""

import uuid

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from fitfinder.setups.drafts import freeze
from fitfinder.setups.page import planned
from fitfinder.setups.runs import RunForm
from inventory.models import SetupRun, SetupSheet
from inventory.web.access import PersonsRequest, takers_only


@require_http_methods(["GET", "POST"])
@takers_only
def setup_run(request: PersonsRequest, pk: int) -> HttpResponse:
    """A sheet that was run is in use, whoever forgot to say so."""
    sheet = get_object_or_404(SetupSheet.objects.for_page(), pk=pk)
    today = timezone.localdate()
    initial = {"token": uuid.uuid4(), "ran_on": today, "parts": sheet.parts}
    form = RunForm(request.POST or None, today=today, initial=initial)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            freeze(sheet, by=request.user, at=timezone.now())
            _, is_new = SetupRun.objects.get_or_create(
                token=form.cleaned_data["token"],
                defaults={**form.columns(), "sheet": sheet, "written_by": request.user},
            )
        messages.success(request, "The run is written down." if is_new else "That run is written down already.")
        return redirect(f"{sheet.get_absolute_url()}#runs")
    context = {"place": "plan", "sheet": sheet, "form": form, "planned": planned(sheet)}
    return render(request, "fitfinder/setup_run.html", context)
