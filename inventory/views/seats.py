"""The seats: those of the tables and of the shop, what is at each, and what else it is called."""

from collections import Counter

from django.contrib import messages
from django.db import transaction
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from inventory.figures.names import seat_named
from inventory.figures.own_seats import OtherNameForm, OwnSeatForm, SameSeatForm, is_used, merge, users_of
from inventory.models import Lathe, OtherName, Seat, Tool
from inventory.web.access import PersonsRequest, keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from, edits

FEW = 40


@require_GET
def seats(request: PersonsRequest) -> HttpResponse:
    used = _in_use()
    rows = [(seat, used.get(seat.pk, 0)) for seat in Seat.objects.prefetch_related("other_names")]
    known = [row for row in rows if not row[0].is_own]
    return render(
        request,
        "inventory/seats.html",
        {
            "place": "desk",
            "own": [row for row in rows if row[0].is_own],
            "in_use": [row for row in known if row[1]],
            "others": [row for row in known if not row[1]],
        },
    )


@require_http_methods(["GET", "POST"])
@keepers_only
def seat_add(request: PersonsRequest) -> HttpResponse:
    form = OwnSeatForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        seat = form.save(by=request.user)
        messages.success(request, f"{seat} is a seat of this shop now.")
        return redirect("seat", seat.code)
    return _form_page(request, form, heading="Enter a seat of the shop's own", back=reverse("seats"), words="All seats")


@require_http_methods(["GET", "POST"])
def seat(request: PersonsRequest, code: str) -> HttpResponse:
    known = seat_named(code)
    seat = known if known is not None else get_object_or_404(Seat, code=code)
    if seat.code != code and request.method == "GET":
        return redirect("seat", seat.code)
    if request.method == "POST":
        return _save_change(request, seat)
    return _page(request, seat)


@keepers_only
@transaction.atomic
def _save_change(request: PersonsRequest, seat: Seat) -> HttpResponse:
    """Another name more or fewer, the same seat as another, or taken off the list."""
    if "forget" in request.POST:
        OtherName.objects.filter(seat=seat, text=request.POST["forget"]).delete()
        messages.success(request, "That name is forgotten.")
    elif "take_off" in request.POST:
        return _take_off_list(request, seat)
    elif "same_as" in request.POST:
        return _merge(request, seat)
    else:
        form = OtherNameForm(request.POST, of=seat)
        if not form.is_valid():
            return _page(request, seat, name_form=form)
        messages.success(request, f"“{form.save(by=request.user)}” is read as {seat} from now on.")
    return redirect("seat", seat.code)


def _merge(request: PersonsRequest, seat: Seat) -> HttpResponse:
    form = SameSeatForm(request.POST, seat=seat)
    if not seat.is_own:
        messages.error(request, f"{seat} is a seat of the tables. Open the other one, and say that it is {seat}.")
        return redirect("seat", seat.code)
    if not form.is_valid():
        return _page(request, seat, same_form=form)
    other, was = form.cleaned_data["same_as"], seat.code
    merge(seat, other, by=request.user)
    messages.success(request, f"{was} is {other} now: all that named it is there, and the name leads here.")
    return redirect("seat", other.code)


def _take_off_list(request: PersonsRequest, seat: Seat) -> HttpResponse:
    if not seat.is_own or is_used(seat):
        messages.error(request, f"{seat} stays: it is of the tables, or something is at it.")
        return redirect("seat", seat.code)
    was = seat.code
    seat.delete()
    messages.success(request, f"{was} is off the list.")
    return redirect("seats")


@require_http_methods(["GET", "POST"])
@keepers_only
def seat_edit(request: PersonsRequest, code: str) -> HttpResponse:
    """Its name and what it is; of a seat of the tables there is nothing to change."""
    with transaction.atomic():
        rows = Seat.objects.select_for_update() if request.method == "POST" else Seat.objects
        seat = get_object_or_404(rows, code=code)
        if not seat.is_own:
            messages.info(request, f"{seat} is a seat of the tables: another name is all that it can get.")
            return redirect("seat", seat.code)
        form = OwnSeatForm(request.POST if request.method == "POST" else None, seat=seat)
        if request.method == "POST" and (meanwhile := changed_meanwhile(seat, request.POST)):
            form.add_error(None, meanwhile)
        if request.method == "POST" and form.is_valid():
            form.save(by=request.user)
            messages.success(request, f"{seat} is changed.")
            return redirect("seat", seat.code)
    back = reverse("seat", args=[code])
    return _form_page(request, form, heading=f"Edit the seat {code}", back=back, words=code, drawn=drawn_from(seat))


def _form_page(
    request: PersonsRequest, form: OwnSeatForm, *, heading: str, back: str, words: str, drawn: object = ""
) -> HttpResponse:
    context = {"place": "desk", "form": form, "heading": heading, "back": back, "back_words": words}
    return render(request, "inventory/row_form.html", {**context, "hint": "", "drawn_from": drawn, "offers": {}})


def _page(
    request: PersonsRequest,
    seat: Seat,
    *,
    name_form: OtherNameForm | None = None,
    same_form: SameSeatForm | None = None,
) -> HttpResponse:
    used = users_of(seat)
    context = {
        "place": "desk",
        "seat": seat,
        "names": seat.other_names.select_related("added_by"),
        "used": used[:FEW],
        "further": max(0, len(used) - FEW),
        "can_go": seat.is_own and not is_used(seat),
        "name_form": name_form or OtherNameForm(of=seat),
        "same_form": same_form or SameSeatForm(seat=seat),
        "known": Seat.objects.exclude(pk=seat.pk).values_list("code", flat=True),
        "edits": edits(seat),
    }
    return render(request, "inventory/seat.html", context)


def _in_use() -> Counter[int | None]:
    """How many pieces and lathes each seat is named by."""
    counts: Counter[int | None] = Counter()
    for column in ("mounts_in", "offers"):
        counts.update(dict(Tool.objects.in_book().order_by().values_list(column).annotate(Count("pk"))))
    for lathe in Lathe.objects.filter(retired_at=None):
        counts.update({lathe.nose_id, lathe.headstock_taper_id, lathe.tailstock_taper_id, lathe.post_id})
    del counts[None]
    return counts
