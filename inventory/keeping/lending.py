"""A piece goes out to somebody, for a lathe where that is said, and comes back; or several at once."""

from __future__ import annotations

import uuid
from collections.abc import Container, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from inventory.keeping.mounting import CannotMount, mount, pieces_on, take_off
from inventory.keeping.reservations import take, to_ask_about
from inventory.keeping.spots import spots
from inventory.measures.day_words import shown as day_shown
from inventory.models import Condition, Lathe, Loan, Reservation, SetupSheet, Tool, User
from inventory.models.loans import AlreadyOut, LoanQuerySet
from inventory.models.users import Role
from inventory.models.wear import USABLE_CONDITIONS

CAME_BACK_DAMAGED = "Came back damaged."
"""An inspection of its own, so that a phone that goes to sleep before the form leaves nothing that is issued again."""


class CannotIssue(Exception):
    """Nothing is issued; the text says why."""


class IsReserved(CannotIssue):
    """Another job wants the piece: whoever takes it all the same says so, of each of these reservations."""

    def __init__(self, reservations: list[Reservation]) -> None:
        super().__init__(f"{reservations[0].tool} is reserved for {reservations[0].sheet}.")
        self.reservations = reservations


def borrowers() -> QuerySet[User]:
    """Everybody to whom a piece can be issued."""
    may = (Role.MACHINIST, Role.KEEPER, Role.ADMINISTRATOR)
    return User.objects.filter(is_active=True, role__in=may).order_by("username")


def why_not_issued(tool: Tool) -> str:
    """The sentence why a piece is not in service, empty where it is."""
    if tool.retired_at:
        return f"{tool} is retired and is not issued."
    if tool.missing_since:
        return f"{tool} is {tool.why_not}. If you hold it, tell the crib keeper."
    if not tool.is_in_service:
        return f"{tool} is {tool.condition} and is not issued."
    return ""


# One piece ------------------------------------------------------------------------------------------------------------


@transaction.atomic
def issue(
    tool: Tool,
    *,
    to: User,
    by: User,
    at: datetime,
    token: UUID,
    due_on: date | None = None,
    lathe: Lathe | None = None,
    sheet: SetupSheet | None = None,
    agreed: Container[int] = (),
) -> Loan:
    """Issue the locked piece, and put it on the lathe that it is for; the same token again changes nothing.

    `sheet` is the job that it is for, and `agreed` has the keys of other jobs' reservations that somebody said they
    take it in spite of. Raises CannotIssue, and then nothing is done.
    """
    if reason := why_not_issued(tool):
        raise CannotIssue(reason)
    is_resent = Loan.objects.filter(token=token).exists()
    try:
        loan = Loan.objects.issue(tool=tool, to=to, at=at, token=token, due_on=due_on, by=by, lathe=lathe, sheet=sheet)
    except AlreadyOut as out:
        whom = "you" if out.loan.borrower == by else out.loan.borrower
        raise CannotIssue(f"{tool} is out to {whom} already, since {day_shown(out.loan.issued_at)}.") from None
    if loan.tool_id != tool.pk or loan.borrower_id != to.pk or loan.returned_at:
        raise CannotIssue(f"{tool} was not issued: this page was used before. Press Issue again.")
    if is_resent:
        return loan
    wanted = to_ask_about([tool], to=to, sheet=sheet, at=at, due_on=due_on)
    if unasked := [one for one in wanted if one.pk not in agreed]:
        raise IsReserved(unasked)
    take(tool, sheet, at=at)
    if lathe is not None and tool.mounted_on_id != lathe.pk:
        _mount(tool, lathe)
    return loan


def _mount(tool: Tool, lathe: Lathe) -> None:
    possible = spots(tool, lathe, pieces_on(lathe))
    if not possible:
        raise CannotIssue(
            f"{tool} was not issued: {tool} has no place on {lathe} that is known here. Issue it without the lathe."
        )
    free = next((spot for spot in possible if spot.now is None), None)
    if free is None:
        there = ", ".join(f"{spot.now} is {spot.words}" for spot in possible)
        raise CannotIssue(
            f"{tool} was not issued: on {lathe}, {there}. Take that off first, or issue {tool} without the lathe."
        )
    try:
        mount(tool, lathe, key=free.key, instead_of=None)
    except CannotMount as reason:
        raise CannotIssue(f"{tool} was not issued: {reason}") from None


@transaction.atomic
def give_back(loans: LoanQuerySet, *, by: User, at: datetime) -> list[Loan]:
    """End those of these loans that are open, and take off what was issued for the lathe that it is on."""
    ended = []
    # In one order, so that two who return the same pieces wait for each other and do not block each other.
    for loan in loans.open().select_related("tool").order_by("tool_id"):
        tool = Tool.objects.select_for_update().get(pk=loan.tool_id)
        if Loan.objects.filter(pk=loan.pk).end(by=by, at=at):
            if loan.lathe_id is not None and tool.mounted_on_id == loan.lathe_id:
                take_off(tool)
            ended.append(loan)
    return ended


def came_back_damaged(tool: Tool, *, by: User, today: date) -> None:
    """Out of use from this moment, whether or not somebody says later what is wrong with it."""
    if tool.condition in USABLE_CONDITIONS:
        tool.record(tir=None, taken_on=today, by=by, verdict=Condition.DAMAGED, note=CAME_BACK_DAMAGED)


# Several pieces: a setup sheet, a rack, a drawer ----------------------------------------------------------------------


@dataclass
class IssuedTogether:
    """What was issued, what the asker had already, and what was not, each with its sentence; and of what was not issued
    yet the reservations of other jobs that are to be asked about."""

    issued: list[Tool] = field(default_factory=list)
    had: list[Tool] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    asked: list[Reservation] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class LoanTerms:
    """What holds for all pieces that are issued together; as for `issue`."""

    to: User
    by: User
    at: datetime
    token: UUID
    due_on: date | None = None
    sheet: SetupSheet | None = None
    agreed: Container[int] = ()


@transaction.atomic
def issue_together(tools: Iterable[Tool], terms: LoanTerms) -> IssuedTogether:
    """Issue what can be issued of these pieces, the rest with its reason; the same token again changes nothing."""
    done = IssuedTogether()
    keys = [tool.pk for tool in tools]
    # In one order, so that two who take the same pieces wait for each other and do not block each other.
    locked = list(Tool.objects.filter(pk__in=keys).order_by("pk").select_for_update(of=("self",)))
    wanted = to_ask_about(locked, to=terms.to, sheet=terms.sheet, at=terms.at, due_on=terms.due_on)
    unasked = [one for one in wanted if one.pk not in terms.agreed]
    for tool in locked:
        standing = tool.loans.open().select_related("borrower").first()
        if standing is not None and standing.borrower_id == terms.to.pk:
            done.had.append(tool)
        elif standing is not None:
            done.refused.append(_out_in_words(tool, standing))
        elif reason := why_not_issued(tool):
            done.refused.append(reason)
        elif of_others := [one for one in unasked if one.tool_id == tool.pk]:
            done.asked += of_others
        else:
            _issue_one_of_them(tool, done, terms)
    return done


def _issue_one_of_them(tool: Tool, done: IssuedTogether, terms: LoanTerms) -> None:
    token = uuid.uuid5(terms.token, str(tool.pk))
    try:
        loan = Loan.objects.issue(
            tool=tool, to=terms.to, at=terms.at, token=token, due_on=terms.due_on, by=terms.by, sheet=terms.sheet
        )
    except AlreadyOut as out:
        done.refused.append(_out_in_words(tool, out.loan))
        return
    # The token of a loan that was ended since: this page was used before, and the piece is back in its drawer.
    if loan.returned_at is not None:
        done.refused.append(f"{tool} was returned since this page was made.")
    else:
        take(tool, terms.sheet, at=terms.at)
        done.issued.append(tool)


def _out_in_words(tool: Tool, loan: Loan) -> str:
    return f"{tool} is out to {loan.borrower}, since {day_shown(loan.issued_at)}."
