"""What fits this tailstock, which center, and which holder: three questions that answer by themselves."""

import uuid

from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.find.question import no_such_lathe
from fitfinder.questions import QuestionError
from fitfinder.seating.centers import CenterAsked, cautions, lacking, which_center
from fitfinder.seating.forms import CenterForm, HolderForm
from fitfinder.seating.holders import HolderAsked, on_the_post_itself, which_holder
from fitfinder.seating.reader import seating_floor
from fitfinder.seating.tailstock import CENTERS, KINDS, in_tailstock
from fitfinder.seating.tools import NO, SERVES
from fitfinder.views.find import last_chosen
from fitfinder.views.refusals import refusal
from inventory.models import Lathe

HOLDER_KINDS = ("tool-post holder", "knurling head")


@require_GET
def tailstock(request, pk):
    """What goes into the tailstock of this lathe, by groups."""
    row = get_object_or_404(Lathe.objects.filter(retired_at=None), pk=pk)
    now = seating_floor(row.name, kinds=KINDS, asker_id=request.user.pk)
    if now is None:
        raise Http404(f"{row.name} is no lathe in use.")
    groups = in_tailstock(now.lathe, now.tools, now.sleeves, now.floor)
    return render(
        request,
        "fitfinder/tailstock.html",
        {
            "place": "plan",
            "lathe": row,
            "taper": now.lathe.tailstock_taper,
            "groups": [(heading, *_parted(matches)) for heading, matches in groups.items()],
            "others": Lathe.objects.filter(retired_at=None).exclude(pk=pk),
        },
    )


@require_GET
def center(request):
    """Which center for this work on this lathe."""
    texts = _texts(request, CenterForm)
    return _asked(
        request,
        "fitfinder/which_center.html",
        CenterForm,
        texts,
        lambda now: _centers(CenterAsked.from_texts(texts), now),
        kinds=CENTERS,
        is_asked="lathe" in request.GET,
    )


@require_GET
def holder(request):
    """Which holder takes this shank on the post of this lathe."""
    texts = _texts(request, HolderForm)
    return _asked(
        request,
        "fitfinder/which_holder.html",
        HolderForm,
        texts,
        lambda now: _holders(HolderAsked.from_texts(texts), now),
        kinds=HOLDER_KINDS,
        is_asked="shank" in request.GET,
    )


def _centers(asked: CenterAsked, now) -> dict:
    matches = which_center(asked, now.lathe, now.tools, now.floor)
    serving, not_serving = _parted(matches)
    best = serving[0] if serving else None
    return {
        "asked": asked,
        "best": best,
        **_ranked(best, serving[1:], not_serving),
        "seat": _seat("tailstock", now.lathe.tailstock_taper),
        "cautions": cautions(asked, best),
        "lacking": lacking(asked, now.lathe, matches),
    }


def _holders(asked: HolderAsked, now) -> dict:
    serving, not_serving = _parted(which_holder(asked, now.lathe, now.tools))
    heads = on_the_post_itself(asked, now.lathe, now.tools)
    best = serving[0] if serving else None
    others = [*serving[1:], *heads]
    return {"asked": asked, "best": best, "seat": _seat("post", now.lathe.post), **_ranked(best, others, not_serving)}


def _seat(where: str, seat) -> str:
    return f"{where}, {seat.code}" if seat else where


def _ranked(best, others, rest) -> dict:
    """Beside one that serves, those that want a look first are folded; else they are what there is."""
    is_sure = best is not None and best.state == SERVES
    return {
        "serving": [match for match in others if not is_sure or match.state == SERVES],
        "folded": [match for match in others if is_sure and match.state != SERVES],
        "rest": rest,
        "nothing_serves": best is None,
    }


def _parted(matches):
    return [match for match in matches if match.state != NO], [match for match in matches if match.state == NO]


def _texts(request, form) -> dict[str, str]:
    names = [*form.base_fields, "unit"]
    return {name: text for name in names if (text := str(request.GET.get(name, "")).strip())}


def _asked(request, template, form_class, texts, answer, *, kinds, is_asked):
    """The form, and below the question its answer; what cannot be read is said beside its field."""
    names, error, found, lathe = crib.lathe_names(), None, {}, None
    last = last_chosen(request)
    here = last["lathe"] if last["lathe"] in names else next(iter(names), "")
    chosen = texts.get("lathe") or here
    if is_asked:
        try:
            now = seating_floor(chosen, kinds=kinds, asker_id=request.user.pk)
            if now is None:
                raise no_such_lathe(chosen)
            lathe, found = now.lathe, answer(now)
        except QuestionError as refused:
            error = refused
    if not is_asked:
        texts = {"unit": last["unit"], **texts}
    form = form_class(initial={**texts, "lathe": chosen}, lathes=names)
    return render(
        request,
        template,
        {
            "place": "plan",
            "form": form,
            **refusal(form, error),
            "lathe": lathe,
            "here": request.get_full_path(),
            "token": uuid.uuid4(),
            "sleeve_token": uuid.uuid4(),
            "asked": None,
            **found,
        },
        status=400 if error else 200,
    )
