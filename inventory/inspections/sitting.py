"""On what the last piece of a sitting was read: whoever has ten collets on the bench says it once."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from django.contrib.sessions.backends.base import SessionBase

from inventory.inspections.form import InspectionForm
from inventory.measures.lengths import exact

_KEY = "inspection_sitting"
_LASTS = timedelta(hours=4)
_FIELDS = ("taken_in", "on_lathe", "was_reseated", "far_at")


def remembered(session: SessionBase, *, now: datetime) -> dict[str, Any]:
    """The fields of an inspection form as they were last sent; empty where that is long ago."""
    sitting = session.get(_KEY)
    if not sitting or now - datetime.fromisoformat(sitting["at"]) > _LASTS:
        return {}
    return {name: sitting.get(name) for name in _FIELDS}


def remember(session: SessionBase, form: InspectionForm, *, now: datetime) -> None:
    """Keep what the valid form says, where it has a reading."""
    if not form.has_reading:
        return
    cleaned = form.cleaned_data
    session[_KEY] = {
        "at": now.isoformat(),
        "taken_in": cleaned["taken_in"],
        "on_lathe": cleaned["on_lathe"].pk if cleaned["on_lathe"] else None,
        "was_reseated": cleaned["was_reseated"],
        "far_at": exact(cleaned["far_at"]) if cleaned["far_at"] else "",
    }
