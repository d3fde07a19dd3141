"""What is answered when something goes wrong: a page that says what is kept and a way on, or JSON to a program."""

import sys
from collections.abc import Callable
from urllib.parse import urlsplit

from django.core.exceptions import DisallowedHost, RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.db import DatabaseError, OperationalError, connection
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.urls import Resolver404, resolve, reverse

from inventory.measures.lengths import shorten
from shop.server.lanes import most_bytes_to
from shop.trouble import opening_anew
from shop.trouble.failures import UNREACHABLE, failure_of

_TOO_BIG = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    if isinstance(exception, _TOO_BIG):
        return too_big(request)
    if isinstance(exception, DisallowedHost):
        words = "This computer does not answer under that name."
        return _answer(request, 400, words, {"is_unknown_name": True, "words": ""})
    return _answer(request, 400, "This request could not be read.", {"is_unknown_name": False, "words": ""})


def unreadable(request: HttpRequest, field: str, read: str, words: str) -> HttpResponse:
    """One text of the request cannot be taken as it is; `words` name it and say what is accepted."""
    if _wants_json(request):
        return _json(400, words, field=shorten(field), read=shorten(read))
    return render(request, "400.html", {"is_unknown_name": False, "words": words}, status=400)


def forbidden(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    words = str(exception or "") or "Your role may not do this."
    return _answer(request, 403, words, {"words": words})


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    return _answer(request, 403, "The token of the form is missing or too old.", {}, "403_csrf.html")


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    return _answer(request, 404, "There is no page at this address.", {"tag": _tag_in(request.path)})


def not_by_link(request: HttpRequest) -> HttpResponse:
    return _answer(request, 405, "This address does not answer that method.", {"page": _page_above(request.path)})


def too_big(request: HttpRequest) -> HttpResponse:
    return _answer(request, 413, "More was sent than is accepted.", {"most": most_bytes_to(request.path)})


def server_error(request: HttpRequest) -> HttpResponse:
    """500, or 503 or 507 where the book's disk or database is what failed; a page that reads nothing of the book."""
    error = sys.exc_info()[1]
    failure = failure_of(error)
    if failure is None and isinstance(error, OperationalError) and not _database_answers():
        failure = UNREACHABLE
    if failure:
        opening_anew.note(failure)
        response = _answer_without_the_book(request, failure.status, failure.what, {"failure": failure})
        response["Retry-After"] = str(failure.again_after)
        return response
    return _answer_without_the_book(request, 500, "Something went wrong here.", {})


def _database_answers() -> bool:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except DatabaseError:
        return False
    return True


def _answer(
    request: HttpRequest, status: int, words: str, context: dict[str, object], template: str = ""
) -> HttpResponse:
    if _wants_json(request):
        return _json(status, words)
    return render(request, template or f"{status}.html", context, status=status)


def _answer_without_the_book(request: HttpRequest, status: int, words: str, context: dict[str, object]) -> HttpResponse:
    """Who is signed in stands in the book too, so the page is made without any of it."""
    if _wants_json(request):
        return _json(status, words)
    is_sent = request.method not in ("GET", "HEAD")
    template = "500.html" if status == 500 else "503.html"
    page = render_to_string(template, {"is_sent": is_sent, "back": _came_from(request), **context})
    return HttpResponse(page, status=status)


def _json(status: int, words: str, *, field: str | None = None, read: str = "") -> JsonResponse:
    error = {"field": field, "read": read, "message": words, "suggest": None}
    return JsonResponse({"error": error}, status=status)


def _wants_json(request: HttpRequest) -> bool:
    kinds = ["text/html", "application/json"]
    return request.path.endswith(".json") or request.get_preferred_type(kinds) == "application/json"


def _came_from(request: HttpRequest) -> str:
    """The page of ours on which something was pressed, or Find."""
    came = urlsplit(request.headers.get("Referer", ""))
    is_ours = came.netloc and came.netloc == request.headers.get("Host")
    return came._replace(scheme="", netloc="").geturl() if is_ours else reverse("find")


def _tag_in(path: str) -> str:
    """What was taken for the tag of a piece in `/t/TAG/…`; empty for any other address."""
    before, _, rest = path.partition("/t/")
    return "" if before else rest.partition("/")[0][:20]


def _page_above(path: str) -> str:
    """A page near an address that only takes a press: of `/t/C-0011/issue/` the piece, else the first one above."""
    tag = _tag_in(path)
    if tag:
        return reverse("tool", args=[tag])
    above = f"/{path.split('/')[1]}/"
    try:
        resolve(above)
    except Resolver404:
        return reverse("find")
    return above if above != path else reverse("find")


class TellPlainly:
    """Middleware: refuses what is too big before it is read, and puts a page where Django answers with none."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if _bytes_of(request) > most_bytes_to(request.path):
            return too_big(request)
        response = self.get_response(request)
        if response.status_code != 405 or response.content:
            return response
        page = not_by_link(request)
        page["Allow"] = response["Allow"]
        return page


def _bytes_of(request: HttpRequest) -> int:
    length = request.META.get("CONTENT_LENGTH") or "0"
    return int(length) if length.isdecimal() else 0
