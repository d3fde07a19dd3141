"""Sheets in: send one, go on with one that was begun, or fetch a blank one."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.models import SheetImport
from inventory.transfer import exports, undoing
from inventory.transfer.errors import SheetError
from inventory.transfer.forms import SheetForm
from inventory.transfer.in_progress import SheetInProgress, begin, begin_workbook
from inventory.transfer.views_out import FILE_TYPES, file_response
from inventory.web.access import keepers_only

ENTERED_ON_A_PAGE = 50


@require_http_methods(["GET", "POST"])
@keepers_only
def import_sheet(request):
    is_sent = request.method == "POST"
    form = SheetForm(request.POST, request.FILES) if is_sent else SheetForm()
    if is_sent and form.is_valid():
        try:
            if form.workbook is not None:
                sent = begin_workbook(form.workbook, content=form.content, by=request.user)
            else:
                sent = begin(form.grid, content=form.content, by=request.user)
        except SheetError as error:
            form.add_error("sheet", error.message)
        else:
            return redirect("import_preview", sent.pk)
    context = {
        "place": "desk",
        "form": form,
        "in_progress": [SheetInProgress(sent) for sent in SheetImport.objects.in_progress()],
    }
    return render(request, "inventory/import.html", context)


@require_GET
@keepers_only
def import_entered(request):
    page = Paginator(SheetImport.objects.entered(), ENTERED_ON_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "inventory/import_entered.html", {"place": "desk", "page": page})


@require_POST
@keepers_only
def import_drop(request, pk):
    """Throw a sheet away that was not taken; what was taken stays told."""
    sent = SheetImport.objects.waiting().filter(pk=pk).first()
    if sent is None:
        messages.info(request, "That sheet is not waiting any more.")
    else:
        sent.delete()
        messages.success(request, f"{sent.name} is discarded. Nothing of it came into Gripbook.")
    return redirect("import_sheet")


@require_POST
@keepers_only
def import_undo(request, pk):
    """Take an import back that was entered; its page says what became of it, or why it stays."""
    sent = get_object_or_404(SheetImport.objects.defer("content"), pk=pk)
    try:
        undone = undoing.undo(sent, by=request.user)
    except undoing.CannotUndo as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"{sent.name} is taken back: {undone.words}")
    return redirect("import_preview", pk)


@require_GET
@keepers_only
def import_refused(request, pk):
    in_progress = SheetInProgress(get_object_or_404(SheetImport, pk=pk))
    if in_progress.sent.taken_at is None and not (in_progress.sent.choices and in_progress.is_read):
        return redirect("import_preview", pk)
    return file_response(exports.refused_rows(in_progress), name="refused.csv")


@require_GET
@keepers_only
def import_blank(request, form):
    if form not in FILE_TYPES:
        raise Http404
    return file_response(exports.blank(form=form), name=f"blank.{form}")
