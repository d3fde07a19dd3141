"""The pages of the guides, open to everybody."""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.guide import GUIDES
from shop.guide.words import WORDS

WIDTH = 390
"""Of every picture, in CSS pixels; they stand in shop/static/guide/."""


@login_not_required
@require_safe
def guide(request: HttpRequest) -> HttpResponse:
    role = request.user.role if request.user.is_authenticated else None
    guides = sorted(GUIDES, key=lambda guide: guide.role != role)
    return render(request, "shop/guide.html", {"guides": guides, "role": role, "words": WORDS})


@login_not_required
@require_safe
def guide_for(request: HttpRequest, slug: str) -> HttpResponse:
    chosen = next((guide for guide in GUIDES if guide.slug == slug), None)
    if chosen is None:
        raise Http404(f"There is no guide for “{slug}”.")
    others = [guide for guide in GUIDES if guide is not chosen]
    return render(request, "shop/guide_for.html", {"guide": chosen, "others": others, "width": WIDTH})
