"""What every page that asks a question does alike: what it begins with, and what it says of one it cannot read."""

from collections.abc import Callable, Mapping
from typing import Any
from urllib.parse import parse_qs

from django.http import Http404, HttpRequest, HttpResponse

from fitfinder.holding.method import Method
from fitfinder.question_forms import QuestionForm
from fitfinder.questions import QuestionError
from inventory.measures.display import now
from inventory.measures.examples import by_unit
from inventory.measures.lengths import Unit
from inventory.web.cookies import remember, remembered

_COOKIES = {"lathe": "gripbook_lathe", "unit": "gripbook_unit"}
_ASKED = "gripbook_asked"
_ASKED_LATELY, _LONGEST_ASKED = 6, 120
"""How many questions a device remembers, and how long the query of one may be: all go along with each request."""


def last_chosen(request: HttpRequest) -> dict[str, str]:
    """What a new question begins with: the lathe and the unit of the last one asked on this device.

    Where none was chosen the unit is that of the person, and empty where all is in inches."""
    lathe, unit = (remembered(request, cookie) for cookie in _COOKIES.values())
    return {"shape": "round", "lathe": lathe, "unit": unit if unit in list(Unit) else now().unit_to_ask_in}


def remember_choice(response: HttpResponse, *, lathe: str, unit: str) -> None:
    remember_lathe(response, lathe)
    remember(response, _COOKIES["unit"], unit)


def remember_lathe(response: HttpResponse, lathe: str) -> None:
    """Empty is a choice too: all lathes."""
    remember(response, _COOKIES["lathe"], lathe)


def asks_all_lathes(texts: Mapping[str, str]) -> bool:
    """Whether somebody chose that no lathe is meant: in an address a lathe that was not chosen is left out."""
    return texts.get("lathe") == ""


def asked_lately(request: HttpRequest) -> list[tuple[str, str]]:
    """The last questions on this device, the newest first: each in a word or two, and as a query string."""
    return [(words, query) for query in _remembered_queries(request) if (words := _in_short(query))]


def remember_asked(request: HttpRequest, response: HttpResponse, query: str) -> None:
    if len(query) > _LONGEST_ASKED:
        return
    others = [one for one in _remembered_queries(request) if one != query]
    remember(response, _ASKED, "\n".join([query, *others][:_ASKED_LATELY]))


def _remembered_queries(request: HttpRequest) -> list[str]:
    lines = remembered(request, _ASKED).split("\n")[:_ASKED_LATELY]
    return [line for line in lines if 0 < len(line) <= _LONGEST_ASKED]


def _in_short(query: str) -> str:
    """`3/4`, `1-1/8 hex`, `.748 to .756`; empty of what is no question."""
    texts = {name: values[0] for name, values in parse_qs(query).items()}
    sizes = " to ".join(filter(None, (texts.get("size"), texts.get("size2"))))
    return " ".join(filter(None, (sizes, texts.get("shape")))) if texts.get("size") else ""


def method_called(slug: str) -> Method:
    """The way to hold that an address names; a page that is not found where there is none."""
    method = Method.of_slug(slug)
    if method is None:
        raise Http404(f"There is no way to hold called “{slug}”.")
    return method


def no_size() -> QuestionError:
    return QuestionError(
        by_unit("No size was given. Write it like [.7485, 3/4 or 19 mm|19.8, 20h9 or 3/4]."), field="size", read=""
    )


def refusal(
    form: QuestionForm, error: QuestionError | None, address_with: Callable[[str, str], str] | None = None
) -> dict[str, Any]:
    """For `fitfinder/_refusal.html`: the error, the label of its field, and what may have been meant.

    The error is put beside its field. With `address_with`, the address of the question with another text in a field,
    what may have been meant is a tap away.
    """
    if error is None:
        return {"error": None}
    form.refuse(error)
    suggestions = [(one, address_with(error.field, one)) for one in error.readings] if address_with else []
    return {"error": error, "error_label": form.label_of(error.field), "suggestions": suggestions}
