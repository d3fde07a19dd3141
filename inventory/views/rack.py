"""A rack of collets at once: ask for the run, list its sizes to tick, enter the ticked ones."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods

from inventory.measures.lengths import Length
from inventory.models import Tool
from inventory.pieces.fields import as_fields
from inventory.pieces.rack import RackForm
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.news import tell_new_places


@require_http_methods(["GET", "POST"])
@keepers_only
def rack_add(request: PersonsRequest) -> HttpResponse:
    if request.method == "POST":
        return _enter(request)
    is_asked = any(name in request.GET for name in RackForm.base_fields)
    return _page(request, RackForm(request.GET if is_asked else None))


def _enter(request: PersonsRequest) -> HttpResponse:
    form = RackForm(request.POST)
    if not form.is_valid():
        return _page(request, form)
    picked = form.picked(request.POST.getlist("collet"))
    tools = form.save(picked, by=request.user) if picked else []
    if not tools:
        return _page(request, form, ticked=form.still_wanted(picked))
    are = "collet is" if len(tools) == 1 else "collets are"
    tags = [tool.tag for tool in tools]
    # The page offers to print the labels of what stands beside a message.
    messages.success(request, f"{len(tags)} {are} in Gripbook: {_tags_in_words(tags)}.", extra_tags=" ".join(tags))
    tell_new_places(request, form.book.new_places)
    return redirect(_list_of(tools[0]))


def _tags_in_words(tags: list[str]) -> str:
    return ", ".join(tags) if len(tags) <= 5 else f"{tags[0]} to {tags[-1]}"


def _list_of(tool: Tool) -> str:
    narrowed = {"location": tool.location.name} if tool.location else {"series": as_fields(tool)["series"]}
    return f"{reverse('tool_list')}?{urlencode(narrowed)}"


def _page(request: PersonsRequest, form: RackForm, ticked: set[Length] | None = None) -> HttpResponse:
    rows = form.rows(ticked) if form.has_run else []
    return render(request, "inventory/rack.html", {"place": "tooling", "form": form, "book": form.book, "rows": rows})
