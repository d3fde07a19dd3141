"""What a browser or a program sends, cleaned once, before a page, a form or a library sees any of it.

A text that holds what no text may hold, or that is too long, is refused with a sentence that names where it stood.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from ipaddress import ip_address
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.handlers.wsgi import WSGIRequest
from django.http import HttpRequest, HttpResponse
from django.utils.http import parse_header_parameters

from inventory.measures.lengths import shorten
from inventory.measures.signs import bad_sign, trouble_with
from shop.trouble import pages as trouble

MOST_IN_ADDRESS, MOST_IN_HEADER, MOST_IN_FIELD = 8_000, 8_000, 50_000
"""Signs of one text. A note of a piece is the longest that anybody writes; forms have their own, narrower limits."""

_FORWARDED = ("HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_PROTO", "HTTP_X_FORWARDED_HOST", "HTTP_FORWARDED")
_UTF_8 = re.compile(r"utf-?8|us-ascii|", re.IGNORECASE)

Answer = Callable[[HttpRequest], HttpResponse]


class PlainRequest(WSGIRequest):
    """A request of which the encoding is not taken from what was sent.

    Django reads the address in that encoding while it makes the request, where no page can be answered yet.
    """

    def _set_content_type_params(self, meta: dict[str, Any]) -> None:
        try:
            self.content_type, self.content_params = parse_header_parameters(meta.get("CONTENT_TYPE", ""))
        except Exception:  # the library that reads mail raises anything at a header that is none
            self.content_type, self.content_params = "", {"charset": "?"}


class KnownDevice:
    """Middleware: `REMOTE_ADDR` is the address of the device that asked, also behind a proxy that is named.

    Whoever else sends the headers of a proxy only claims something: they are dropped.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        sent = request.META
        device = address_of_device(sent)
        if not _is_by_proxy(sent):
            for name in _FORWARDED:
                sent.pop(name, None)
        sent["REMOTE_ADDR"] = device
        return self.get_response(request)


def address_of_device(sent: dict[str, Any]) -> str:
    """Who asked, by what the server saw and, where that is a proxy that is named, by what the proxy saw."""
    if _is_by_proxy(sent):
        # The last one is what the proxy saw; those before it are what it was told.
        claimed = _address(sent.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip())
        if claimed:
            return claimed
    return _address(sent.get("REMOTE_ADDR", "")) or "127.0.0.1"


def _is_by_proxy(sent: dict[str, Any]) -> bool:
    return _address(sent.get("REMOTE_ADDR", "")) in settings.TRUSTED_PROXIES


def _address(text: str) -> str:
    """The address as it is usually written, without a port; empty where it is none."""
    bare = re.sub(r"^\[(.*)\](?::\d+)?$|^([\d.]+):\d+$", r"\1\2", text)
    try:
        address = ip_address(bare.partition("%")[0])
    except ValueError:
        return ""
    # A server that listens to both families sees 192.0.2.7 as ::ffff:192.0.2.7.
    return str(getattr(address, "ipv4_mapped", None) or address)


class PlainTexts:
    """Middleware: every text of an address and a header can be read, kept and shown, or the request is refused."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        _drop_what_nobody_typed(request)
        if bad_sign(request.path):
            return trouble.not_found(request)
        encoding = (request.content_params or {}).get("charset", "")
        if not _UTF_8.fullmatch(encoding):
            words = f"The header “Content-Type” names the encoding “{shorten(encoding)}”; UTF-8 is accepted."
            return trouble.unreadable(request, "Content-Type", encoding, words)
        return (
            _refusal(request, "header", _headers(request), MOST_IN_HEADER)
            or _refusal(request, "parameter", _texts(request.GET), MOST_IN_ADDRESS)
            or self.get_response(request)
        )


class PlainForms:
    """Middleware behind the door: whoever is not let in has nothing read of what was sent."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        if request.method != "POST":
            return None
        return _refusal(request, "field", _texts(request.POST), MOST_IN_FIELD)


def _drop_what_nobody_typed(request: HttpRequest) -> None:
    """A cookie or a Referer that cannot be read is as good as none: a person could do nothing about it."""
    for name in [name for name, text in request.COOKIES.items() if bad_sign(name) or bad_sign(text)]:
        del request.COOKIES[name]
    try:
        urlsplit(request.META.get("HTTP_REFERER", "")).port  # noqa: B018 - raises where it is none
    except ValueError:
        del request.META["HTTP_REFERER"]
    try:
        request.accepted_types  # noqa: B018 - read now, and kept
    except Exception:  # the library that reads mail raises anything at a header that is none
        del request.META["HTTP_ACCEPT"]
        request.__dict__.pop("headers", None)


def _headers(request: HttpRequest) -> Iterator[tuple[str, str]]:
    for name, text in request.headers.items():
        if name != "Cookie":
            # A server hands out each byte as a sign of its own.
            yield name, text.encode("latin-1", "replace").decode("utf-8", "replace")


def _texts(sent: Any) -> Iterator[tuple[str, str]]:
    for name, texts in sent.lists():
        yield name, name
        for text in texts:
            yield name, text


def _refusal(request: HttpRequest, what: str, texts: Iterable[tuple[str, str]], most: int) -> HttpResponse | None:
    for name, text in texts:
        if wrong := trouble_with(text, most=most):
            return trouble.unreadable(request, name, text, f"The {what} “{shorten(name)}” {wrong}")
    return None
