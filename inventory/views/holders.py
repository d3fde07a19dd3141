"""A tool put into its holder, and taken out of it."""

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from inventory.keeping.holders import CannotHold, PartnerForm, clamp, held_by, holder_of, holds, partners, take_out
from inventory.models import Tool
from inventory.web.access import PersonsRequest, takers_only

SHOWN = 60


@require_http_methods(["GET", "POST"])
@takers_only
def tool_hold(request: PersonsRequest, tag: str) -> HttpResponse:
    """Of a holder which tool goes into it, of a tool which holder it goes into."""
    piece = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    is_holder = holds(piece)
    form = PartnerForm(request.POST or None, label="Tool" if is_holder else "Holder")
    if request.method == "POST" and form.is_valid() and _put(request, piece, form, is_holder=is_holder):
        return redirect(piece)
    context = {
        "tool": piece,
        "form": form,
        "is_holder": is_holder,
        "now": held_by(piece) if is_holder else holder_of(piece),
        "partners": list(partners(piece).values_list("tag", flat=True)[:SHOWN]),
    }
    return render(request, "inventory/tool_hold.html", {"place": "tooling", **context})


def _put(request: PersonsRequest, piece: Tool, form: PartnerForm, *, is_holder: bool) -> bool:
    """Whether it is in now; else the form says why not."""
    other = Tool.objects.in_book().for_list().tagged(form.cleaned_data["tag"]).first()
    if other is None:
        form.add_error("tag", "No piece has this tag. Write a tag of the crib, like H-0078.")
        return False
    tool, holder = (other, piece) if is_holder else (piece, other)
    try:
        with transaction.atomic():
            came_out = clamp(tool, holder)
    except CannotHold as reason:
        form.add_error("tag", str(reason))
        return False
    except IntegrityError:
        form.add_error("tag", "Somebody put another tool there at the same moment. Look, then save again.")
        return False
    messages.success(request, " ".join([f"{tool} is in {holder}.", *came_out]))
    return True


@require_POST
@takers_only
def tool_unhold(request: PersonsRequest, tag: str) -> HttpResponse:
    """Pressed twice it changes nothing."""
    piece = get_object_or_404(Tool.objects.for_list(), tag=tag.upper())
    tool = held_by(piece) if holds(piece) else piece
    holder = take_out(tool) if tool else None
    if tool is None or holder is None:
        messages.info(request, f"{piece} is by itself already.")
    else:
        messages.success(request, f"{tool} is out of {holder}.")
    return redirect(piece)
