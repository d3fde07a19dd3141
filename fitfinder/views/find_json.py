"""The answer for other programs: signed in, or with a read token."""

from functools import wraps

import msgspec
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse, JsonResponse
from django.views.decorators.http import require_GET

from fitfinder.find.answer_json import answer_json
from fitfinder.find.question import Question
from fitfinder.questions import QuestionError
from inventory.models import ReadToken


def json_door(view):
    """Lets a program through that signed in or brings a read token; says 401 as JSON to any other."""

    @login_not_required
    @require_GET
    @wraps(view)
    def checked(request):
        if may_read(request):
            return view(request)
        message = "Sign in, or send a read token as Authorization: Bearer …"
        body = {"error": {"field": "authorization", "read": "", "message": message, "suggest": None}}
        return JsonResponse(body, status=401, headers={"WWW-Authenticate": "Bearer"})

    return checked


@json_door
def find_json(request):
    try:
        reply = Question.from_texts(request.GET).answer(asker_id=request.user.pk)
    except QuestionError as error:
        return JsonResponse(error.as_json(), status=400)
    return HttpResponse(msgspec.json.encode(answer_json(reply)), content_type="application/json")


def may_read(request) -> bool:
    """Whether a person is signed in or a good read token came along."""
    if request.user.is_authenticated:
        return True
    kind, _, text = request.headers.get("Authorization", "").partition(" ")
    return kind.lower() == "bearer" and bool(text.strip()) and ReadToken.objects.is_good(text.strip())
