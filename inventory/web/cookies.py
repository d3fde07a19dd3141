"""What a device keeps of the last choice made on it."""

from urllib.parse import quote, unquote

from django.conf import settings
from django.http import HttpRequest, HttpResponse

_YEAR = 365 * 24 * 60 * 60


def remember(response: HttpResponse, cookie: str, text: str) -> None:
    # Quoted: a header has only the signs of latin-1, and a lathe may be called Łódź.
    response.set_cookie(cookie, quote(text), max_age=_YEAR, samesite="Lax", httponly=True, secure=settings.HTTPS)


def remembered(request: HttpRequest, cookie: str) -> str:
    return unquote(request.COOKIES.get(cookie, ""))
