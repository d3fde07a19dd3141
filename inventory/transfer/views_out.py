"""Sheets out: the page that offers them, and each as a file."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from inventory.models import Tool
from inventory.transfer import exports
from inventory.transfer.tabs.tables import BY_NAME, TABLES
from inventory.web.access import keepers_only

FILE_TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@require_GET
@keepers_only
def export_book(request: HttpRequest) -> HttpResponse:
    context = {
        "place": "desk",
        "pieces": Tool.objects.in_book().count(),
        "tables": [(table, table.how_many()) for table in TABLES],
    }
    return render(request, "inventory/export.html", context)


@require_GET
@keepers_only
def export_sheet(request: HttpRequest) -> HttpResponse:
    return file_response(exports.book(form="csv"), name="tooling.csv")


@require_GET
@keepers_only
def export_workbook(request: HttpRequest) -> HttpResponse:
    return file_response(exports.workbook(), name="gripbook.xlsx")


@require_GET
@keepers_only
def export_tab(request: HttpRequest, name: str) -> HttpResponse:
    if name not in BY_NAME:
        raise Http404
    return file_response(exports.tab(BY_NAME[name], form="csv"), name=f"{name}.csv")


def file_response(content: bytes, *, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(content, content_type=FILE_TYPES[name.rpartition(".")[2]], headers=headers)
