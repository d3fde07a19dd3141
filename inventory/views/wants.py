"""Asking purchasing for something, and taking it back; what people looked for, dismissed."""

from urllib.parse import urlsplit

from django.contrib import messages
from django.db import transaction
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_POST

from inventory.models import Ask, Size, Want
from inventory.models.asks import lathe_in
from inventory.orders.ask_forms import DismissForm, DropForm, SizeForm, ThingForm
from inventory.orders.ordering import ask, step
from inventory.web.access import buyers_and_keepers, buyers_only
from inventory.web.redirects import safe_redirect


@require_POST
def want_add(request):
    form = SizeForm(request.POST)
    if not form.is_valid():
        for field, errors in form.errors.items():
            messages.error(request, f"Nothing was asked for. {form.fields[field].label or field}: {errors[0]}")
        return safe_redirect(request, "buying")
    size = Size.objects.of(form.figures, form.length)
    why = form.cleaned_data["why"]
    if lathe := lathe_in(urlsplit(request.POST.get("next", "")[:2000]).query):
        # The answer that it is asked from was for one lathe.
        why = f"{why}, on {lathe}".removeprefix(", ")[:200]
    if ask(size=size, why=why, by=request.user):
        messages.success(request, _asked_in_words(size, request.user))
    else:
        messages.info(request, f"{size} is asked for already.")
    return safe_redirect(request, "buying")


def _asked_in_words(what, by) -> str:
    if by.may_buy:
        return f"{what} is on the order list, to approve."
    return (
        f"{what} is asked for. It stands with your name under Buying, Order list, where purchasing sees it. "
        "Tell purchasing if you need it no more."
    )


@require_http_methods(["GET", "POST"])
def want_thing(request):
    """Ask for something that is no collet size: a holder, a key, what is counted."""
    if request.method == "GET":
        given = {name: request.GET[name] for name in ("what", "kind", "item") if name in request.GET}
        return _thing_page(request, ThingForm(initial=given))
    form = ThingForm(request.POST)
    if not form.is_valid():
        return _thing_page(request, form)
    asked = form.as_want()
    name = asked.get("what") or str(asked["item"])
    if ask(by=request.user, **asked):
        messages.success(request, _asked_in_words(name, request.user))
    else:
        messages.info(request, f"{name} is asked for already.")
    return safe_redirect(request, "buying")


def _thing_page(request, form):
    return render(request, "inventory/want_thing.html", {"place": "buying", "form": form})


@require_POST
@buyers_and_keepers
def ask_dismiss(request):
    form = DismissForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Nothing was dismissed: the page did not say what. Press Dismiss again.")
    elif Ask.objects.dismiss(**form.cleaned_data, at=timezone.now()):
        messages.success(request, f"{form.cleaned_data['read_as']} is dismissed. Asked for again, it comes back.")
    else:
        messages.info(request, f"{form.cleaned_data['read_as']} was dismissed already.")
    return redirect("buying")


@require_POST
@buyers_only
@transaction.atomic
def want_drop(request, pk):
    want = get_object_or_404(Want.objects.with_names().select_for_update(of=("self",)), pk=pk)
    form = DropForm(request.POST)
    if form.is_valid() and form.cleaned_data["undo"]:
        return _take_back(request, want)
    if step(want, Want.State.DROPPED):
        messages.success(request, f"{want.name} is no longer asked for.")
        return redirect(f"{reverse('buying')}?{urlencode({'dropped': want.pk})}")
    return redirect("buying")


def _take_back(request, want):
    # Where somebody asked for the same again since it was dropped, that want stands.
    if step(want, Want.State.WANTED):
        messages.success(request, f"{want.name} is asked for again.")
    else:
        messages.info(request, f"{want.name} is not dropped any more; nothing was changed.")
    return redirect("buying")
