"""What is short and why, with the shop's lead time; and blank or buy for what waits."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from fitfinder.short.form import LeadForm
from fitfinder.short.reader import Shortage, ShortRow, by_need, minutes_to_bore
from fitfinder.short.shortfalls import LEAD_DAYS, MUCH_USED, USED_DAYS
from inventory.models import KeptBar, ShopFigures
from inventory.web.access import buyers_and_keepers, buyers_only
from inventory.web.shop_settings import shop_now
from inventory.web.tables import Column, word_list

_COLUMNS = (Column("What", "what"), Column("Why"), Column("Demand", "demand", is_figure=True), Column(""))
_BY: dict[str, Callable[[ShortRow], Any]] = {
    "what": lambda row: row.shortfall.name.lower(),
    "demand": lambda row: row.shortfall.demand,
}


@require_GET
def short(request):
    return _page(request, LeadForm(initial={"lead_days": shop_now().lead_days}))


@require_POST
@buyers_only
@transaction.atomic
def lead_time(request):
    form = LeadForm(request.POST)
    if not form.is_valid():
        return _page(request, form)
    figures = ShopFigures.objects.the_row()
    figures.lead_days, figures.changed_by = form.cleaned_data["lead_days"], request.user
    figures.save()
    messages.success(request, f"A new piece is counted on after {figures.lead_days or LEAD_DAYS} days.")
    return redirect("short")


def _page(request, form):
    shortage = Shortage(today=timezone.localdate(), lead_days=shop_now().lead_days)
    listed = word_list(
        request,
        shortage.rows(),
        _COLUMNS,
        _BY,
        label="What or why",
        words_of=lambda row: f"{row.shortfall.name} {row.shortfall.need} {row.shortfall.why}",
    )
    return render(
        request,
        "fitfinder/short.html",
        {
            "place": "buying",
            **listed,
            "groups": by_need(listed["rows"]),
            "form": form,
            "lead_days": shortage.lead_days,
            "much_used": MUCH_USED,
            "used_days": USED_DAYS,
        },
    )


@require_GET
@buyers_and_keepers
def blanks(request):
    shortage = Shortage(today=timezone.localdate())
    minutes, source = minutes_to_bore()
    plan = shortage.blank_or_buy()
    return render(
        request,
        "fitfinder/blanks.html",
        {
            "place": "buying",
            "plan": plan,
            "any_bar": bool(plan.choices) or KeptBar.objects.standing().exists(),
            "blanks": shortage.blanks_here(),
            "minutes": minutes,
            "all_minutes": minutes * len(plan.bores),
            "minutes_source": source,
        },
    )
