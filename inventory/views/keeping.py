"""What the crib keeper does with the book: enter a piece, change it, retire it."""

import copy

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.mounting import take_off
from inventory.measures.lengths import shown
from inventory.models import Kind, Tool
from inventory.models.kinds import GROUPS
from inventory.pieces.fields import SHEET_FIELDS, as_fields
from inventory.pieces.form import PieceForm
from inventory.pieces.tags import next_tag
from inventory.web.access import keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from

KIND_OF_SLUG = {slugify(kind): kind for kind in Kind}
_GROUPS = [(words.capitalize(), kinds) for words, kinds in GROUPS.items()]
# What the next piece out of the same drawer most likely shares with the last one.
_SHARED = ("series", "shape", "mount", "takes", "location", "belongs_to")
FOLDED = ("tir", "inspected_on", "cost", "notes")
"""What is seldom known when a piece is entered stands in a fold."""
# What a second piece of the same sort has in common with the first: all that is not its own.
_NOT_ALIKE = {"tag", "kind", "condition", "tir", "inspected_on", "cost", "notes", "bored"}


@require_GET
@keepers_only
def tool_kinds(request):
    return render(request, "inventory/tool_kinds.html", {"place": "tooling", "groups": _GROUPS})


@require_http_methods(["GET", "POST"])
@keepers_only
def tool_add(request, slug):
    kind = KIND_OF_SLUG.get(slug)
    if kind is None:
        raise Http404(f"There is no kind of piece called “{slug}”.")
    given = {name: request.GET[name] for name in SHEET_FIELDS if name in request.GET}
    given.setdefault("tag", next_tag(kind))
    form = PieceForm(request.POST or None, kind=kind, initial=given, today=timezone.localdate())
    if request.method == "POST" and form.is_valid() and (tool := _kept(form, request.user)):
        messages.success(request, f"{tool}, {tool.what}, is in the book.")
        tell_own_seats(request, form)
        tell_new_places(request, form.book)
        return redirect(_another(slug, request.POST) if "another" in request.POST else tool)
    return _form_page(
        request, form, heading=f"Enter {_with_article(kind)}", can_add_another=True, drawn_from="", back=""
    )


def _with_article(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeio' else 'a'} {kind}"


@require_http_methods(["GET", "POST"])
@keepers_only
def tool_edit(request, tag):
    if request.method == "POST":
        return _edited(request, tag)
    tool = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    return _edit_page(request, tool, PieceForm(tool=tool, kind=Kind(tool.kind)))


@transaction.atomic
def _edited(request, tag):
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    tool = get_object_or_404(Tool.objects.for_list().select_for_update(of=("self",)), tag=tag.upper())
    before = copy.copy(tool)
    form = PieceForm(request.POST, tool=tool, kind=Kind(tool.kind), today=timezone.localdate())
    meanwhile = changed_meanwhile(tool, request.POST)
    if meanwhile and not form.is_valid():
        form.add_error(None, meanwhile)
    if form.is_valid() and (kept := _kept(form, request.user, meanwhile)):
        _tell_edit(request, form, kept)
        return redirect(kept)
    return _edit_page(request, before, form)


def _edit_page(request, tool, form):
    return _form_page(
        request,
        form,
        heading=f"Edit {tool}, {tool.what}",
        drawn_from=drawn_from(tool),
        can_add_another=False,
        back=reverse("tool", args=[tool.tag]),
    )


def _tell_edit(request, form, tool):
    if form.has_changed_piece:
        messages.success(request, f"{tool} is changed.")
    else:
        messages.info(request, "Nothing was changed.")
    if tool.tir is not None and form.cleaned_data["tir"] is None:
        messages.info(request, f"The TIR stays {shown(tool.tir)}: readings are kept, and a new reading corrects them.")
    tell_own_seats(request, form)
    tell_new_places(request, form.book)


@require_POST
@keepers_only
@transaction.atomic
def tool_retire(request, tag):
    tool = _locked(tag)
    loan = tool.loans.open().select_related("borrower").first()
    if loan:
        messages.error(request, f"{tool} is out to {loan.borrower}. Have it returned, then retire it.")
    elif tool.retired_at is None:
        if tool.mounted_on_id is not None:
            take_off(tool)
        tool.retired_at = timezone.now()
        tool.save()
        messages.success(request, f"{tool} is retired. It stays in the book, and is no longer offered.")
    return redirect(tool)


@require_POST
@keepers_only
@transaction.atomic
def tool_unretire(request, tag):
    tool = _locked(tag)
    if tool.retired_at is not None:
        tool.retired_at = None
        tool.save()
        messages.success(request, f"{tool} is back in the book.")
    return redirect(tool)


def _locked(tag):
    return get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())


def _kept(form, by, meanwhile=""):
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
        if not Tool.objects.tagged(tag).exclude(pk=form.tool and form.tool.pk).exists():
            raise
        form.add_error("tag", f"{tag} is on another piece already.")
    return None


def tell_own_seats(request, form):
    for code in dict.fromkeys(form.own_seats):
        messages.info(
            request,
            f"{code} is no seat known here: kept as the shop's own; nothing else mounts on it yet. "
            "Mistyped? Edit the piece.",
        )
    for text in getattr(form, "unknown_fits", ()):
        messages.info(request, f"{text} is neither a piece nor a seat here; it is kept as you wrote it.")


def tell_new_places(request, book):
    for place in book.new_places:
        messages.info(
            request,
            f"{place} is a new place, which stands by itself so far. Mistyped? Move the piece; else say on the page of "
            f"{place} what it stands in.",
        )


def _another(slug, given):
    shared = {name: given[name] for name in _SHARED if given.get(name)}
    return f"{reverse('tool_add', args=[slug])}?{urlencode(shared)}"


def like_this(tool) -> str:
    """What the address of a new piece says, where it is to be like `tool`."""
    fields = as_fields(tool)
    return urlencode({name: fields[name] for name in SHEET_FIELDS if fields[name] and name not in _NOT_ALIKE})


def _form_page(request, form, **context):
    for name, known in (("series", "series"), ("mount", "seats"), ("takes", "seats"), ("location", "places")):
        if name in form.fields:
            form.fields[name].widget.attrs["list"] = known
    laid_out = {"rows": _rows(form, but=FOLDED), "folded": [form[name] for name in FOLDED if name in form.fields]}
    context |= {"is_unfolded": any(field.errors or field.value() for field in laid_out["folded"])}
    return render(
        request,
        "inventory/tool_form.html",
        {"place": "tooling", "form": form, "book": form.book, **laid_out, **context},
    )


def _rows(form, *, but) -> list[list]:
    """The fields in their order, the two ends of a range beside each other."""
    rows: list[list] = []
    for field in form:
        if field.name in but or field.name.endswith("_max") and rows:
            continue
        other = field.name.removesuffix("_min") + "_max"
        rows.append([field, form[other]] if field.name.endswith("_min") and other in form.fields else [field])
    return rows
