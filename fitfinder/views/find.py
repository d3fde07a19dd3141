"""The home page: the question, and at the same address with a size, the answer."""

import hashlib
import uuid

from django.core.cache import cache
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET
from msgspec.structs import asdict

from fitfinder import crib
from fitfinder.find.answer import Answer
from fitfinder.find.form import FindForm
from fitfinder.find.page import page_of
from fitfinder.find.question import FIELDS, Question, keep_ask
from fitfinder.questions import QuestionError
from fitfinder.views.asking import last_chosen, no_size, refusal, remember_choice
from inventory.measures.lengths import Unit
from inventory.models import User
from inventory.web.access import PersonsRequest

_UNASKED = Question("")
"""All at its default."""
DAY = 24 * 60 * 60


@require_GET
def find(request: PersonsRequest) -> HttpResponse:
    texts = request.GET
    try:
        question = FindForm.question(texts)
    except QuestionError as error:
        return _ask(request, initial=texts.dict(), error=error)
    if "change" in texts:
        return _ask(request, initial=FindForm.drawn(asdict(question)))
    if not question.size:
        return _ask(request, initial=last_chosen(request), empty="size" in texts or "over" in texts)
    if question.shape_for_the_plan:
        return _to_plan(question)
    if "whole" in texts or "over" in texts or "parts" in texts:
        return _to_canonical(question)
    try:
        reply = question.answer(asker_id=request.user.pk)
    except QuestionError as error:
        return _ask(request, initial=asdict(question), error=error)
    _keep(question, reply, request.user)
    return _answer_page(request, question, reply)


def address_of(question: Question) -> str:
    """The whole question as a query string, without what is at its default."""
    texts = [(name, getattr(question, name), getattr(_UNASKED, name)) for name in FIELDS]
    return urlencode([(name, text) for name, text, default in texts if text and text != default])


def _to_canonical(question: Question) -> HttpResponse:
    response = redirect(f"{reverse('find')}?{address_of(question)}")
    remember_choice(response, lathe=question.lathe, unit=question.unit)
    return response


def _to_plan(question: Question) -> HttpResponse:
    asked = {"size": question.size, "lathe": question.lathe}
    if question.unit != Unit.INCH:
        asked["unit"] = question.unit
    return redirect(f"{reverse('plan')}?{urlencode(asked)}")


def _ask(
    request: HttpRequest, *, initial: dict[str, str], error: QuestionError | None = None, empty: bool = False
) -> HttpResponse:
    form = FindForm(initial=initial, lathes=crib.lathe_names())
    if empty:
        error = no_size()

    def address_with(reading: str) -> str:
        field = error.field if error else "size"
        return f"{reverse('find')}?{address_of(Question.from_texts({**initial, field: reading}))}"

    context = {
        "place": "find",
        "form": form,
        "is_unfolded": initial.get("unit") == "mm" or any(initial.get(name) for name in ("size2", "grade", "tir")),
        "is_empty": crib.is_empty(),
        **refusal(form, error, address_with),
    }
    return render(request, "fitfinder/find.html", context)


def _keep(question: Question, reply: Answer, user: User) -> None:
    """Once for a person and day: a page that is loaded again is not asked for again. Who asked is not kept.

    Of an empty book nothing can be found: what is asked of it says nothing of what the shop lacks.
    """
    if reply.is_satisfying or crib.is_empty():
        return
    address = address_of(question)
    if not cache.add(_once_a_day(address, user), 1, DAY):
        return
    try:
        keep_ask(question, reply, address)
    except OperationalError:
        # An answer is worth more than the note that it was asked for: a locked database must not cost it.
        return


def _once_a_day(address: str, user: User) -> str:
    return hashlib.sha256(f"{user.pk} {timezone.localdate()} {address}".encode()).hexdigest()


def _answer_page(request: HttpRequest, question: Question, reply: Answer) -> HttpResponse:
    return render(
        request,
        "fitfinder/answer.html",
        {
            "place": "find",
            "reply": reply,
            "page": page_of(reply, lathe=question.lathe),
            "address": address_of(question),
            "here": request.get_full_path(),
            "token": uuid.uuid4(),
            "is_empty": reply.verdict == "nothing" and crib.is_empty(),
        },
    )
