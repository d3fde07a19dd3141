"""The pocket card: its page, the card itself to read and print, and the same as a file to take along."""

from __future__ import annotations

from csp.decorators import csp_update
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.pocket.file import POLICY, CardFile, card_file, read_card
from fitfinder.questions import QuestionError
from inventory.web.access import PersonsRequest


@require_GET
def pocket_card(request: PersonsRequest) -> HttpResponse:
    lathes = crib.lathe_names()
    lathe = request.GET.get("lathe", "")
    return render(
        request,
        "fitfinder/card.html",
        {
            "place": "find",
            "lathes": lathes,
            "lathe": lathe if lathe in lathes else "",
            "is_secure": request.is_secure(),
        },
    )


@csp_update(POLICY)
@never_cache
@require_GET
def card_open(request: HttpRequest) -> HttpResponse:
    """To read and to print; this is also what a browser keeps for where there is no signal."""
    made = _made(request)
    return redirect("card") if made is None else HttpResponse(made.html)


@never_cache
@require_GET
def card_download(request: HttpRequest) -> HttpResponse:
    made = _made(request)
    if made is None:
        return redirect("card")
    name = "-".join(filter(None, ("pocket-card", slugify(request.GET.get("lathe", "")))))
    disposition = f'attachment; filename="{name}-{timezone.localtime():%Y-%m-%d-%H%M}.html"'
    return HttpResponse(made.html, headers={"Content-Disposition": disposition})


def _made(request: HttpRequest) -> CardFile | None:
    """As the crib is now; None where the address names a lathe that there is not any more."""
    try:
        return card_file(read_card(lathe=request.GET.get("lathe", "")), as_of=timezone.now())
    except QuestionError:
        return None
