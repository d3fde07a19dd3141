"""Who may use a page; whoever may not is told who may."""

from functools import wraps

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from inventory.models import User


class PersonsRequest(HttpRequest):
    """What every view gets but the few that need no sign-in: somebody is signed in (`shop/settings.py`)."""

    user: User


def allowed(may, *, who: str):
    """Let only those through of whom `may(user)` is true; `who` names them in the refusal."""

    def decorate(view):
        @wraps(view)
        def checked(request, *args, **kwargs):
            if not may(request.user):
                raise PermissionDenied(f"This is for {who}. You are signed in as {request.user}.")
            return view(request, *args, **kwargs)

        return checked

    return decorate


keepers_only = allowed(lambda user: user.may_keep, who="crib keepers and administrators")
takers_only = allowed(lambda user: user.may_issue, who="machinists, crib keepers and administrators")
buyers_only = allowed(lambda user: user.may_buy, who="purchasing and administrators")
administrators_only = allowed(lambda user: user.may_administer, who="administrators")
buyers_and_keepers = allowed(
    lambda user: user.may_buy or user.may_keep, who="purchasing, crib keepers and administrators"
)
