"""The door for other programs: signed in, or with a read token."""

from collections.abc import Callable
from functools import wraps

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.http import require_GET

from inventory.measures import display
from inventory.measures.display import Display
from inventory.measures.lengths import Unit
from inventory.models import ReadToken

View = Callable[[HttpRequest], HttpResponse]


def json_door(view: View) -> View:
    """Lets a program through that signed in or brings a read token; says 401 as JSON to any other."""

    @login_not_required
    @require_GET
    @wraps(view)
    def checked(request: HttpRequest) -> HttpResponse:
        if may_read(request):
            with display.shown_as(_of_the_question(request)):
                return view(request)
        message = "Sign in, or send a read token as Authorization: Bearer …"
        body = {"error": {"field": "authorization", "read": "", "message": message, "suggest": None}}
        return JsonResponse(body, status=401, headers={"WWW-Authenticate": "Bearer"})

    return checked


def _of_the_question(request: HttpRequest) -> Display:
    """In the unit that is asked for, else in the shop's, whoever's program it is."""
    unit = request.GET.get("unit", "")
    return display.in_unit(Unit(unit) if unit in list(Unit) else display.now().shop_unit)


def may_read(request: HttpRequest) -> bool:
    """Whether a person is signed in or a good read token came along."""
    if request.user.is_authenticated:
        return True
    kind, _, text = request.headers.get("Authorization", "").partition(" ")
    return kind.lower() == "bearer" and bool(text.strip()) and ReadToken.objects.is_good(text.strip())
