"""The plan: the question, its answer as one table, and a page for each way."""

import uuid
from collections import Counter

from django.http import Http404, JsonResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.arithmetic.sums import sum_named
from fitfinder.plan import sheet as on_sheet
from fitfinder.plan import truth
from fitfinder.plan.chain_picture import chain_picture
from fitfinder.plan.drawings import minutes_against_parts
from fitfinder.plan.form import JobForm
from fitfinder.plan.plan_json import plan_json
from fitfinder.plan.question import JobQuestion
from fitfinder.plan.ways import METHODS
from fitfinder.plan.worked import guides, worked
from fitfinder.questions import QuestionError
from fitfinder.views.asking import last_chosen, no_size, refusal
from inventory.models import Lathe
from inventory.web.json_door import json_door

DEFAULTS = {"shape": "round", "unit": "in", "parts": "1", "setups": "1", "starts": "1"}
SELDOM = ("size2", "grade", "stick_out", "grip", "regrip", "throw", "taper", "starts", "weight", "fed", "both_ends",
          "unit")  # fmt: skip
"""What stands in a fold, open where it is used."""
SLUGS = {method.replace(" ", "-"): method for method in METHODS}


@require_GET
def plan(request):
    question = JobQuestion.from_texts(request.GET)
    if "size" not in question.texts or "change" in request.GET:
        return _ask(request, question, is_sent="size" in request.GET and "change" not in request.GET)
    try:
        reply = question.plan(asker_id=request.user.pk)
    except QuestionError as error:
        return _ask(request, question, error=error)
    lead = reply.usable[0] if reply.usable else None
    return render(
        request,
        "fitfinder/plan.html",
        {
            "place": "plan",
            "reply": reply,
            "asked_lathe": question.texts.get("lathe", ""),
            "address": address_of(question),
            "lead": lead,
            "ways": [(way, way.method.replace(" ", "-")) for way in reply.ways],
            "picture": minutes_against_parts(reply) if reply.job.parts > 1 else None,
            "is_of_one_lathe": len({way.lathe.id for way in reply.ways if way.lathe and way.can}) < 2,
            "why": _shared_reason(reply),
            "is_empty": lead is None and crib.is_empty(),
            "instead": [] if reply.is_possible else _instead(question, request.user.pk),
        },
    )


def _shared_reason(reply) -> str:
    """What stands in the way of most where none is possible: said once. Empty where each has its own reason."""
    if reply.is_possible:
        return ""
    (reason, count), *_ = Counter(way.why_not for way in reply.ways).most_common(1)
    return reason if count > len(reply.ways) // 2 else ""


def _instead(question: JobQuestion, asker_id: int) -> list[tuple[str, str]]:
    """Where it could be held after all: on another lathe, or cut to length; each with the address of its plan."""
    tries = [("On another lathe", {"lathe": ""}), ("Cut to length, not fed", {"fed": ""})]
    tries.append(("Cut to length, on another lathe", {"lathe": "", "fed": ""}))
    found = []
    for words, change in tries:
        if found or not all(question.texts.get(name) for name in change):
            continue
        other = JobQuestion({**question.texts, **change})
        lead = next((way for way in other.plan(asker_id=asker_id).ways if way.is_here), None)
        if lead is not None:
            where = f" on {lead.lathe.name}" if lead.lathe else ""
            found.append((f"{words}: {lead.method}{where}", f"{reverse('plan')}?{address_of(other)}"))
    return found


@require_GET
def way(request, slug):
    question, reply = JobQuestion.from_texts(request.GET), None
    if slug not in SLUGS:
        raise Http404(f"There is no way to hold called “{slug}”.")
    try:
        reply = question.plan(asker_id=request.user.pk)
    except QuestionError as error:
        return _ask(request, question, error=error)
    found = next(way for way in reply.ways if way.method == SLUGS[slug])
    return render(
        request,
        "fitfinder/way.html",
        {
            "place": "plan",
            "reply": reply,
            "way": found,
            "address": address_of(question),
            "slug": slug,
            "steps": on_sheet.steps(found),
            "numbers": on_sheet.numbers(found),
            "good_to_know": [reason for reason in found.reasons if not reason.startswith(truth.BETWEEN)],
            "sums": _sums(found),
            "guides": [(words, _sum_address(name, texts)) for words, name, texts in guides(found)],
            "picture": chain_picture(found),
            "token": uuid.uuid4(),
        },
    )


@json_door
def plan_as_json(request):
    try:
        reply = JobQuestion.from_texts(request.GET).plan(asker_id=request.user.pk)
    except QuestionError as error:
        return JsonResponse(error.as_json(), status=400)
    return JsonResponse(plan_json(reply))


def _sums(way) -> list[tuple[str, str]]:
    """The sums behind the numbers of this way, each with its address."""
    return list(
        {
            one.sum_name: (sum_named(one.sum_name).title, _sum_address(one.sum_name, one.texts)) for one in worked(way)
        }.values()
    )


def _sum_address(name: str, texts: dict[str, str]) -> str:
    return reverse("arithmetic", args=[name]) + (f"?{urlencode(texts)}" if texts else "")


def address_of(question: JobQuestion) -> str:
    """The whole question as a query string, without what is at its default."""
    query = QueryDict(mutable=True)
    for name, text in question.texts.items():
        if text != DEFAULTS.get(name):
            query[name] = text
    return query.urlencode()


def _ask(request, question: JobQuestion, *, error: QuestionError | None = None, is_sent: bool = False):
    form = JobForm(initial=question.texts or last_chosen(request), lathes=crib.lathe_names())
    if is_sent:
        error = no_size()

    def address_with(reading: str) -> str:
        return f"{reverse('plan')}?{address_of(JobQuestion({**question.texts, error.field: reading}))}"

    used = {name for name, text in question.texts.items() if text != DEFAULTS.get(name)}
    return render(
        request,
        "fitfinder/plan_ask.html",
        {
            "place": "plan",
            "form": form,
            "is_empty": crib.is_empty(),
            "lathes": Lathe.objects.filter(retired_at=None),
            **refusal(form, error, address_with),
            "is_unfolded": bool(used & set(SELDOM)) or (error is not None and error.field in SELDOM),
        },
    )
