"""Addresses of before: a bookmark, a printed code and a page left open still lead where their page is now."""

from django.http import HttpRequest, HttpResponsePermanentRedirect
from django.urls import reverse


def to_buying(request: HttpRequest, rest: str = "") -> HttpResponsePermanentRedirect:
    """What stood under Missing stands under Buying; the query goes along, and what a form sends."""
    query = request.META["QUERY_STRING"]
    return HttpResponsePermanentRedirect(f"/buying/{rest}{f'?{query}' if query else ''}", preserve_request=True)


def to_the_shop(request: HttpRequest) -> HttpResponsePermanentRedirect:
    """The time zone had a page of its own; what its form sends arrives as well."""
    return HttpResponsePermanentRedirect(reverse("the_shop"), preserve_request=True)
