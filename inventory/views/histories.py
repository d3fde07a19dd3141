"""All that happened to a piece, as a page and as a sheet."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from inventory.models import Tool
from inventory.pieces.timeline import HEADINGS, history
from inventory.transfer import sheets

PER_PAGE = 100


@require_GET
def tool_history(request, tag):
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    page = Paginator(history(tool), PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "inventory/tool_history.html", {"place": "tooling", "tool": tool, "page": page})


@require_GET
def tool_history_csv(request, tag):
    tool = get_object_or_404(Tool, tag=tag.upper())
    rows = (event.as_row for event in history(tool))
    answer = HttpResponse(sheets.written(HEADINGS, rows, form="csv"), content_type="text/csv; charset=utf-8")
    name = "".join(letter if letter.isascii() and (letter.isalnum() or letter in "-_") else "-" for letter in tool.tag)
    answer["Content-Disposition"] = f'attachment; filename="history-{name}.csv"'
    return answer
