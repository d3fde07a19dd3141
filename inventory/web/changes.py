"""What was changed on a piece or a lathe, when and by whom, in words of the trade."""

from datetime import date, datetime

from django import forms
from msgspec import Struct
from simple_history.models import DeletedObject

from inventory.measures import masses
from inventory.measures.day_words import shown as day_shown
from inventory.measures.length_words import shown
from inventory.measures.lengths import Length
from inventory.web.filters import money

EDITS_SHOWN = 20
# Copied from the newest inspection, which is listed by itself; who changed it stands beside each change.
_NOT_TOLD = {"reading", "changed_by"}
_WORDS = {
    "cost_cents": "paid",
    "location": "drawer",
    "is_solid": "solid",
    "outside_smallest": "holds outside, from",
    "outside_largest": "holds outside, to",
    "inside_smallest": "holds inside, from",
    "inside_largest": "holds inside, to",
    "mounted_on": "on the lathe",
}
# Columns that say by being filled or empty what happened.
_DONE_OR_UNDONE = {
    "retired_at": ("retired", "taken back"),
    "missing_since": ("missing", "found again"),
}


class Edit(Struct, frozen=True):
    """One change: when, by whom, and what it was."""

    at: datetime
    by: str
    what: str


class DrawnFrom(forms.Form):
    """The entry of the history that an edit page was drawn from."""

    drawn_from = forms.IntegerField(required=False, min_value=1, max_value=2**63 - 1, widget=forms.HiddenInput)


def drawn_from(row) -> DrawnFrom:
    """To be sent along with a page that edits `row` as it is now."""
    newest = row.history.order_by("-history_id").first()
    return DrawnFrom({"drawn_from": newest.history_id if newest else None})


def changed_meanwhile(row, posted) -> str:
    """The sentence of what somebody changed since the posted page was drawn; empty where nothing was."""
    form = DrawnFrom(posted)
    drawn_id = form.cleaned_data["drawn_from"] if form.is_valid() else None
    drawn = row.history.filter(history_id=drawn_id).first() if drawn_id else None
    newest = row.history.select_related("history_user").order_by("-history_id").first()
    if drawn is None or newest.history_id == drawn.history_id:
        return ""
    edit = _edit(newest, drawn)
    return f"Changed meanwhile by {edit.by}: {edit.what}; look, then save again." if edit.what else ""


def edits(row) -> list[Edit]:
    """The newest changes, newest first."""
    # By what came after what, not by the clock, which may have been set back.
    entries = list(row.history.select_related("history_user").order_by("-history_id")[: EDITS_SHOWN + 1])
    older = [*entries[1:], None][: len(entries)]
    every = [_edit(entry, before) for entry, before in zip(entries, older, strict=True)]
    return [edit for edit in every if edit.what][:EDITS_SHOWN]


def _edit(entry, before) -> Edit:
    by = str(entry.history_user) if entry.history_user else "Gripbook"
    if before is None:
        return Edit(entry.history_date, by, "entered" if entry.history_type == "+" else "changed")
    return Edit(entry.history_date, by, what_changed(entry, before))


def what_changed(entry, before, *, also_excluded=frozenset()) -> str:
    """The changes of one entry of a history against the one before it, in words; empty where there are none to tell."""
    excluded = (_NOT_TOLD | also_excluded) & {field.name for field in entry.instance_type._meta.fields}
    delta = entry.diff_against(before, foreign_keys_are_objs=True, excluded_fields=excluded)
    return "; ".join(_change(entry.instance_type, change) for change in delta.changes)


def _change(model, change) -> str:
    if change.field in _DONE_OR_UNDONE:
        done, undone = _DONE_OR_UNDONE[change.field]
        return undone if change.new is None else done
    words = _WORDS.get(change.field) or model._meta.get_field(change.field).verbose_name
    return f"{words}: {_in_words(change.field, change.old)} → {_in_words(change.field, change.new)}"


def _in_words(field: str, value) -> str:
    if isinstance(value, DeletedObject):
        # An empty foreign key comes as a deleted row without a key.
        return "empty" if value.pk is None else "no longer in Gripbook"
    if value in (None, ""):
        return "empty"
    if field in ("weight_ug", "load_ug"):
        return masses.shown(value)
    if field in ("cost_cents", "price_cents"):
        return money(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Length):
        return shown(value)
    return day_shown(value) if isinstance(value, date) else str(value)
