"""The page with the administration's own history."""

import django_filters
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from inventory.models import Deed
from inventory.models.deeds import DeedAct
from inventory.web.access import PersonsRequest, administrators_only
from inventory.web.tables import Column, by_column, heads_of

PER_PAGE = 50
_COLUMNS = (
    Column("What", "what"),
    Column("By", "by"),
    Column("When", "when"),
)
_ORDERED_BY = {"when": ("at",), "what": ("act", "at"), "by": ("by__username", "at")}


class DeedFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(field_name="about", lookup_expr="icontains", label="Of whom or what")
    act = django_filters.ChoiceFilter(choices=DeedAct, label="What", empty_label="any")

    class Meta:
        model = Deed
        fields = ()


@require_GET
@never_cache
@administrators_only
def administration(request: PersonsRequest) -> HttpResponse:
    narrowed = DeedFilter(request.GET, Deed.objects.select_related("by"))
    deeds = narrowed.qs if narrowed.form.is_valid() else Deed.objects.none()
    page = Paginator(by_column(request, deeds, _ORDERED_BY), PER_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "heads": heads_of(request, _COLUMNS), "form": narrowed.form}
    return render(request, "shop/administration.html", {"place": "desk", **context})
