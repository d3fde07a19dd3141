"""The order list: what is to approve, to order, on order and late, and each line's own page."""

from datetime import timedelta

from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.models import Location, Want
from inventory.models.prices import PriceBook
from inventory.orders.filters import TickedForm, WantFilter
from inventory.orders.forms import LineForm, OrderForm, WantEditForm, usual_price
from inventory.orders.ordering import FROM, step
from inventory.orders.receiving import ReceiveForm
from inventory.web.access import buyers_and_keepers, buyers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits
from inventory.web.tables import Column, heads_of, in_order, narrowed_by
from inventory.web.transactions import in_one_transaction

RECEIVED_SHOWN = timedelta(days=90)
MOST_SHOWN = 200
MOST_LINES = 100
COLUMNS = (
    Column("What", "what"),
    Column("Price", "price", is_figure=True),
    Column("From, number", "supplier"),
    Column("Why", "why"),
    Column("Asked by", "asked"),
    Column("Expected", "expected"),
    Column(""),
)
_BY = {
    "what": lambda want: want.name.lower(),
    "price": lambda want: _cost(want),
    "supplier": lambda want: f"{want.supplier} {want.order_number}".strip().lower(),
    "why": lambda want: want.why.lower(),
    "asked": lambda want: want.asked_at,
    "expected": lambda want: want.received_at.date() if want.received_at else want.expected_on,
}
_State = Want.State
_STEPS = {"approve": _State.APPROVED, "drop": _State.DROPPED}
_DONE = {_State.APPROVED: "approved", _State.DROPPED: "removed"}


@require_GET
@buyers_and_keepers
def orders(request):
    today = timezone.localdate()
    narrowed = WantFilter(request.GET, Want.objects.with_names().with_newest_entry())
    ticking = TickedForm(request.GET)
    ticking.is_valid()
    wants = narrowed.qs if narrowed.form.is_valid() else Want.objects.none()
    late = wants.late(on=today).order_by("expected_on", "pk")
    rest = wants.filter(state=_State.ORDERED).exclude(pk__in=late.order_by().values("pk"))
    prices = PriceBook()
    received = wants.filter(state=_State.RECEIVED, received_at__gte=timezone.now() - RECEIVED_SHOWN)
    wanted = _with_sum(request, wants.filter(state=_State.WANTED), prices=prices)
    approved = _with_sum(request, wants.filter(state=_State.APPROVED), prices=prices)
    lists = {
        "wanted": wanted,
        "approved": approved,
        "late": _with_sum(request, late),
        "ordered": _with_sum(request, rest.order_by("expected_on", "supplier", "pk")),
        "received": _with_sum(request, received.order_by("-received_at")),
    }
    shown = request.GET.get("line", "")
    return render(
        request,
        "inventory/orders.html",
        {
            "place": "buying",
            "today": today,
            "form": narrowed.form,
            "ticking": ticking,
            "narrowed_by": narrowed_by(request, narrowed.form),
            "heads": heads_of(request, COLUMNS),
            **lists,
            "chosen": next((want for one in lists.values() for want in one["rows"] if str(want.pk) == shown), None),
            "received_days": RECEIVED_SHOWN.days,
            "over": {
                "to approve": _over_budget(wanted, ticking, "to approve"),
                "to order": _over_budget(approved, ticking, "to order"),
            },
        },
    )


def _with_sum(request, wants, *, prices: PriceBook | None = None) -> dict:
    """The lines and what they come to; with `prices` a size without a price of its own counts at the usual one."""
    rows, guessed = list(wants[:MOST_SHOWN]), 0
    for want in rows:
        want.usual_cents = usual_price(want, prices) if prices and want.price_cents is None else None
        guessed += want.usual_cents is not None
    costs = [_cost(want) for want in rows]
    return {
        "rows": in_order(request, rows, _BY),
        "cents": sum(cents for cents in costs if cents is not None),
        "unpriced": costs.count(None),
        "guessed": guessed,
    }


def _cost(want) -> int | None:
    return want.cents if want.usual_cents is None else want.usual_cents * want.quantity


def _over_budget(lines: dict, ticking: TickedForm, name: str) -> dict | None:
    """By how much the ticked lines, or all where none is ticked, are above the budget."""
    budget = ticking.cleaned_data.get("budget")
    ticked = [want for want in lines["rows"] if ticking.list_ticked == name or want.pk in ticking.lines_ticked]
    cents = sum(_cost(want) or 0 for want in ticked or lines["rows"])
    if budget is None or cents <= budget:
        return None
    return {"cents": cents, "by": cents - budget, "budget": budget, "count": len(ticked or lines["rows"])}


@require_GET
@buyers_and_keepers
def want(request, pk):
    want = get_object_or_404(Want.objects.with_names(), pk=pk)
    return render(
        request,
        "inventory/want.html",
        {
            "place": "buying",
            "want": want,
            "is_late": want.is_late(on=timezone.localdate()),
            "line": _line_of(want),
            "pieces": want.pieces.order_by("tag"),
            "edits": edits(want),
            "may": {to: want.state in states for to, states in FROM.items()},
        },
    )


def _line_of(want) -> str:
    return f"{want.pk}:{drawn_from(want).data['drawn_from'] or ''}"


@require_POST
@buyers_only
@transaction.atomic
def want_steps(request):
    """Approve or drop the ticked lines, or go on to ordering them."""
    lines = [line for line in map(LineForm.of, request.POST.getlist("line")[:MOST_LINES]) if line.is_valid()]
    pressed = request.POST.get("step", "")
    if not lines:
        messages.error(request, "Nothing was changed: no line was ticked.")
        return redirect("orders")
    if pressed == "order":
        wanted = [("want", line.cleaned_data["want"]) for line in lines]
        return redirect(f"{reverse('order_place')}?{urlencode(wanted)}")
    if pressed not in _STEPS:
        messages.error(request, "Nothing was changed: press Approve, Order or Remove.")
        return redirect("orders")
    done = [want for line in lines if (want := _take_step(request, line, _STEPS[pressed]))]
    if done:
        names = ", ".join(want.name for want in done[:3]) + (f" and {len(done) - 3} more" if len(done) > 3 else "")
        messages.success(request, f"{names} {'is' if len(done) == 1 else 'are'} {_DONE[_STEPS[pressed]]}.")
    if len(lines) == 1 and request.POST.get("back") == "want":
        return redirect("want", lines[0].cleaned_data["want"])
    if done and pressed == "approve":
        # What was ticked stays ticked: mostly it is ordered next.
        return redirect(f"{reverse('orders')}?{urlencode({'tick': ','.join(str(want.pk) for want in done)})}")
    return redirect("orders")


def _take_step(request, line, to) -> Want | None:
    want = _locked_wants(line.cleaned_data["want"]).first()
    if want is None:
        messages.error(request, "One line is not in Gripbook any more.")
        return None
    meanwhile = changed_meanwhile(want, {"drawn_from": line.cleaned_data["entry"]})
    if meanwhile:
        messages.error(
            request, f"{want.name}: {meanwhile.removesuffix('; look, then save again.')}. Look, then press again."
        )
    elif not step(want, to):
        messages.info(request, f"{want.name} is {want.get_state_display()} already; nothing was changed.")
    else:
        return want
    return None


def _locked_wants(pk):
    return Want.objects.with_names().filter(pk=pk).select_for_update(of=("self",))


@require_http_methods(["GET", "POST"])
@buyers_only
@in_one_transaction
def order_place(request):
    """One order for the ticked lines. What somebody changed meanwhile is told before anything is kept."""
    wants = _to_order(request.POST if request.method == "POST" else request.GET, lock=request.method == "POST")
    if not wants:
        messages.error(
            request, "No line that can be ordered was chosen: those that were are ordered or removed already."
        )
        return redirect("orders")
    form = OrderForm(request.POST or None, wants=wants)
    if request.method == "POST":
        for changed in filter(None, (_changes_in_words(want, request.POST) for want in wants)):
            form.add_error(None, changed)
        if form.is_valid():
            return _place_order(request, form)
    return render(
        request,
        "inventory/order_place.html",
        {
            "place": "buying",
            "form": form,
            "lines": [(*line, _entry(line[0])) for line in form.lines],
            "suppliers": Want.objects.exclude(supplier="")
            .order_by("supplier")
            .values_list("supplier", flat=True)
            .distinct(),
        },
    )


def _to_order(sent, *, lock: bool) -> list[Want]:
    lines = [LineForm({"want": text}) for text in sent.getlist("want")[:MOST_LINES]]
    keys = [line.cleaned_data["want"] for line in lines if line.is_valid()]
    rows = Want.objects.with_names().filter(pk__in=keys, state__in=FROM[_State.ORDERED]).order_by("pk")
    return list(rows.select_for_update(of=("self",)) if lock else rows)


def _entry(want) -> int | None:
    return drawn_from(want).data["drawn_from"]


def _changes_in_words(want, posted) -> str:
    meanwhile = changed_meanwhile(want, {"drawn_from": posted.get(f"entry_{want.pk}")})
    return f"{want.name}: {meanwhile}" if meanwhile else ""


def _place_order(request, form):
    for want in form.wants:
        form.fill_in(want)
        step(want, _State.ORDERED)
    count = len(form.wants)
    messages.success(
        request,
        f"{count} line{'' if count == 1 else 's'} ordered from {form.cleaned_data['supplier']}.",
    )
    number = form.cleaned_data["order_number"]
    order = {"supplier": form.cleaned_data["supplier"], **({"number": number} if number else {})}
    return redirect(f"{reverse('order_print')}?{urlencode(order)}")


@require_http_methods(["GET", "POST"])
@buyers_only
@in_one_transaction
def want_edit(request, pk):
    rows = _locked_wants(pk) if request.method == "POST" else Want.objects.with_names().filter(pk=pk)
    want = get_object_or_404(rows)
    if not want.is_open:
        messages.info(request, f"{want.name} is {want.get_state_display()}: nothing is left to change.")
        return redirect("want", pk)
    # Before the form fills the row in.
    name, meanwhile = want.name, changed_meanwhile(want, request.POST) if request.method == "POST" else ""
    form = WantEditForm(request.POST or None, instance=want)
    if meanwhile:
        form.add_error(None, meanwhile)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"{name} is changed.")
        return redirect("want", pk)
    context = {"place": "buying", "form": form, "name": name, "pk": pk, "drawn_from": drawn_from(want)}
    return render(request, "inventory/want_edit.html", context)


@require_http_methods(["GET", "POST"])
@buyers_and_keepers
@in_one_transaction
def want_receive(request, pk):
    rows = _locked_wants(pk) if request.method == "POST" else Want.objects.with_names().filter(pk=pk)
    want = get_object_or_404(rows)
    if want.state not in FROM[_State.RECEIVED]:
        messages.info(request, f"{want.name} is {want.get_state_display()}: nothing was entered.")
        return redirect("want", pk)
    form = ReceiveForm(request.POST or None, want=want)
    if request.method == "POST" and (meanwhile := changed_meanwhile(want, request.POST)):
        form.add_error(None, meanwhile)
    if request.method == "POST" and form.is_valid():
        tools = form.save(by=request.user, at=timezone.now())
        if tools is not None:
            return _tell_received(request, want, tools, form.still_coming)
    context = {
        "place": "buying",
        "want": want,
        "form": form,
        "drawn_from": drawn_from(want),
        "places": Location.objects.all(),
    }
    return render(request, "inventory/want_receive.html", context)


def _tell_received(request, want, tools, still_coming: int):
    tags = ", ".join(tool.tag for tool in tools[:5]) + (" …" if len(tools) > 5 else "")
    what = f"{want.name} is" if want.quantity == 1 else f"{want.quantity} × {want.name} are"
    there = f": {tags} in Gripbook" if tools else ""
    messages.success(request, f"{what} received{there}{f'; {still_coming} still on order' if still_coming else ''}.")
    if any(tool.missing_details for tool in tools):
        messages.info(
            request, "Details are missing yet: the finder cannot use the new pieces until they are filled in."
        )
    return redirect("want", want.pk)
