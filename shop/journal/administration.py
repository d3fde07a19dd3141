"""The page with the administration's own history."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from inventory.models import Deed
from inventory.web.access import PersonsRequest, administrators_only

PER_PAGE = 50


@require_GET
@never_cache
@administrators_only
def administration(request: PersonsRequest) -> HttpResponse:
    page = Paginator(Deed.objects.select_related("by"), PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "shop/administration.html", {"place": "desk", "page": page})
