"""What is due: late loans, what is missing from its drawer, and the pieces to inspect."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.inspections import waiting

SHOWN = 200


@require_GET
def due(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    context = {
        "inspections": waiting.first_to_inspect(SHOWN, today=today),
        "overdue": waiting.first(SHOWN, waiting.overdue(today=today)),
        "missing": waiting.first(SHOWN, waiting.missing()),
    }
    return render(request, "inventory/due.html", {"place": "desk", **context})
