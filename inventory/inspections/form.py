"""What an inspection asks: a reading, on what it was taken, what was found, and the verdict."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from inventory.inspections import photos
from inventory.inspections.findings import MEANING, findings_of, verdicts_of
from inventory.measures.days import DayInput
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import TirInput, TokenInput, say_plainly
from inventory.measures.lengths import exact
from inventory.models import Finding, Inspection, Kind, Lathe, Shape, Tool, User
from inventory.models.kinds import CHUCKS, COLLETS

BARE = "bare"
_TAKES_A_PIN = (*COLLETS, *CHUCKS, Kind.DRILL_CHUCK, Kind.COLLET_CHUCK)
FOLDED = ("tir_far", "far_at", "taken_on", "note", "photo")


class InspectionForm(forms.Form):
    """One inspection of one piece. Who may not scrap is not offered it; nor may they take a piece back into use."""

    tir = TirInput(
        required=False,
        label="TIR at the nose",
        help_text="Full swing: [TIR].",
        widget=forms.TextInput(attrs={"class": "big", "inputmode": "decimal", "autofocus": True}),
    )
    finding = forms.ChoiceField(required=False, label="Found", widget=forms.RadioSelect)
    verdict = forms.ChoiceField(
        label="Condition",
        widget=forms.RadioSelect,
        help_text="Worn stays in use, behind the good ones. Damaged and scrapped are out of use.",
    )
    taken_in = forms.ChoiceField(
        required=False, label="Taken in", help_text="What held it: only readings that were taken alike are compared."
    )
    on_lathe = forms.ModelChoiceField(Lathe.objects.in_use(), required=False, label="On lathe", empty_label="not said")
    pin = LengthInput(required=False, label="Pin", help_text="The ground pin that it gripped, like [3/4|20].")
    was_reseated = forms.BooleanField(
        required=False, label="Cleaned and reseated", help_text="Wiped, put in anew, and read once more."
    )
    tir_far = TirInput(required=False, label="TIR farther out", help_text="Full swing there, like [TIR].")
    far_at = LengthInput(required=False, label="So far from the nose", help_text="Like [1 or 40 mm|40].")
    taken_on = DayInput(label="Day", help_text="Like [DAY].")
    note = forms.CharField(required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2}))
    photo = forms.FileField(
        required=False,
        help_text="JPEG, PNG or WebP. It is made small, and without the place where it was taken.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )
    token = TokenInput(too_old="This page is too old. Look, then press Keep again.")

    def __init__(self, data=None, files=None, *, tool: Tool, by: User, today: date, **kwargs):
        super().__init__(data, files, **kwargs)
        self.tool, self.by = tool, by
        self._offer_findings()
        cast(DayInput, self.fields["taken_on"]).today = today
        self._offer("verdict", ((value, value) for value in verdicts_of(by, tool)))
        self._offer("taken_in", [("", "not said"), (BARE, "bare, no holder"), *self._holders()])
        if tool.kind not in _TAKES_A_PIN:
            del self.fields["pin"]
        say_plainly(self.fields, {"taken_on": "2026-03-18"})

    def _offer(self, name: str, choices: Iterable[tuple[str, str]]) -> None:
        cast(forms.ChoiceField, self.fields[name]).choices = list(choices)

    def _offer_findings(self) -> None:
        of_kind = findings_of(self.tool.kind)
        # What stands on the piece by other ways can be kept, whatever its kind.
        earlier = {self.tool.finding, self.initial.get("finding", "")} - {"", *of_kind}
        findings = [*of_kind, *sorted(earlier)]
        self._offer("finding", [("", "nothing"), *((finding, finding) for finding in findings)])
        known = [f"{finding}: {MEANING[finding]}" for finding in findings if finding in MEANING]
        self.fields["finding"].help_text = "; ".join(known).capitalize() + "." if known else ""

    def _holders(self) -> list[tuple[str, str]]:
        if self.tool.mounts_in_id is None:
            return []
        holders = Tool.objects.in_book().filter(offers=self.tool.mounts_in_id).exclude(pk=self.tool.pk)
        return [(holder.tag, f"{holder.tag}, {holder.what}") for holder in holders.for_list()]

    @property
    def is_unfolded(self) -> bool:
        """Whether what is seldom asked has something to show."""
        return any(name in self.errors for name in FOLDED) or any(
            self[name].value() for name in FOLDED if name not in ("taken_on", "far_at")
        )

    def clean_finding(self):
        finding = self.cleaned_data["finding"]
        stays = self.tool.is_found_unfit and not self.by.may_keep
        if stays and not (finding and Finding(finding).takes_out_of_use):
            raise ValidationError(f"{self.tool} was found {self.tool.finding}; a crib keeper takes that back.")
        return finding

    def clean_note(self):
        lines = self.cleaned_data["note"].replace("\r\n", "\n").replace("\r", "\n")
        return "".join(character for character in lines if character.isprintable() or character in "\n\t").strip()

    def clean_photo(self):
        file = self.cleaned_data["photo"]
        if not file:
            return None
        try:
            return photos.small_jpeg(file)
        except photos.PhotoError as error:
            raise ValidationError(str(error)) from None

    def clean(self):
        cleaned = super().clean()
        if {"tir_far", "far_at"} & set(self.errors):
            return cleaned
        if cleaned.get("tir_far") is None:
            # The distance may still stand there from the last piece.
            cleaned["far_at"] = None
        elif cleaned.get("far_at") is None:
            self.add_error("far_at", "A reading farther out needs its distance from the nose, like 1 or 40 mm.")
        return cleaned

    def ask_for_the_photo_again(self) -> None:
        """After a mistake in another field: a browser does not send a file twice by itself."""
        if self.files.get("photo") and "photo" not in self.errors:
            self.add_error("photo", "Choose the photo once more: the browser does not keep it.")

    @property
    def has_reading(self) -> bool:
        return self.cleaned_data["tir"] is not None or self.cleaned_data["tir_far"] is not None

    def columns(self) -> dict[str, Any]:
        """The columns of the inspection. On what it was taken belongs to a reading, and is left out without one."""
        cleaned = self.cleaned_data
        names = ("tir", "tir_far", "far_at", "taken_on", "finding", "verdict", "note")
        columns = {name: cleaned[name] for name in names}
        if not self.has_reading:
            return columns
        holder = cleaned["taken_in"]
        return {
            **columns,
            "is_bare": True if holder == BARE else None,
            "in_holder": Tool.objects.get(tag=holder) if holder not in ("", BARE) else None,
            "on_lathe": cleaned["on_lathe"],
            "pin": cleaned.get("pin"),
            "was_reseated": cleaned["was_reseated"],
        }


def usual_pin(tool: Tool) -> str:
    """A collet is read on a pin of its own size (ISO 15488 has a mandrel of nominal size), in its own shape's case."""
    size = tool.size
    return exact(size.nominal) if size and size.shape == Shape.ROUND else ""


def as_typed(inspection: Inspection) -> dict[str, Any]:
    """An inspection as the form's texts, to be put right."""
    return {
        "tir": inspection.tir,
        "finding": inspection.finding,
        "verdict": inspection.verdict or inspection.tool.condition,
        "taken_in": BARE if inspection.is_bare else inspection.in_holder.tag if inspection.in_holder else "",
        "on_lathe": inspection.on_lathe_id,
        "pin": inspection.pin,
        "was_reseated": inspection.was_reseated,
        "tir_far": inspection.tir_far,
        "far_at": inspection.far_at,
        "taken_on": inspection.day.isoformat(),
        "note": inspection.note,
    }
