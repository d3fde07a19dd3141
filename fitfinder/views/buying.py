"""What is to buy, on one page: what is short and why, what is asked for, what people looked for, the boards."""

from urllib.parse import parse_qs

from django.db.models import Exists, OuterRef
from django.shortcuts import render
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET
from msgspec import Struct

from fitfinder import crib
from fitfinder.short.form import DroppedForm
from fitfinder.short.reader import Shortage, by_need
from fitfinder.short.shortfalls import Need
from fitfinder.views.first_to_buy import first_to_buy
from inventory.measures.lengths import Unit, exact
from inventory.models import KeptBar, SeriesShape, Tool, Want
from inventory.models.counted import fetch_places
from inventory.web.shop_settings import shop_now

ASKS_SHOWN = 50
LOW_SHOWN = 50
SHORT_SHOWN = 10


class Board(Struct, frozen=True):
    """A series and shape, and whether anything of it is in the book."""

    series: str
    shape: str
    is_here: bool


@require_GET
def buying(request):
    shortage = Shortage(today=timezone.localdate(), lead_days=shop_now().lead_days)
    shortfalls, wants, low = shortage.rows(), shortage.wants, shortage.low[:LOW_SHOWN]
    fetch_places(low)
    boards = _boards()
    # What is counted and low has a fold of its own.
    folded = [row for row in shortfalls if row.shortfall.need is not Need.COUNTED]
    return render(
        request,
        "inventory/buying.html",
        {
            "place": "buying",
            "doors_counted": {"orders": len(wants)},
            "things": first_to_buy(wants, shortfalls, today=timezone.localdate(), may_buy=request.user.may_buy),
            "short": {"groups": by_need(folded), "count": len(shortfalls), "shown": SHORT_SHOWN},
            "wants": [(want, _question_of(want.size) if want.size_id else "") for want in wants],
            "late": {want.pk for want in wants if want.is_late(on=timezone.localdate())},
            "asks": [(ask, _bar_of(ask.question)) for ask, _ in shortage.asks[:ASKS_SHOWN]],
            "boards": boards,
            "low": {"rows": low, "count": len(shortage.low), "shown": LOW_SHOWN},
            "dropped": _just_dropped(request),
            # What is asked only where nothing is short.
            "any_bar": bool(shortfalls) or KeptBar.objects.standing().exists(),
            "is_empty": not boards["here"] and not Tool.objects.in_book().exists(),
        },
    )


def _boards() -> dict[str, list[Board]]:
    """Every series and shape: those of which anything is in the book, and the rest."""
    here = Tool.objects.in_book().filter(size__series=OuterRef("series"), size__shape=OuterRef("shape"))
    rows = SeriesShape.objects.annotate(is_here=Exists(here)).order_by("series__code", "shape")
    boards = [Board(*row) for row in rows.values_list("series__code", "shape", "is_here")]
    return {"here": [one for one in boards if one.is_here], "elsewhere": [one for one in boards if not one.is_here]}


def _question_of(size) -> str:
    return urlencode({"size": exact(size.nominal), "shape": size.shape})


def _bar_of(question: str) -> str:
    """What a question asked about, as the form of a bar that is kept takes it."""
    asked = {name: texts[0] for name, texts in parse_qs(question).items()}
    size = asked.get("size", "")
    if asked.get("size2"):
        size = f"{size} to {asked['size2']}"
    if (unit := asked.get("unit") or crib.unit_of_addresses() and "in") in list(Unit) and size.replace(".", "").replace(
        " to ", ""
    ).isdigit():
        size = f"{size} {unit}"
    bar = {"size": size, "shape": asked.get("shape", "round"), "grade": asked.get("grade", "")}
    return urlencode({name: text for name, text in bar.items() if text})


def _just_dropped(request) -> Want | None:
    form = DroppedForm(request.GET)
    if not request.user.may_buy or not form.is_valid():
        return None
    dropped = Want.objects.with_names().filter(state=Want.State.DROPPED)
    return dropped.filter(pk=form.cleaned_data["dropped"]).first()
