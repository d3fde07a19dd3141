"""What concerns the person who asks: their pieces that are due, what they asked for and what they called for came."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef
from django.urls import reverse
from django.utils import timezone
from msgspec import Struct

from inventory.keeping.reservations import when_words
from inventory.measures.day_words import shown as day_shown
from inventory.models import Loan, LoanCall, Reservation, User, Want
from inventory.reference.place_words import place_words

TOLD_FOR = timedelta(days=3)
"""What has come is told over a weekend, and then it is old."""
MOST_OF_EACH = 3


class Concern(Struct, frozen=True):
    """One thing in a few words, and where it is seen."""

    words: str
    address: str
    link: str


def concerns_of(user: User, *, at: datetime) -> list[Concern]:
    """The most urgent first; empty for most people at most times."""
    return [
        *_pieces_due_back(user, at),
        *_reserved_and_taken(user, at),
        *_needed_and_back(user, at),
        *_wants_received(user, at),
    ]


def _pieces_due_back(user: User, at: datetime) -> Iterator[Concern]:
    today = timezone.localdate(at)
    loans = list(
        Loan.objects.open()
        .filter(borrower=user, due_on__lte=today)
        .select_related("tool")
        .order_by("due_on", "tool__tag")
    )
    if not loans:
        return
    tags = ", ".join(loan.tool.tag for loan in loans[:MOST_OF_EACH])
    more = f" and {len(loans) - MOST_OF_EACH} more" if len(loans) > MOST_OF_EACH else ""
    late = f"expected back {day_shown(loans[0].due_on)}" if loans[0].due_on and loans[0].due_on < today else "due today"
    yield Concern(f"You have {tags}{more}, {late}.", reverse("my_pieces"), "Bring back")


def _reserved_and_taken(user: User, at: datetime) -> Iterator[Concern]:
    """What somebody took all the same that is reserved for a job of this person's."""
    rows = Reservation.objects.standing(at=at).filter(reserved_by=user).with_names()
    out = Loan.objects.open().filter(tool=OuterRef("tool"), issued_at__gte=OuterRef("made_at")).exclude(borrower=user)
    for row in rows.filter(Exists(out))[:MOST_OF_EACH]:
        loan = row.tool.loans.open().select_related("borrower").get()
        words = (
            f"{row.tool}, reserved for your {row.sheet.called} {when_words(row, now=at)}, is out to {loan.borrower}."
        )
        yield Concern(words, row.tool.get_absolute_url(), "See it")


def _needed_and_back(user: User, at: datetime) -> Iterator[Concern]:
    """What this person needed and somebody else had, until it is out again."""
    again = Loan.objects.filter(tool=OuterRef("loan__tool"), issued_at__gt=OuterRef("loan__issued_at"))
    calls = LoanCall.objects.filter(by=user, loan__returned_at__gte=at - TOLD_FOR).exclude(Exists(again))
    for call in calls.select_related("loan__tool__location").order_by("-loan__returned_at")[:MOST_OF_EACH]:
        tool = call.loan.tool
        if tool.is_in_service:
            where = f" Its place is {place_words(str(tool.location))}." if tool.location else ""
            yield Concern(f"{tool}, which you need, came back.{where}", tool.get_absolute_url(), "Take it")


def _wants_received(user: User, at: datetime) -> Iterator[Concern]:
    """What this person asked purchasing for."""
    wants = Want.objects.filter(asked_by=user, state=Want.State.RECEIVED, received_at__gte=at - TOLD_FOR).with_names()
    for want in wants.order_by("-received_at")[:MOST_OF_EACH]:
        piece = want.pieces.first()
        address = piece.get_absolute_url() if piece is not None else reverse("buying")
        yield Concern(f"{want.name}, which you asked for, has come.", address, "See it")
