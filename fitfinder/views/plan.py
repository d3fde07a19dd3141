"""The plan: the question, its answer as one table, and a page for each way."""

import uuid
from collections.abc import Mapping

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode
from django.views.decorators.http import require_GET

from fitfinder import crib
from fitfinder.arithmetic.sums import sum_named
from fitfinder.holding.way import Way
from fitfinder.plan import sheet, telling
from fitfinder.plan.form import TYPED, JobForm
from fitfinder.plan.page import page_of, way_page_of
from fitfinder.plan.question import JobQuestion
from fitfinder.plan.sheet import SumAsked
from fitfinder.questions import QuestionError
from fitfinder.views.asking import asks_all_lathes, last_chosen, method_called, no_size, refusal, remember_lathe
from inventory.models import Lathe
from inventory.web.json_door import json_door

SELDOM = ("size2", "grade", "stick_out", "grip", "regrip", "turned", "throw", "taper", "taper_length", "starts",
          "weight", "material", "fed", "unit")  # fmt: skip
"""What stands in a fold, open where it is used."""


@require_GET
def plan(request: HttpRequest) -> HttpResponse:
    question = JobQuestion.from_texts(request.GET)
    if "size" not in question.texts or "change" in request.GET:
        return _ask(request, question, is_sent="size" in request.GET and "change" not in request.GET)
    try:
        reply = question.plan(asker_id=request.user.pk)
    except QuestionError as error:
        return _ask(request, question, error=error)
    response = render(
        request,
        "fitfinder/plan.html",
        {
            "place": "plan",
            "reply": reply,
            "lathe_meant": question.texts.get("lathe", ""),
            "address_of_all": question.changed(lathe="").address,
            "page": page_of(reply, lathe=question.texts.get("lathe", "")),
            "address": question.address,
            "here": request.get_full_path(),
            "is_empty": reply.lead is None and crib.is_empty(),
            "instead": [] if reply.is_possible else _instead(question, request.user.pk),
        },
    )
    if asks_all_lathes(request.GET) or _is_of_the_form(request.GET):
        remember_lathe(response, question.texts.get("lathe", ""))
    return response


def _is_of_the_form(texts: Mapping[str, str]) -> bool:
    """Whether the form was sent: it sends what is empty too, and an address that is passed on leaves it out."""
    return "lathe" in texts and "" in (texts.get("size2"), texts.get("bore"), texts.get("throw"))


def _instead(question: JobQuestion, asker_id: int | None) -> list[tuple[str, str]]:
    """Where it could be held after all: on another lathe, or cut to length; each with the address of its plan."""
    tries = [("On another lathe", {"lathe": ""}), ("Cut to length, not fed", {"fed": ""})]
    tries.append(("Cut to length, on another lathe", {"lathe": "", "fed": ""}))
    for words, change in tries:
        if not all(question.texts.get(name) for name in change):
            continue
        other = question.changed(**change)
        lead = other.plan(asker_id=asker_id).lead
        if lead is not None:
            where = f" on {lead.lathe.name}" if lead.lathe else ""
            return [(f"{words}: {lead.method}{where}", f"{reverse('plan')}?{other.address}")]
    return []


@require_GET
def way(request: HttpRequest, slug: str) -> HttpResponse:
    method, question = method_called(slug), JobQuestion.from_texts(request.GET)
    try:
        reply = question.plan(asker_id=request.user.pk)
    except QuestionError as error:
        return _ask(request, question, error=error)
    chosen = reply.by(method)
    return render(
        request,
        "fitfinder/way.html",
        {
            "place": "plan",
            "reply": reply,
            "way": chosen,
            "page": way_page_of(chosen),
            "address": question.address,
            "sums": _sums(chosen),
            "guides": [(guide.words, _sum_address(guide)) for guide in sheet.guides(chosen)],
            "token": uuid.uuid4(),
            "typed": {name: request.GET.get(name, "") for name in TYPED},
        },
    )


@json_door
def plan_as_json(request: HttpRequest) -> JsonResponse:
    try:
        reply = JobQuestion.from_texts(request.GET).plan(asker_id=request.user.pk)
    except QuestionError as error:
        return JsonResponse(error.as_json(), status=400)
    return JsonResponse(telling.as_json(reply))


def _sums(way: Way) -> list[tuple[str, str]]:
    """The sums behind the numbers of this way, each once with its title and address."""
    by_name = {one.name: one for one in sheet.worked(way)}
    return [(sum_named(name).title, _sum_address(one)) for name, one in by_name.items()]


def _sum_address(asked: SumAsked) -> str:
    return reverse("arithmetic", args=[asked.name]) + (f"?{urlencode(asked.texts)}" if asked.texts else "")


def _ask(
    request: HttpRequest, question: JobQuestion, *, error: QuestionError | None = None, is_sent: bool = False
) -> HttpResponse:
    initial = question.texts or last_chosen(request)
    asks_all = asks_all_lathes(request.GET)
    if asks_all:
        initial = {**initial, "lathe": ""}
    lathes, chosen = crib.lathe_names(), initial.get("lathe", "")
    form = JobForm(initial=initial, lathes=lathes)
    refused = no_size() if is_sent else error

    def address_with(field: str, text: str) -> str:
        return f"{reverse('plan')}?{question.changed(**{field: text}).address}"

    used = {*question.typed, *([refused.field] if refused else [])}
    response = render(
        request,
        "fitfinder/plan_ask.html",
        {
            "place": "plan",
            "form": form,
            "lathe_meant": chosen if not question.texts and chosen in lathes else "",
            "is_empty": crib.is_empty(),
            "lathes": Lathe.objects.filter(retired_at=None),
            **refusal(form, refused, address_with),
            "is_unfolded": not used.isdisjoint(SELDOM),
        },
    )
    if asks_all:
        remember_lathe(response, "")
    return response
