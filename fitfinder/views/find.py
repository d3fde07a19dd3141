"""The home page: the question, and at the same address with a size, the answer."""

import hashlib
import uuid

from django.core.cache import cache
from django.db import DatabaseError, connection
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET
from msgspec.structs import asdict, replace

from fitfinder import crib
from fitfinder.find.answer import Answer
from fitfinder.find.form import FindForm
from fitfinder.find.number_keys import TYPED, on_the_keys
from fitfinder.find.page import page_of
from fitfinder.find.question import Question, keep_ask
from fitfinder.questions import QuestionError
from fitfinder.views.asking import (
    asked_lately,
    asks_all_lathes,
    last_chosen,
    no_size,
    refusal,
    remember_asked,
    remember_choice,
    remember_lathe,
)
from inventory.keeping.concerns import concerns_of
from inventory.web.access import PersonsRequest

DAY = 24 * 60 * 60


@require_GET
def find(request: PersonsRequest) -> HttpResponse:
    texts = request.GET
    try:
        question = Question.from_texts(texts)
    except QuestionError as error:
        return _ask(request, initial=texts.dict(), error=error)
    if "change" in texts:
        return _ask(request, initial=on_the_keys(asdict(question)))
    if not question.size:
        return _ask_anew(request, is_empty="size" in texts or "over" in texts)
    if question.shape_for_the_plan:
        return _to_plan(question)
    if any(key in texts for key in TYPED):
        return _to_canonical(question)
    if asks_all_lathes(texts):
        return _of_all_lathes(question)
    try:
        reply = question.answer(asker_id=request.user.pk)
    except QuestionError as error:
        return _ask(request, initial=asdict(question), error=error)
    _keep(question, reply, request.user.pk)
    return _answer_page(request, question, reply)


def _to_canonical(question: Question) -> HttpResponse:
    response = redirect(f"{reverse('find')}?{question.address}")
    remember_choice(response, lathe=question.lathe, unit=question.unit)
    return response


def _of_all_lathes(question: Question) -> HttpResponse:
    response = redirect(f"{reverse('find')}?{question.address}")
    remember_lathe(response, "")
    return response


def _ask_anew(request: PersonsRequest, *, is_empty: bool) -> HttpResponse:
    """With what was chosen last on this device, which is said where it is a lathe."""
    initial = last_chosen(request)
    if not asks_all_lathes(request.GET):
        return _ask(request, initial=initial, empty=is_empty, lathe_meant=initial["lathe"])
    response = _ask(request, initial={**initial, "lathe": ""}, empty=is_empty)
    remember_lathe(response, "")
    return response


def _to_plan(question: Question) -> HttpResponse:
    asked = {"size": question.size, "lathe": question.lathe}
    if question.unit:
        asked["unit"] = question.unit
    return redirect(f"{reverse('plan')}?{urlencode(asked)}")


def _ask(
    request: PersonsRequest,
    *,
    initial: dict[str, str],
    error: QuestionError | None = None,
    empty: bool = False,
    lathe_meant: str = "",
) -> HttpResponse:
    lathes = crib.lathe_names()
    form = FindForm(initial=initial, lathes=lathes)
    if empty:
        error = no_size()

    def address_with(field: str, text: str) -> str:
        return f"{reverse('find')}?{Question.from_texts({**initial, field: text}).address}"

    context = {
        "place": "find",
        "form": form,
        "is_unfolded": any(initial.get(name) for name in ("size2", "grade", "tir", "unit")),
        "is_empty": crib.is_empty(),
        "lathe_meant": lathe_meant if lathe_meant in lathes else "",
        "lately": asked_lately(request),
        "concerns": concerns_of(request.user, at=timezone.now()),
        **refusal(form, error, address_with),
    }
    return render(request, "fitfinder/find.html", context)


def _keep(question: Question, reply: Answer, asker_id: int | None) -> None:
    """Once for a person and day: a page that is loaded again is not asked for again. Who asked is not kept.

    Of an empty book nothing can be found: what is asked of it says nothing of what the shop lacks.
    """
    if reply.is_satisfying or crib.is_empty():
        return
    once_a_day = f"{asker_id} {timezone.localdate()} {question.address}"
    if not cache.add(hashlib.sha256(once_a_day.encode()).hexdigest(), 1, DAY):
        return
    try:
        keep_ask(question, reply)
    except DatabaseError:
        # An answer is worth more than the note that it was asked for: a locked database must not cost it. The
        # connection may have been opened while the book could only be read, and would stay so.
        if not connection.in_atomic_block:
            connection.close()


def _answer_page(request: HttpRequest, question: Question, reply: Answer) -> HttpResponse:
    lately = [(words, query) for words, query in asked_lately(request) if query != question.address]
    response = render(
        request,
        "fitfinder/answer.html",
        {
            "place": "find",
            "reply": reply,
            "page": page_of(reply, lathe=question.lathe),
            "address": question.address,
            "lathe_meant": question.lathe,
            "address_of_all": replace(question, lathe="").address,
            "typed": question.size,
            "asked_again": [one for one in question.typed.items() if one[0] not in ("size", "size2", "grade")],
            "lately": lately[:4],
            "here": request.get_full_path(),
            "token": uuid.uuid4(),
            "is_empty": reply.verdict == "nothing" and crib.is_empty(),
        },
    )
    remember_asked(request, response, question.address)
    return response
