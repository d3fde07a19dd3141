"""Two jobs that want one lathe at one time, by what is reserved for them and how long they are planned to take."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from inventory.measures.day_words import moment_shown
from inventory.models import Reservation, SetupSheet


def others_on_the_lathe(sheet: SetupSheet, starts_at: datetime, *, at: datetime) -> list[str]:
    """`Lathe 1 is wanted then for Idler shaft too, from tomorrow 7:00 on.`, once for each other job."""
    if sheet.lathe_id is None:
        return []
    ends_at = _ends(sheet, starts_at)
    rows = Reservation.objects.standing(at=at).filter(sheet__lathe=sheet.lathe_id).exclude(sheet=sheet)
    sentences: dict[int, str] = {}
    for row in rows.select_related("sheet__lathe"):
        if row.starts_at < ends_at and starts_at < _ends(row.sheet, row.starts_at):
            when = moment_shown(timezone.localtime(row.starts_at), today=timezone.localdate(at))
            sentences.setdefault(
                row.sheet_id, f"{row.sheet.lathe} is wanted then for {row.sheet.called} too, from {when} on."
            )
    return list(sentences.values())


def _ends(sheet: SetupSheet, starts_at: datetime) -> datetime:
    """As planned; where no minutes are planned, only the moment in which it begins is its own."""
    hundredths = (sheet.setup_hundredths or 0) + (sheet.part_hundredths or 0) * (sheet.parts or 1)
    return starts_at + timedelta(minutes=max(hundredths / 100, 1))
