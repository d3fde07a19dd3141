"""A piece is entered, or what the book has of it is changed."""

from __future__ import annotations

import copy
from collections.abc import Mapping

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import Count
from django.forms import BoundField
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_http_methods

from inventory.measures.length_words import shown
from inventory.models import Kind, Tool, User
from inventory.models.kinds import GROUPS
from inventory.pieces.fields import SHEET_FIELDS, as_fields
from inventory.pieces.form import PieceForm
from inventory.pieces.tags import next_tag
from inventory.pieces.words import KIND_OF_SLUG
from inventory.reference.kind_drawings import drawing_of
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from
from inventory.web.news import tell_new_places, tell_new_seats

_GROUPS = [(words.capitalize(), kinds) for words, kinds in GROUPS.items()]
_SHARED = ("series", "shape", "mount", "takes", "location", "belongs_to")
"""What the next piece out of the same drawer most likely shares with the last one."""
_NOT_ALIKE = {"tag", "kind", "condition", "tir", "inspected_on", "cost", "notes", "bored"}
"""What is a piece's own; all else a second one of the same sort has in common with it."""
_FOLDED = ("tir", "inspected_on", "cost", "notes")
"""What is seldom known when a piece is entered stands in a fold."""


@require_GET
@keepers_only
def tool_kinds(request: PersonsRequest) -> HttpResponse:
    there = dict(Tool.objects.in_book().values_list("kind").annotate(Count("pk")).order_by())
    groups = [(words, [(kind, drawing_of(kind), there.get(kind, 0)) for kind in kinds]) for words, kinds in _GROUPS]
    return render(request, "inventory/tool_kinds.html", {"place": "tooling", "groups": groups})


@require_http_methods(["GET", "POST"])
@keepers_only
def tool_add(request: PersonsRequest, slug: str) -> HttpResponse:
    kind = KIND_OF_SLUG.get(slug)
    if kind is None:
        raise Http404(f"There is no kind of piece called “{slug}”.")
    given = {name: request.GET[name] for name in SHEET_FIELDS if name in request.GET}
    given.setdefault("tag", next_tag(kind))
    form = PieceForm(request.POST or None, kind=kind, initial=given, today=timezone.localdate())
    if request.method == "POST" and form.is_valid() and (tool := _keep(form, request.user)):
        messages.success(request, f"{tool}, {tool.what}, is in Gripbook.")
        _tell_news(request, form)
        return redirect(_another(slug, request.POST) if "another" in request.POST else tool)
    heading = f"Enter {'an' if kind[0] in 'aeio' else 'a'} {kind}"
    return _form_page(request, form, heading=heading)


def _another(slug: str, given: Mapping[str, str]) -> str:
    shared = {name: given[name] for name in _SHARED if given.get(name)}
    return f"{reverse('tool_add', args=[slug])}?{urlencode(shared)}"


def like_this(tool: Tool) -> str:
    """What the address of a new piece says, where it is to be like `tool`."""
    fields = as_fields(tool)
    return urlencode({name: fields[name] for name in SHEET_FIELDS if fields[name] and name not in _NOT_ALIKE})


@require_http_methods(["GET", "POST"])
@keepers_only
def tool_edit(request: PersonsRequest, tag: str) -> HttpResponse:
    if request.method == "POST":
        return _save_edit(request, tag)
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    return _edit_page(request, tool, PieceForm(tool=tool, kind=Kind(tool.kind)))


@transaction.atomic
def _save_edit(request: PersonsRequest, tag: str) -> HttpResponse:
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
    before = copy.copy(tool)
    form = PieceForm(request.POST, tool=tool, kind=Kind(tool.kind), today=timezone.localdate())
    meanwhile = changed_meanwhile(tool, request.POST)
    if meanwhile and not form.is_valid():
        form.add_error(None, meanwhile)
    if form.is_valid() and (saved := _keep(form, request.user, meanwhile)):
        _tell_edit(request, form, saved)
        return redirect(saved)
    return _edit_page(request, before, form)


def _edit_page(request: PersonsRequest, tool: Tool, form: PieceForm) -> HttpResponse:
    return _form_page(request, form, heading=f"Edit {tool}, {tool.what}", edited=tool)


def _tell_edit(request: PersonsRequest, form: PieceForm, tool: Tool) -> None:
    if form.has_changed_piece:
        messages.success(request, f"{tool} is changed.")
    else:
        messages.info(request, "Nothing was changed.")
    if tool.tir is not None and form.cleaned_data["tir"] is None:
        messages.info(request, f"The TIR stays {shown(tool.tir)}: readings stay, and a new reading corrects them.")
    _tell_news(request, form)


def _tell_news(request: PersonsRequest, form: PieceForm) -> None:
    tell_new_seats(request, form.own_seats)
    for text in form.unknown_fits:
        messages.info(request, f"{text} is neither a piece nor a seat here; it is saved as you wrote it.")
    for note in form.size_notes:
        messages.info(request, note)
    tell_new_places(request, form.book.new_places)


def _keep(form: PieceForm, by: User, meanwhile: str = "") -> Tool | None:
    """The piece, or None where only the database saw what is wrong; the form then says it.

    `meanwhile` is what somebody else changed since the page was drawn: over that nothing else is kept.
    """
    try:
        # The savepoint: after the database's refusal the form still has to look something up.
        with transaction.atomic():
            tool = form.save(by=by)
            if meanwhile and form.has_changed_piece:
                raise ValidationError(meanwhile)
            return tool
    except ValidationError as error:
        form.add_error(None, error.messages)
    except IntegrityError:
        # Between the look at the tag and the saving somebody else may have used it.
        tag = form.cleaned_data["tag"]
        if not form.is_on_another(tag):
            raise
        form.add_error("tag", f"{tag} is on another piece already.")
    return None


def _form_page(request: PersonsRequest, form: PieceForm, *, heading: str, edited: Tool | None = None) -> HttpResponse:
    form.offer_known()
    folded = [form[name] for name in _FOLDED if name in form.fields]
    return render(
        request,
        "inventory/tool_form.html",
        {
            "place": "tooling",
            "heading": heading,
            "drawing": drawing_of(form.fixed_kind) if form.fixed_kind else None,
            "form": form,
            "rows": _rows(form),
            "folded": folded,
            "is_unfolded": any(field.errors or field.value() for field in folded),
            "book": form.book,
            "edited": edited,
            "drawn_from": drawn_from(edited) if edited else None,
        },
    )


def _rows(form: PieceForm) -> list[list[BoundField]]:
    """The fields in their order, the two ends of a range beside each other."""
    rows: list[list[BoundField]] = []
    for field in form:
        if field.name in _FOLDED or field.name.endswith("_max") and rows:
            continue
        other = field.name.removesuffix("_min") + "_max"
        rows.append([field, form[other]] if field.name.endswith("_min") and other in form.fields else [field])
    return rows
