"""Putting a piece on a lathe, and taking it off."""

from itertools import islice

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.lathe_spots import place_of
from inventory.keeping.mounting import (
    CannotMount,
    MountForm,
    NarrowForm,
    TakeOffForm,
    mount,
    pieces_on,
    take_off,
    why_not_mounted,
    with_newest,
)
from inventory.keeping.spots import Spot, candidates, spots
from inventory.models import Lathe, Tool
from inventory.models.kinds import Place
from inventory.web.access import PersonsRequest, takers_only
from inventory.web.redirects import safe_redirect

SHOWN = 40
"""Of the pieces that a lathe may take; a tag or a kind narrows the rest."""


@require_GET
@takers_only
def lathe_mount(request: PersonsRequest, pk: int) -> HttpResponse:
    """What this lathe may take; a tap puts it on."""
    lathe = get_object_or_404(Lathe.objects.with_seats(), pk=pk)
    form = NarrowForm(request.GET)
    form.is_valid()
    text, at = (form.cleaned_data.get(name, "") for name in ("text", "at"))
    mounted = pieces_on(lathe)
    pieces = with_newest(candidates(lathe, mounted, by=request.user, text=text))
    if at:
        with_spots = ((piece, _spots_at(at, piece, lathe, mounted)) for piece in pieces)
        rows = list(islice((row for row in with_spots if row[1]), SHOWN + 1))
    else:
        rows = [(piece, spots(piece, lathe, mounted)) for piece in pieces[: SHOWN + 1]]
    context = {
        "lathe": lathe,
        "back": f"{reverse('lathe', args=[lathe.pk])}{f'#at-{at}' if at else ''}",
        "form": form,
        "text": text,
        "at": Place(at).label if at else "",
        "rows": [(piece, spots_here) for piece, spots_here in rows[:SHOWN] if spots_here],
        "has_more": len(rows) > SHOWN,
    }
    return render(request, "inventory/lathe_mount.html", {"place": "desk", **context})


def _spots_at(at: str, piece: Tool, lathe: Lathe, mounted: list[Tool]) -> list[Spot]:
    """Those of its spots that are this one, or in what sits there."""
    return [
        spot
        for spot in spots(piece, lathe, mounted)
        if (spot.place if spot.holder is None else place_of(spot.holder, mounted)) == at
    ]


@require_http_methods(["GET", "POST"])
@takers_only
def tool_mount(request: PersonsRequest, tag: str) -> HttpResponse:
    if request.method == "POST":
        return _mount(request, tag)
    tool = get_object_or_404(with_newest(Tool.objects.for_list()), tag=tag.upper())
    lathes = [(lathe, spots(tool, lathe, pieces_on(lathe))) for lathe in Lathe.objects.in_use().with_seats()]
    context = {
        "tool": tool,
        "why_not": why_not_mounted(tool, by=request.user),
        "lathes": [(lathe, spots_there) for lathe, spots_there in lathes if spots_there],
    }
    return render(request, "inventory/tool_mount.html", {"place": "tooling", **context})


def _mount(request: PersonsRequest, tag: str) -> HttpResponse:
    form = MountForm(request.POST)
    try:
        with transaction.atomic():
            tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
            _mount_locked(request, tool, form)
    except CannotMount as reason:
        messages.error(request, f"Not mounted: {reason}")
    except IntegrityError:
        messages.error(request, "Not mounted: somebody put another piece there at the same moment. Look again.")
    return safe_redirect(request, tool)


def _mount_locked(request: PersonsRequest, tool: Tool, form: MountForm) -> None:
    if not form.is_valid():
        raise CannotMount("this page is too old. Look again.")
    asked = form.cleaned_data
    lathe = get_object_or_404(Lathe, pk=asked["lathe"])
    if _was_changed(tool, asked["drawn_from"]):
        if tool.mounted_on_id == lathe.pk:
            messages.info(request, f"{tool} is on {lathe} already.")
            return
        raise CannotMount(f"{tool} was changed since this page was drawn. Look again.")
    if reason := why_not_mounted(tool, by=request.user):
        raise CannotMount(reason)
    doubt = next((spot.doubt for spot in spots(tool, lathe, pieces_on(lathe)) if spot.key == asked["spot"]), "")
    off = mount(tool, lathe, key=asked["spot"], instead_of=asked["instead_of"])
    messages.success(request, f"{tool} is on {lathe} now.{_came_off_in_words(off)}")
    if doubt:
        messages.warning(request, f"{doubt} See that it fits, and have its details filled in.")


def _came_off_in_words(off: list[Tool]) -> str:
    if not off:
        return ""
    first, *with_it = off
    together = f", and {', '.join(map(str, with_it))} with it" if with_it else ""
    place = f"; its place is {first.location.path}" if first.location else ""
    return f" {first} came off{together}{place}."


@require_POST
@takers_only
def tool_take_off(request: PersonsRequest, tag: str) -> HttpResponse:
    form = TakeOffForm(request.POST)
    with transaction.atomic():
        tool = get_object_or_404(Tool.objects.select_for_update(), tag=tag.upper())
        lathe = tool.mounted_on
        if lathe is None:
            messages.info(request, f"{tool} is on no lathe: it was taken off already.")
        elif not form.is_valid() or _was_changed(tool, form.cleaned_data["drawn_from"]):
            messages.error(request, f"{tool} was changed since this page was drawn. Look again, then take it off.")
        else:
            messages.success(request, f"{tool} is off {lathe}.{_with_it_in_words(take_off(tool))}")
    return safe_redirect(request, tool)


def _with_it_in_words(off: list[Tool]) -> str:
    first, *with_it = off
    place = f" Its place is {first.location.path}." if first.location else ""
    return f"{place} {', '.join(map(str, with_it))} came off with it." if with_it else place


def _was_changed(tool: Tool, drawn_from: int) -> bool:
    return tool.history.order_by("-history_id").first().history_id != drawn_from
