"""Importing a sheet: send it, see what every row would do, take the good rows."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from inventory.models import SheetImport
from inventory.transfer import advice, exports, imports, sheets
from inventory.transfer.forms import SheetForm
from inventory.transfer.sheets import SheetError
from inventory.views.access import keepers_only

ROWS_ON_A_PAGE = 500


@require_http_methods(["GET", "POST"])
@keepers_only
def import_sheet(request):
    is_sent = request.method == "POST"
    form = SheetForm(request.POST, request.FILES) if is_sent else SheetForm()
    if is_sent and form.is_valid():
        return redirect("import_preview", _kept(form, request.user).pk)
    return render(request, "inventory/import.html", {"place": "desk", "form": form})


@require_http_methods(["GET", "POST"])
@keepers_only
def import_preview(request, pk):
    sent = get_object_or_404(SheetImport, pk=pk)
    if request.method == "POST":
        try:
            _take(sent, request)
        except SheetError as error:
            messages.error(request, error.message)
        return redirect("import_preview", pk)
    if sent.taken_at is not None:
        return render(request, "inventory/import_done.html", {"place": "desk", "sent": sent, "report": sent.done})
    plan = _plan(sent)
    context = {
        "place": "desk",
        "sent": sent,
        "plan": plan,
        "report": plan.report(),
        "good": len(plan.good),
        "rows": Paginator(plan.to_look_at, ROWS_ON_A_PAGE).get_page(request.GET.get("page")),
    }
    return render(request, "inventory/import_preview.html", context)


@require_GET
@keepers_only
def import_refused(request, pk):
    sent = get_object_or_404(SheetImport, pk=pk)
    return _as_csv(exports.refused(_plan(sent)), name="refused.csv")


@require_GET
@keepers_only
def export_sheet(request):
    return _as_csv(exports.book(form="csv"), name="tooling.csv")


def _kept(form: SheetForm, user) -> SheetImport:
    SheetImport.objects.forgotten(now=timezone.now()).delete()
    return SheetImport.objects.create(
        name=form.cleaned_data["sheet"].name[:200],
        content=form.content,
        unit=form.cleaned_data["unit"],
        dates=form.cleaned_data["dates"],
        made_by=user,
    )


def _plan(sent: SheetImport) -> imports.Plan:
    sheet = sheets.read(bytes(sent.content), name=sent.name)
    return imports.plan(sheet, unit=sent.unit, dates=sent.dates or None, advice=advice.PAGE)


@transaction.atomic
def _take(sent: SheetImport, request) -> None:
    """Take the good rows once: of two who press the button, the second only sees what was done."""
    waiting = SheetImport.objects.filter(pk=sent.pk, taken_at=None)
    if not waiting.update(taken_at=timezone.now()):
        messages.info(request, "This sheet was taken already.")
        return
    done = imports.take(_plan(sent), by=request.user, shown=request.POST.get("shown", "")).report()
    SheetImport.objects.filter(pk=sent.pk).update(done=done)
    messages.success(request, f"{done['added']} added, {done['updated']} updated.")


def _as_csv(content: bytes, *, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(content, content_type="text/csv; charset=utf-8", headers=headers)
