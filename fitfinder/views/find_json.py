"""The answer of Find for other programs."""

import msgspec
from django.http import HttpRequest, HttpResponse, JsonResponse

from fitfinder.find.question import Question
from fitfinder.find.telling import answer_json
from fitfinder.questions import QuestionError
from inventory.web.json_door import json_door


@json_door
def find_json(request: HttpRequest) -> HttpResponse:
    try:
        reply = Question.from_texts(request.GET).answer(asker_id=request.user.pk)
    except QuestionError as error:
        return JsonResponse(error.as_json(), status=400)
    return HttpResponse(msgspec.json.encode(answer_json(reply)), content_type="application/json")
