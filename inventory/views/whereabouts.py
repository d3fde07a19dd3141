"""A piece that is not in its drawer, and one that turns up again."""

from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_POST

from inventory.keeping.mounting import take_off
from inventory.models import Tool
from inventory.web.access import takers_only
from inventory.web.redirects import safe_redirect


@require_POST
@takers_only
@transaction.atomic
def tool_missing(request, tag):
    tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
    loan = tool.loans.open().select_related("borrower").first()
    if tool.retired_at:
        messages.error(request, f"{tool} is retired, and nobody looks for it.")
    elif loan:
        messages.error(request, f"{tool} is out to {loan.borrower}: ask there first, and have it returned.")
    elif tool.missing_since:
        messages.info(request, f"{tool} is missing since {tool.missing_since:%Y-%m-%d} already.")
    else:
        if tool.mounted_on_id is not None:
            take_off(tool)
        tool.missing_since = timezone.localdate()
        tool.save()
        messages.success(request, f"{tool} is missing. The finder leaves it out until somebody finds it.")
    return safe_redirect(request, tool)


@require_POST
@takers_only
@transaction.atomic
def tool_found(request, tag):
    tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
    if tool.missing_since is None:
        messages.info(request, f"{tool} is not missing: it was found already.")
    else:
        tool.missing_since = None
        tool.save()
        place = f"; its place is {tool.location.path}" if tool.location else ""
        messages.success(request, f"{tool} is found{place}.")
    return safe_redirect(request, tool)
