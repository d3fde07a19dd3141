"""Putting a piece on a lathe, and taking it off with what sits in it."""

from __future__ import annotations

from django import forms
from django.db import transaction
from django.db.models import OuterRef, Subquery

from inventory.keeping.spots import spots
from inventory.models import Lathe, Tool, User
from inventory.models.kinds import Place
from inventory.models.tools import ToolQuerySet


class CannotMount(Exception):
    """The piece does not go there; the text says why."""


class KeyInput(forms.IntegerField):
    """The key of a row; what no column could hold is refused before it is looked for."""

    def __init__(self, *, required: bool = True) -> None:
        super().__init__(required=required, min_value=1, max_value=2**63 - 1)


class TakeOffForm(forms.Form):
    """What the page showed when it was drawn.

    `drawn_from` is the newest entry of the piece's history then: sent twice it is an older one, and does nothing.
    """

    drawn_from = KeyInput()


class MountForm(TakeOffForm):
    """A tap on one spot of one lathe, and what was there when the page was drawn."""

    lathe = KeyInput()
    spot = forms.CharField(max_length=30)
    instead_of = KeyInput(required=False)


class NarrowForm(forms.Form):
    """What the pieces that a lathe may take are narrowed by."""

    text = forms.CharField(required=False, max_length=60, label="Tag, kind or drawer")
    at = forms.ChoiceField(required=False, choices=Place.choices, widget=forms.HiddenInput)


def pieces_on(lathe: Lathe) -> list[Tool]:
    """What is on the lathe now, from the spindle outward, each `with_newest` entry of its history."""
    order = {"": len(Place.values), **{place: number for number, place in enumerate(Place.values)}}
    pieces = with_newest(lathe.mounted.in_book().for_list().select_related("mounted_in"))
    return sorted(pieces, key=lambda piece: (order[piece.mounted_at], piece.tag))


def with_newest(pieces: ToolQuerySet) -> ToolQuerySet:
    """The pieces, each with the newest entry of its history as `newest`: what a page says that it was drawn from."""
    entries = Tool.history.model.objects.filter(id=OuterRef("pk")).order_by("-history_id")
    return pieces.annotate(newest=Subquery(entries.values("history_id")[:1]))


def why_not_mounted(tool: Tool, *, by: User) -> str:
    """Why this piece cannot be put on a lathe by this person now; empty where it can."""
    if tool.retired_at or tool.missing_since:
        return f"{tool} is {tool.why_not}."
    if not tool.is_in_service:
        return f"{tool} is {tool.condition} and is not to be used."
    loan = tool.loans.open().select_related("borrower").first()
    if loan and loan.borrower_id != by.pk:
        return f"{tool} is out to {loan.borrower}."
    return ""


@transaction.atomic
def mount(tool: Tool, lathe: Lathe, *, key: str, instead_of: int | None) -> list[Tool]:
    """Put the piece at the spot of this key; returns what came off for it.

    `instead_of` is the piece that the person saw there. Raises CannotMount where it is another by now, or where
    the piece does not go there. `tool` and `lathe` are locked by the caller.
    """
    spot = next((spot for spot in spots(tool, lathe, pieces_on(lathe)) if spot.key == key), None)
    if spot is None:
        raise CannotMount(f"{tool} has no place there on {lathe} now. Look again.")
    if spot.now is not None and spot.now.pk not in (tool.pk, instead_of):
        raise CannotMount(f"{spot.now} is {spot.words} of {lathe} by now. Look again.")
    off = take_off(spot.now) if spot.now is not None and spot.now.pk != tool.pk else []
    if tool.mounted_on_id is not None:
        take_off(tool)
    if spot.holder is not None and not lathe.mounted.filter(pk=spot.holder.pk).exists():
        raise CannotMount(f"{spot.holder} came off {lathe} with {tool}: put {spot.holder} on it first.")
    tool.refresh_from_db()
    tool.mounted_on, tool.mounted_at, tool.mounted_in = lathe, spot.place or "", spot.holder
    tool.save()
    return off


@transaction.atomic
def take_off(tool: Tool) -> list[Tool]:
    """Take the piece off its lathe, and what sits in it with it; returns all that came off, the piece first."""
    off = [tool]
    for sitting in Tool.objects.filter(mounted_in=tool):
        off += take_off(sitting)
    tool.mounted_on, tool.mounted_at, tool.mounted_in = None, "", None
    tool.save()
    return off
