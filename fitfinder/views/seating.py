"""What fits this tailstock, which center, and which holder: three questions that answer by themselves."""

import uuid
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.holding.pieces import SeatOnHand
from fitfinder.questions import QuestionError, no_such_lathe
from fitfinder.seating.centers import CenterQuestion, cautions, lacking, which_center
from fitfinder.seating.forms import CenterForm, HolderForm, SeatForm
from fitfinder.seating.holders import HolderQuestion, on_the_post_itself, which_holder
from fitfinder.seating.reader import SeatingCrib, seating_crib
from fitfinder.seating.tailstock import CENTERS, KINDS, in_tailstock
from fitfinder.seating.tools import ToolFit
from fitfinder.views.asking import last_chosen, refusal
from inventory.models import Lathe
from inventory.reference.kinds import Kind


@require_GET
def tailstock(request: HttpRequest, pk: int) -> HttpResponse:
    """What goes into the tailstock of this lathe, by groups."""
    row = get_object_or_404(Lathe.objects.filter(retired_at=None), pk=pk)
    now = seating_crib(row.name, kinds=KINDS, asker_id=request.user.pk)
    if now is None:
        raise Http404(f"{row.name} is no lathe in use.")
    groups = in_tailstock(now.lathe, now.tools, now.sleeves, now.rig)
    return render(
        request,
        "fitfinder/tailstock.html",
        {
            "place": "plan",
            "lathe": row,
            "taper": now.lathe.tailstock_taper,
            "groups": [(heading, *_parted(fits)) for heading, fits in groups.items()],
            "others": Lathe.objects.filter(retired_at=None).exclude(pk=pk),
        },
    )


@require_GET
def center(request: HttpRequest) -> HttpResponse:
    """Which center for this work on this lathe."""
    texts = _texts(request, CenterForm)
    if "lathe" not in request.GET:
        return _ask(request, "fitfinder/which_center.html", CenterForm, texts)
    try:
        now = _on_hand(request, texts, CENTERS)
        asked = CenterQuestion.from_texts(texts)
    except QuestionError as error:
        return _ask(request, "fitfinder/which_center.html", CenterForm, texts, error)
    serving, not_serving = _parted(which_center(asked, now.lathe, now.tools, now.rig))
    best = serving[0] if serving else None
    context = {
        "form": _form(CenterForm, texts),
        "asked": asked,
        "lathe": now.lathe,
        "seat": _seat("tailstock", now.lathe.tailstock_taper),
        "cautions": cautions(best),
        "lacking": lacking(asked, now.lathe, serving),
        **_fits(best, serving[1:], not_serving),
    }
    return _answer(request, "fitfinder/which_center.html", context)


@require_GET
def holder(request: HttpRequest) -> HttpResponse:
    """Which holder takes this shank on the post of this lathe."""
    texts = _texts(request, HolderForm)
    if "shank" not in request.GET:
        return _ask(request, "fitfinder/which_holder.html", HolderForm, texts)
    try:
        now = _on_hand(request, texts, (Kind.TOOL_POST_HOLDER, Kind.KNURLING_HEAD))
        asked = HolderQuestion.from_texts(texts)
    except QuestionError as error:
        return _ask(request, "fitfinder/which_holder.html", HolderForm, texts, error)
    serving, not_serving = _parted(which_holder(asked, now.lathe, now.tools))
    best = serving[0] if serving else None
    others = [*serving[1:], *on_the_post_itself(asked, now.lathe, now.tools)]
    context = {
        "form": _form(HolderForm, texts),
        "asked": asked,
        "lathe": now.lathe,
        "seat": _seat("post", now.lathe.post),
        **_fits(best, others, not_serving),
    }
    return _answer(request, "fitfinder/which_holder.html", context)


def _texts(request: HttpRequest, form: type[SeatForm]) -> dict[str, str]:
    """What was asked; where no lathe was, the last one asked about on this device, or the first."""
    names = ["lathe", "unit", *form.base_fields]
    texts = {name: text for name in names if (text := request.GET.get(name, "").strip())}
    if "unit" not in texts and (unit := crib.unit_of_addresses()) and "lathe" in texts:
        texts["unit"] = unit
    if "lathe" not in texts:
        lathes, last = crib.lathe_names(), last_chosen(request)["lathe"]
        texts["lathe"] = last if last in lathes else next(iter(lathes), "")
    return texts


def _on_hand(request: HttpRequest, texts: dict[str, str], kinds: tuple[Kind, ...]) -> SeatingCrib:
    now = seating_crib(texts["lathe"], kinds=kinds, asker_id=request.user.pk)
    if now is None:
        raise no_such_lathe(texts["lathe"], crib.lathe_names())
    return now


def _form(form: type[SeatForm], texts: dict[str, str]) -> SeatForm:
    return form(initial=texts, lathes=crib.lathe_names())


def _ask(
    request: HttpRequest,
    template: str,
    form_class: type[SeatForm],
    texts: dict[str, str],
    error: QuestionError | None = None,
) -> HttpResponse:
    """The form; what cannot be read is said beside its field."""
    form = _form(form_class, texts if error else {"unit": last_chosen(request)["unit"], **texts})
    context = {"place": "plan", "form": form, "asked": None, **refusal(form, error)}
    return render(request, template, context, status=400 if error else 200)


def _answer(request: HttpRequest, template: str, context: dict[str, Any]) -> HttpResponse:
    own = {"place": "plan", "here": request.get_full_path(), "token": uuid.uuid4(), "sleeve_token": uuid.uuid4()}
    return render(request, template, own | context)


def _seat(where: str, seat: SeatOnHand | None) -> str:
    return f"{where}, {seat.code}" if seat else where


def _fits(best: ToolFit | None, others: list[ToolFit], not_serving: list[ToolFit]) -> dict[str, Any]:
    """Beside one that serves, those that want a look first are folded; else they are what there is."""
    is_sure = best is not None and best.is_sure
    return {
        "best": best,
        "serving": [fit for fit in others if not is_sure or fit.is_sure],
        "folded": [fit for fit in others if is_sure and not fit.is_sure],
        "not_serving": not_serving,
    }


def _parted(fits: list[ToolFit]) -> tuple[list[ToolFit], list[ToolFit]]:
    return [fit for fit in fits if fit.does_serve], [fit for fit in fits if not fit.does_serve]
