"""Labels: choose them, and look at the sheet as it will be printed."""

from datetime import timedelta
from urllib.parse import parse_qsl, urlencode

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inventory.labels.drawing import sheets
from inventory.labels.forms import GAPS, MARGINS, MOST_LABELS, LabelForm
from inventory.labels.grid import PAPERS
from inventory.models import Location, Tool
from inventory.web.access import PersonsRequest
from inventory.web.cookies import remember, remembered
from inventory.web.site import is_only_here, site_of

LATELY = timedelta(days=7)
ON_THE_SHEET = ("columns", "rows", *MARGINS, *GAPS, "first", "most")
KEPT = ("paper", "columns", "rows", *MARGINS, *GAPS)
"""What the next labels on this device begin with."""
COOKIE = "label_sheet"


@require_GET
def labels(request: PersonsRequest) -> HttpResponse:
    """The choice, begun with what the address says."""
    given: dict[str, str | list[str] | bool] = {
        **_last_sheet(request),
        **{name: request.GET[name] for name in LabelForm.base_fields if name in request.GET},
    }
    if "place" in request.GET:
        given["place"] = request.GET.getlist("place")
    if "paper" in request.GET and "edges" not in request.GET:
        given["edges"] = False  # An address of a whole choice, in which the box was not ticked.
    return _choice(request, LabelForm(initial=given))


@require_GET
def labels_print(request: PersonsRequest) -> HttpResponse:
    form = LabelForm(request.GET)
    if not form.is_valid():
        return _choice(request, form)
    site = site_of(request)
    grid = form.grid
    made = sheets(form.labels(), grid, site=site, first=form.begins_at)
    context = {
        "place": "desk",
        "grid": grid,
        "sheets": made,
        "count": sum(len(sheet.labels) for sheet in made),
        "edges": form.cleaned_data["edges"],
        "site": site,
        "is_only_here": is_only_here(site),
        "choice": request.GET.urlencode(),
    }
    response = render(request, "inventory/labels_print.html", context)
    last = urlencode({name: form.data[name] for name in KEPT})
    remember(response, COOKIE, last)
    return response


def _last_sheet(request: PersonsRequest) -> dict[str, str]:
    """The paper and its grid that were printed last from this device; what it no longer knows is left to the form."""
    last = dict(parse_qsl(remembered(request, COOKIE)))
    return {name: last[name] for name in KEPT if name in last} if last.get("paper") in PAPERS else {}


def _choice(request: PersonsRequest, form: LabelForm) -> HttpResponse:
    form.fields["drawers"].widget.attrs["list"] = "places"
    context = {
        "place": "desk",
        "form": form,
        "places": Location.objects.in_use(),
        "new_tags": _new_tags(),
        "is_unfolded": any(name in form.errors for name in ON_THE_SHEET),
    }
    return render(request, "inventory/labels.html", context)


def _new_tags() -> list[str]:
    """The tags of the pieces that came into the book lately; none where they are more than are printed at once."""
    entered = Tool.history.filter(history_type="+", history_date__gte=timezone.now() - LATELY)
    tags = Tool.objects.in_book().filter(pk__in=entered.values("id")).order_by("tag").values_list("tag", flat=True)
    newest = list(tags[: MOST_LABELS + 1])
    return newest if len(newest) <= MOST_LABELS else []
