"""What a job took, from its setup sheet."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.keeping.jobs import job_report
from inventory.models import SetupSheet
from inventory.web.access import PersonsRequest


@require_GET
def setup_job(request: PersonsRequest, pk: int) -> HttpResponse:
    sheet = get_object_or_404(SetupSheet.objects.select_related("lathe"), pk=pk)
    context = {"place": "plan", "sheet": sheet, "report": job_report(sheet, at=timezone.now())}
    return render(request, "inventory/job.html", context)
