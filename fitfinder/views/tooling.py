"""Tooling: one field that finds a piece by what it is, the families with their boards, the drawers, and the list."""

from __future__ import annotations

import uuid

from django.core.paginator import Page, Paginator
from django.db.models import Q
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET
from msgspec import Struct

from fitfinder.short.board import BoardCell
from fitfinder.short.board_reader import cells_of
from fitfinder.views.asking import asked_lately
from fitfinder.views.board import holes_of
from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import exact
from inventory.models import CountedItem, Location, SeriesShape, Tool
from inventory.models.kinds import NEEDED_COLUMNS
from inventory.pieces.families import all_alike_pieces, cabinets, families
from inventory.pieces.filters import ToolFilter
from inventory.pieces.search import SearchReading, tags_like
from inventory.pieces.telling import StateWord, facts, size_and_rest, states
from inventory.views.pieces import seen_lately
from inventory.web.access import PersonsRequest
from inventory.web.tables import Column, heads_of

PER_PAGE = 50
COUNTED_SHOWN = 5
MOST_DRAWN = 60
"""Drawers: of a crib with more its cabinets are drawn closed."""
COLUMNS = (
    Column("Size", "size"),
    Column("What", "what"),
    Column("Tag", "tag"),
    Column("Drawer", "drawer"),
    Column("TIR", "tir", is_figure=True),
    Column("State", "condition"),
    Column("Inspected", "inspected"),
    Column(""),
)


_OF_A_ROW = ("condition", "missing_since", "retired_at", "tir", "inspected_on", *NEEDED_COLUMNS)


class ToolRow(Struct, frozen=True):
    """A piece in the list: its size or seat, what it is beside that, and its states."""

    tool: Tool
    size: str
    rest: str
    states: list[StateWord]
    can_be_taken: bool
    token: uuid.UUID
    """Of its button: a tap that is sent again takes nothing twice."""


@require_GET
def tool_list(request: PersonsRequest) -> HttpResponse:
    narrowed = ToolFilter(request.GET, Tool.objects.for_line(*_OF_A_ROW).with_open_loans())
    form = narrowed.form
    _prepare(form)
    pieces = narrowed.qs if form.is_valid() else Tool.objects.none()
    if form.cleaned_data.get("state") == ToolFilter.OUT and not form.cleaned_data.get("order"):
        pieces = pieces.due_first()
    used = {name for name, value in form.cleaned_data.items() if value not in (None, "")} - {"order"}
    reading = narrowed.reading if form.is_valid() else None
    if used == {"text"} and (meant := _the_one_tagged(form.cleaned_data["text"], reading)):
        return redirect(meant)
    page = Paginator(pieces, PER_PAGE).get_page(request.GET.get("page"))
    is_home = not used and not form.errors
    return render(
        request,
        "inventory/tool_list.html",
        {
            "place": "tooling",
            "form": form,
            "page": page,
            "heads": heads_of(request, COLUMNS),
            "rows": [_row(tool) for tool in page],
            "is_narrowed": not is_home,
            "is_unfolded": not form.errors.keys().isdisjoint(set(form.fields) - {"text"}),
            "narrowed_by": _narrowed_by(request, form, used, reading),
            "reading": reading,
            "find_query": _question(reading),
            "counted": _counted(reading),
            "near": [(text, _query(request.GET, text=text)) for text in (reading.near if reading else ())],
            "board": _board(form, reading),
            "chosen": _chosen(request, page),
            "places": Location.objects.in_use(),
            "looks_for_size": bool(reading and reading.size) or "size" in used,
            **(_home(request) if is_home else {}),
        },
    )


def _prepare(form: BaseForm) -> None:
    """The fields at the side belong to the form on top, which is one with them."""
    say_plainly(form.fields)
    form.fields["location"].widget.attrs["list"] = "places"
    form.fields["text"].widget.attrs |= {"autocapitalize": "off", "maxlength": "100"}
    for name, field in form.fields.items():
        if name != "text":
            field.widget.attrs["form"] = "look-up"


def _the_one_tagged(text: str, reading: SearchReading | None) -> Tool | None:
    """The piece whose tag this is; `c11` means C-0011 where it means nothing else and one piece only."""
    if meant := Tool.objects.tagged(text).first():
        return meant
    if reading is None or any(part.sort != "size" for part in reading.parts):
        return None
    near = list(Tool.objects.in_book().filter(tag__in=tags_like(" ".join(reading.words)))[:2])
    return near[0] if len(near) == 1 else None


def _row(tool: Tool) -> ToolRow:
    size, rest = size_and_rest(tool)
    is_here = tool.is_in_service and tool.loan is None
    return ToolRow(tool, size, rest, states(tool, tool.loan, timezone.localdate()), is_here, uuid.uuid4())


def _narrowed_by(
    request: HttpRequest, form: BaseForm, used: set[str], reading: SearchReading | None
) -> list[tuple[str, str]]:
    """All that narrows the list, each with the address that is without it."""
    parts = [(part.words, _query(request.GET, text=reading.without(part))) for part in reading.parts] if reading else []
    for name in form.fields:
        if name in used and name != "text":
            label = str(form.fields[name].label).split(",")[0].lower()
            parts.append((f"{label} {form.data[name][:40]}", _query(request.GET, **{name: ""})))
    return parts


def _query(given: QueryDict, **changes: str) -> str:
    """The address of this page with some of its query changed, and without what is empty."""
    asked = {name: given.get(name, "") for name in given if name not in ("page", "piece")} | changes
    query = {name: text for name, text in asked.items() if text}
    return f"{reverse('tool_list')}?{urlencode(query)}" if query else reverse("tool_list")


def _question(reading: SearchReading | None) -> str:
    """What holds such a bar, asked of Find."""
    if reading is None or reading.size is None:
        return ""
    return urlencode({"size": exact(reading.size), "shape": reading.shape or "round"})


def _counted(reading: SearchReading | None) -> list[CountedItem]:
    """What is counted and has no tag, by its name."""
    if reading is None:
        return []
    named = Q()
    for word in reading.words:
        named &= Q(name__icontains=word)
    return list(CountedItem.objects.in_book().filter(named).with_places()[:COUNTED_SHOWN])


def _board(form: BaseForm, reading: SearchReading | None) -> tuple[SeriesShape, list[tuple[BoardCell, str]]] | None:
    """The rack of the one family that is asked for; a hole leads to its pieces, or to asking for the size."""
    if not form.is_valid():
        return None
    series = form.cleaned_data["series"] or (reading.series if reading else None)
    shape = form.cleaned_data["shape"] or (reading.shape if reading else "")
    if series is None or (reading and reading.unread):
        return None
    row = SeriesShape.objects.filter(series=series, shape=shape or "round").select_related("series__seat").first()
    if row is None:
        return None
    return row, holes_of(row, cells_of(row), board=reverse("board", args=[row.series.code, row.shape]))


def _chosen(request: HttpRequest, page: Page[Tool]) -> dict[str, object] | None:
    """The piece of this page that is shown beside the list."""
    tag = request.GET.get("piece", "").upper()
    tool = next((tool for tool in page if tool.tag == tag), None)
    if tool is None:
        return None
    # Of a line of the list only what it says was read.
    return {"tool": tool, "row": _row(tool), "facts": facts(Tool.objects.for_list().get(pk=tool.pk))}


def _home(request: HttpRequest) -> dict[str, object]:
    likes = all_alike_pieces()
    drawn = cabinets(likes)
    if sum(one.count_of_places for one in drawn) > MOST_DRAWN:
        drawn = [one.opened_to(1) for one in drawn]
    return {
        "families": [(family, _query(QueryDict(), **family.narrowed)) for family in families(likes)],
        "cabinets": drawn,
        "asked": asked_lately(request)[:4],
        "seen": seen_lately(request),
    }
