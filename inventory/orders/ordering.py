"""The steps of a want on its way: approved, ordered, dropped and taken back, each kept in its history."""

from django.db import IntegrityError, transaction

from inventory.models import Want
from inventory.models.wants import OPEN

_State = Want.State
FROM = {
    _State.APPROVED: (_State.WANTED,),
    _State.ORDERED: (_State.WANTED, _State.APPROVED),
    _State.RECEIVED: (_State.APPROVED, _State.ORDERED),
    _State.DROPPED: OPEN,
    _State.WANTED: (_State.DROPPED,),
}
"""Step -> the states that it can be taken from. A shop with one purchaser orders without approving first."""


def ask(*, by, **columns) -> bool:
    """Let a want stand; False where one for the same thing stands already.

    `columns` are `size`, `item` or `what` with its `kind`, and what else is known.
    """
    try:
        with transaction.atomic():
            Want.objects.create(asked_by=by, **columns)
    except IntegrityError:
        if standing_like(**columns) is None:
            raise
        return False
    return True


def standing_like(*, size=None, item=None, what="", **_) -> Want | None:
    """The want that stands for the same thing."""
    same = {"size": size} if size else {"item": item} if item else {"what__iexact": what}
    return Want.objects.open().filter(**same).first()


def step(want: Want, to: Want.State) -> bool:
    """Take a step; False where the want is no longer where that step can be taken, or its like stands again.

    `want` is locked by the caller.
    """
    if want.state not in FROM[to]:
        return False
    want.state = to
    try:
        with transaction.atomic():
            want.save()
    except IntegrityError:
        return False
    return True
