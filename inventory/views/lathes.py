"""The lathes: what they have, and what is mounted on them."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.keeping.lathes import LatheForm
from inventory.keeping.mounting import on_it
from inventory.models import Lathe, Seat
from inventory.views.keeping import tell_own_seats
from inventory.views.mounting import with_newest
from inventory.web.access import keepers_only
from inventory.web.changes import changed_meanwhile, drawn_from

_SEATS = ("nose", "headstock_taper", "tailstock_taper", "post")
_FACTS = (
    *_SEATS, "spindle_bore", "spindle_length", "swing_over_bed", "swing_over_slide", "between_centers",
    "slowest_rpm", "fastest_rpm", "nose_tir",
)  # fmt: skip


@require_GET
def lathe_list(request):
    lathes = Lathe.objects.select_related(*_SEATS).order_by("retired_at", "name")
    return render(request, "inventory/lathe_list.html", {"place": "desk", "lathes": lathes})


@require_GET
def lathe(request, pk):
    lathe = get_object_or_404(Lathe.objects.select_related(*_SEATS), pk=pk)
    facts = [(lathe._meta.get_field(name).verbose_name, getattr(lathe, name)) for name in _FACTS]
    return render(
        request,
        "inventory/lathe.html",
        {
            "place": "desk",
            "lathe": lathe,
            "facts": [(words.capitalize(), _told(value)) for words, value in facts if value is not None],
            "unknown": [words for words, value in facts if value is None],
            "mounted": on_it(lathe, with_newest),
            "belongings": lathe.belongings.in_book().for_list(),
        },
    )


def _told(value) -> str:
    return value.told if isinstance(value, Seat) else str(value)


@require_http_methods(["GET", "POST"])
@keepers_only
def lathe_add(request):
    form = LatheForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and (lathe := _kept(form)):
        messages.success(request, f"{lathe} is kept.")
        tell_own_seats(request, form)
        return redirect("lathe", lathe.pk)
    return _form_page(request, form, heading="Enter a lathe")


@require_http_methods(["GET", "POST"])
@keepers_only
def lathe_edit(request, pk):
    if request.method == "POST":
        return _edited(request, pk)
    lathe = get_object_or_404(Lathe, pk=pk)
    return _form_page(request, LatheForm(instance=lathe), heading=f"Edit {lathe}", drawn_from=drawn_from(lathe))


@transaction.atomic
def _edited(request, pk):
    """Locked from the look at its history on: what somebody else changed is not overwritten unseen."""
    lathe = get_object_or_404(Lathe.objects.select_for_update(), pk=pk)
    heading, form = f"Edit {lathe}", LatheForm(request.POST, instance=lathe)
    meanwhile = changed_meanwhile(lathe, request.POST)
    if meanwhile and not form.is_valid():
        form.add_error(None, meanwhile)
    if form.is_valid() and (kept := _kept(form, meanwhile)):
        if form.has_changed_lathe:
            messages.success(request, f"{kept} is changed.")
        else:
            messages.info(request, "Nothing was changed.")
        tell_own_seats(request, form)
        return redirect("lathe", kept.pk)
    return _form_page(request, form, heading=heading, drawn_from=drawn_from(lathe))


@require_POST
@keepers_only
def lathe_retire(request, pk):
    lathe = get_object_or_404(Lathe, pk=pk)
    if lathe.retired_at is None:
        lathe.retired_at = timezone.now()
        lathe.save()
        messages.success(request, f"{lathe} is retired, and is no longer offered.")
    return redirect("lathe", lathe.pk)


@require_POST
@keepers_only
def lathe_unretire(request, pk):
    lathe = get_object_or_404(Lathe, pk=pk)
    if lathe.retired_at is not None:
        lathe.retired_at = None
        lathe.save()
        messages.success(request, f"{lathe} is back in use.")
    return redirect("lathe", lathe.pk)


def _form_page(request, form, **context):
    for name in _SEATS:
        form.fields[name].widget.attrs["list"] = "seats"
    return render(
        request,
        "inventory/lathe_form.html",
        {"place": "desk", "form": form, "seats": Seat.objects.all(), **context},
    )


def _kept(form, meanwhile=""):
    """The lathe, or None where somebody else took its name a moment ago; the form then says it.

    `meanwhile` is what somebody else changed since the page was drawn: over that nothing else is kept.
    """
    name = form.cleaned_data["name"]
    try:
        with transaction.atomic():
            lathe = form.save()
            if meanwhile and form.has_changed_lathe:
                raise ValidationError(meanwhile)
            return lathe
    except ValidationError as error:
        form.add_error(None, error.messages)
    except IntegrityError:
        if not Lathe.objects.filter(name__iexact=name).exists():
            raise
        form.add_error("name", "There is a lathe of this name already.")
    return None
