"""A piece goes out to somebody, for a lathe where that is said, and comes back."""

import uuid
from datetime import date

from django.db import transaction
from django.utils import timezone

from inventory.keeping.mounting import CannotMount, mount, spots, take_off
from inventory.models import Condition, Loan, Tool, User
from inventory.models.tools import USABLE_CONDITIONS
from inventory.models.users import Role

CAME_BACK_DAMAGED = "Came back damaged."


def borrowers():
    """Everybody to whom a piece can be issued."""
    may = (Role.MACHINIST, Role.KEEPER, Role.ADMINISTRATOR)
    return User.objects.filter(is_active=True, role__in=may).order_by("username")


@transaction.atomic
def issue(tool: Tool, *, to, by, token: uuid.UUID, due_on: date | None = None, lathe=None) -> Loan:
    """Issue the locked piece, and put it on the lathe that it is for.

    Raises AlreadyOut, and CannotMount where the lathe has no free place for it; then nothing is issued.
    """
    resent = Loan.objects.filter(token=token).exists()
    loan = Loan.objects.issue(tool=tool, to=to, at=timezone.now(), token=token, due_on=due_on, by=by, lathe=lathe)
    if lathe is not None and not resent and tool.mounted_on_id != lathe.pk:
        mount(tool, lathe, key=_free_spot(tool, lathe).key, instead_of=None)
    return loan


def _free_spot(tool: Tool, lathe):
    found = spots(tool, lathe)
    if not found:
        raise CannotMount(f"{tool} has no place on {lathe} that is known here. Issue it without the lathe.")
    free = next((spot for spot in found if spot.now is None), None)
    if free is None:
        there = ", ".join(f"{spot.now} is {spot.words}" for spot in found)
        raise CannotMount(f"on {lathe}, {there}. Take that off first, or issue {tool} without the lathe.")
    return free


@transaction.atomic
def give_back(loans, *, by) -> list[Loan]:
    """End those of these loans that are open, and take off what was issued for the lathe that it is on."""
    ended = []
    # In one order, so that two who return the same pieces wait for each other and do not block each other.
    for loan in loans.open().select_related("tool").order_by("tool_id"):
        tool = Tool.objects.select_for_update().get(pk=loan.tool_id)
        if Loan.objects.filter(pk=loan.pk).end(by=by, at=timezone.now()):
            if loan.lathe_id is not None and tool.mounted_on_id == loan.lathe_id:
                take_off(tool)
            ended.append(loan)
    return ended


def came_back_damaged(tool: Tool, *, by) -> None:
    """Out of use from this moment, whether or not somebody says later what is wrong with it."""
    if tool.condition in USABLE_CONDITIONS:
        tool.record(tir=None, taken_on=timezone.localdate(), by=by, verdict=Condition.DAMAGED, note=CAME_BACK_DAMAGED)
