"""A setup sheet while it is made: its head, its operations and pictures, and when it is frozen or made anew."""

import uuid
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from fitfinder.setups import drafts
from fitfinder.setups.drafts import TAKEN_OFF, CannotChange
from fitfinder.setups.operation_form import OperationForm
from fitfinder.setups.photo_form import PhotoForm
from fitfinder.setups.revision_form import RevisionForm
from fitfinder.setups.setup_form import SetupForm
from inventory.models import SetupOperation, SetupPhoto, SetupSheet
from inventory.reference.cutting import Does
from inventory.web.access import PersonsRequest, takers_only


@require_http_methods(["GET", "POST"])
@takers_only
def setup_add(request: PersonsRequest) -> HttpResponse:
    """A sheet that is written by hand."""
    form = SetupForm(request.POST or None, initial={"token": uuid.uuid4(), "setup": 1, "edits": 0})
    if request.method == "POST" and form.is_valid():
        made = SetupSheet.objects.filter(token=form.cleaned_data["token"]).first()
        try:
            return redirect(made or _made(request, form))
        except CannotChange as reason:
            form.add_error("number", str(reason))
    return _head_page(request, form, heading="A setup sheet by hand", back=reverse("setup_sheets"))


@drafts.one_of_a_revision()
def _made(request: PersonsRequest, form: SetupForm) -> SetupSheet:
    sheet = SetupSheet(made_by=request.user, token=form.cleaned_data["token"])
    for name, value in form.columns(sheet).items():
        setattr(sheet, name, value)
    sheet.save()
    drafts.put_pieces(sheet, form.cleaned_data["pieces"])
    return sheet


@require_http_methods(["GET", "POST"])
@takers_only
def setup_edit(request: PersonsRequest, pk: int) -> HttpResponse:
    sheet = get_object_or_404(SetupSheet, pk=pk)
    if sheet.is_frozen:
        messages.error(request, drafts.IN_USE)
        return redirect(sheet)
    initial = {**SetupForm.initial_of(sheet), "token": uuid.uuid4()}
    form = SetupForm(request.POST or None, sheet=sheet, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            return redirect(_edited(sheet, form))
        except CannotChange as reason:
            form.add_error(None, str(reason))
    return _head_page(request, form, heading=f"Edit {sheet.title}", back=sheet.get_absolute_url())


@drafts.one_of_a_revision()
def _edited(sheet: SetupSheet, form: SetupForm) -> SetupSheet:
    draft = drafts.changed(sheet.pk, drawn_from=form.cleaned_data["edits"])
    columns = form.columns(draft)
    for name, value in columns.items():
        setattr(draft, name, value)
    draft.save(update_fields=list(columns))
    drafts.put_pieces(draft, form.cleaned_data["pieces"])
    return draft


def _head_page(request: PersonsRequest, form: SetupForm, *, heading: str, back: str) -> HttpResponse:
    context = {"place": "plan", "form": form, "heading": heading, "back": back}
    return render(request, "fitfinder/setup_edit.html", context)


@require_POST
@takers_only
def setup_use(request: PersonsRequest, pk: int) -> HttpResponse:
    """From now on the sheet stays as it is; with `undo` it is a draft again while nothing came of it."""
    sheet = get_object_or_404(SetupSheet, pk=pk)
    if "undo" in request.POST:
        if drafts.thaw(pk):
            messages.success(request, "It is a draft again.")
        else:
            messages.error(request, "It was used already and stays as it is. Make a new revision from it.")
    elif drafts.freeze(sheet, by=request.user, at=timezone.now()):
        messages.success(request, "The sheet is in use and stays as it is. Changes go into a new revision.")
    else:
        messages.info(request, "It is in use already.")
    return redirect(sheet)


@require_http_methods(["GET", "POST"])
@takers_only
def setup_revise(request: PersonsRequest, pk: int) -> HttpResponse:
    """A new revision made from this one; both stay."""
    old = get_object_or_404(SetupSheet.objects.for_page(), pk=pk)
    initial = {"token": uuid.uuid4(), "revision": drafts.next_revision(old.revision)}
    form = RevisionForm(request.POST or None, old=old, initial=initial)
    if request.method == "POST" and form.is_valid():
        asked = form.cleaned_data
        made = SetupSheet.objects.filter(token=asked["token"]).first()
        try:
            made = made or drafts.revised(old, revision=asked["revision"], by=request.user, token=asked["token"])
            messages.success(request, f"{made.called} is a draft, made from {old.called}, which stays as it is.")
            return redirect(made)
        except CannotChange as reason:
            form.add_error("revision", str(reason))
    return render(request, "fitfinder/setup_revise.html", {"place": "plan", "form": form, "sheet": old})


# Operations --------------------------------------------------------------------------------------------------------


@require_http_methods(["GET", "POST"])
@takers_only
def setup_operation_add(request: PersonsRequest, pk: int) -> HttpResponse:
    """First which operation, then what it needs."""
    sheet = get_object_or_404(SetupSheet.objects.for_page(), pk=pk)
    word = request.GET.get("does", "")
    if word not in list(Does):
        context = {"place": "plan", "sheet": sheet, "operations": list(Does)}
        return render(request, "fitfinder/setup_operations.html", context)
    last = sheet.operations.last()
    operation = SetupOperation(sheet=sheet, order=last.order + 1 if last else 1)
    return _operation(request, sheet, operation, Does(word), initial={"edits": sheet.edits})


@require_http_methods(["GET", "POST"])
@takers_only
def setup_operation(request: PersonsRequest, pk: int, operation: int) -> HttpResponse:
    sheet = get_object_or_404(SetupSheet.objects.for_page(), pk=pk)
    row = get_object_or_404(sheet.operations.select_related("tool", "holder"), pk=operation)
    return _operation(request, sheet, row, Does(row.does), initial=OperationForm.initial_of(row, sheet))


def _operation(
    request: PersonsRequest, sheet: SetupSheet, row: SetupOperation, does: Does, *, initial: dict[str, Any]
) -> HttpResponse:
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = OperationForm(*sent, sheet=sheet, does=does, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            _keep(request, form, row)
            return redirect(sheet)
        except CannotChange as reason:
            form.add_error(None, str(reason))
    if sheet.is_frozen:
        messages.error(request, drafts.IN_USE)
        return redirect(sheet)
    context = {"place": "plan", "sheet": sheet, "form": form, "does": does, "row": row}
    return render(request, "fitfinder/setup_operation.html", context)


@transaction.atomic
def _keep(request: PersonsRequest, form: OperationForm, row: SetupOperation) -> None:
    sheet = drafts.changed(form.sheet.pk, drawn_from=form.cleaned_data["edits"])
    advice = form.put_into(row)
    row.save()
    if form.cleaned_data["photo"]:
        SetupPhoto.objects.filter(operation=row).delete()
        SetupPhoto.objects.create(sheet=sheet, operation=row, jpeg=form.cleaned_data["photo"])
    words = f" Speed: {advice.words}." if advice else ""
    if form.says_nothing:
        words = f" Its tool is not said yet.{words}"
    messages.success(request, f"{form.does.called.capitalize()} is on the sheet.{words}")


@require_POST
@takers_only
def setup_operation_act(request: PersonsRequest, pk: int, operation: int, act: str) -> HttpResponse:
    """One earlier, one later, off the sheet, or back on it."""
    sheet = get_object_or_404(SetupSheet, pk=pk)
    try:
        with transaction.atomic():
            draft = drafts.changed(pk, drawn_from=None)
            row = draft.operations.filter(pk=operation).first()
            if act == "back":
                _put_back(request, draft)
            elif row is None:
                messages.info(request, "That operation is not on the sheet any more.")
            elif act == "remove":
                called, row_key = Does(row.does).called, row.pk
                taken_off = {
                    "sheet": draft.pk,
                    "operation": row_key,
                    "called": called,
                    "text": drafts.take_off(draft, row),
                }
                request.session[TAKEN_OFF] = taken_off
                messages.success(request, f"{called.capitalize()} is off the sheet. It can be put back below.")
            else:
                drafts.move(draft, row, by=-1 if act == "earlier" else 1)
    except CannotChange as reason:
        messages.error(request, str(reason))
    return redirect(f"{sheet.get_absolute_url()}#tools")


def _put_back(request: PersonsRequest, draft: SetupSheet) -> None:
    taken_off = request.session.pop(TAKEN_OFF, None)
    if taken_off and drafts.put_back(draft, taken_off["text"]):
        messages.success(request, f"{taken_off['called'].capitalize()} is on the sheet again.")
    else:
        messages.info(request, "Nothing was taken off since.")


@require_GET
def setup_photo(request: PersonsRequest, pk: int) -> HttpResponse:
    photo = SetupPhoto.objects.filter(pk=pk).first()
    if photo is None:
        raise Http404("There is no such photo.")
    answer = HttpResponse(bytes(photo.jpeg), content_type="image/jpeg")
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Content-Disposition"] = f'inline; filename="setup-{photo.sheet_id}.jpg"'
    # A photo is never changed, and is for nobody but who is signed in.
    answer["Cache-Control"] = "private, max-age=86400"
    return answer


@require_POST
@takers_only
def setup_photo_add(request: PersonsRequest, pk: int) -> HttpResponse:
    """The picture of the whole set-up, in place of the one before."""
    sheet = get_object_or_404(SetupSheet, pk=pk)
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        messages.error(request, " ".join(str(error) for errors in form.errors.values() for error in errors))
        return redirect(sheet)
    try:
        drafts.put_photo(pk, form.cleaned_data["photo"])
    except CannotChange as reason:
        messages.error(request, str(reason))
    return redirect(sheet)
