"""What a new revision of a setup sheet is called."""

from __future__ import annotations

from typing import Any

from inventory.keeping.lending_forms import TapForm
from inventory.measures.inputs import LineInput, say_plainly
from inventory.models import SetupSheet


class RevisionForm(TapForm):
    """Of a sheet with a part number another revision than all that stand; of one without it any."""

    revision = LineInput(max_length=20, label="New revision", help_text="Like B or 2.")

    def __init__(self, *args: Any, old: SetupSheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.old = old
        say_plainly(self.fields, {"revision": "B"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        revision, old = cleaned.get("revision", ""), self.old
        twins = SetupSheet.objects.twins_of(number=old.number, revision=revision, setup=old.setup, lathe=old.lathe)
        if "token" in cleaned:
            twins = twins.exclude(token=cleaned["token"])
        if revision and twins.exists():
            self.add_error("revision", f"There is a revision {revision} of {old.number} already. Write another.")
        return cleaned
