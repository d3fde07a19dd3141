"""Long lists for other programs: a page at a time, and what is said of a question that cannot be read."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.db.models import Model, QuerySet
from django.http import HttpRequest, JsonResponse

from inventory.measures.lengths import shorten
from inventory.models import Lathe

PER_PAGE = 200
_MOST_DIGITS = 6

Json = dict[str, Any]
Row = TypeVar("Row", bound=Model)


class ListError(ValueError):
    """A list that cannot be given: which field of the address, what was read, and what is accepted."""

    def __init__(self, message: str, *, field: str, read: str) -> None:
        super().__init__(message)
        self.message, self.field, self.read = message, field, read

    def answer(self) -> JsonResponse:
        error = {"field": self.field, "read": shorten(self.read), "message": self.message, "suggest": None}
        return JsonResponse({"error": error}, status=400)


def page_of(request: HttpRequest, rows: QuerySet[Row], item: Callable[[Row], Json]) -> JsonResponse:
    """`{"items": […], "next": "…" | null}` of the page that is asked for; `next` is an address of this server.

    In the order in which the rows were entered, so that what is entered meanwhile comes on the last page. Raises
    ListError.
    """
    pages = Paginator(rows.order_by("pk"), PER_PAGE)
    number = _page_number(request.GET.get("page", "1"), pages.num_pages)
    page = pages.page(number)
    following = None
    if page.has_next():
        asked = {name: text for name, text in request.GET.items() if name != "page"}
        following = f"{request.path}?{urlencode({**asked, 'page': number + 1})}"
    return JsonResponse({"items": [item(row) for row in page], "next": following})


def _page_number(text: str, last: int) -> int:
    plain = text.strip()
    if plain.isascii() and plain.isdigit() and len(plain) <= _MOST_DIGITS and 1 <= int(plain) <= last:
        return int(plain)
    accepted = "There is one page: write 1." if last == 1 else f"Write a page from 1 to {last}."
    raise ListError(f"“{shorten(text)}” is no page of this list. {accepted}", field="page", read=text)


def lathe_asked(request: HttpRequest) -> Lathe | None:
    """The lathe that the address names, in large or small letters; None where it names none. Raises ListError."""
    text = request.GET.get("lathe", "").strip()
    if not text:
        return None
    lathes = Lathe.objects.order_by("name")
    lathe = next((lathe for lathe in lathes if lathe.name.casefold() == text.casefold()), None)
    if lathe is None:
        known = ", ".join(lathe.name for lathe in lathes if lathe.retired_at is None) or "none is described yet"
        message = f"“{shorten(text)}” is no lathe of this shop. It has: {known}."
        raise ListError(message, field="lathe", read=text)
    return lathe


def word_asked(request: HttpRequest, field: str, words: tuple[str, ...]) -> str:
    """One of these words, the first where the address has none. Raises ListError."""
    text = request.GET.get(field, "").strip()
    word = text.casefold() or words[0]
    if word not in words:
        *others, last = words
        message = f"“{shorten(text)}” is not known here. Write {', '.join(others)} or {last}."
        raise ListError(message, field=field, read=text)
    return word
