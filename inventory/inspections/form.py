"""What an inspection asks: a reading, on what it was taken, what was found, and the verdict."""

from django import forms
from django.core.exceptions import ValidationError

from inventory.inspections import photos
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import DayInput, TirInput, TokenInput, say_plainly
from inventory.measures.lengths import exact
from inventory.models import Condition, Finding, Inspection, Kind, Lathe, Shape, Tool
from inventory.models.kinds import CENTERS, CHUCKS, COLLETS, CUTTERS, HOLDERS
from inventory.models.tools import USABLE_CONDITIONS

BARE = "bare"
_ON_A_COLLET = (
    Finding.BELL_MOUTHED, Finding.CRACKED, Finding.SPRUNG, Finding.GALLED, Finding.WORN_KEY, Finding.THREAD_DAMAGED,
)  # fmt: skip
_ON_A_CHUCK = (
    Finding.JAWS_BELL_MOUTHED, Finding.JAWS_CHIPPED, Finding.SCROLL_WORN, Finding.SEAT_BRUISED, Finding.CRACKED,
)  # fmt: skip
_ON_A_CENTER = (Finding.POINT_WORN, Finding.SEAT_BRUISED, Finding.GALLED, Finding.CRACKED)
_ON_A_TURNING_CENTER = (Finding.POINT_WORN, Finding.BEARING_ROUGH, Finding.SEAT_BRUISED, Finding.CRACKED)
_ON_A_HOLDER = (Finding.SEAT_BRUISED, Finding.GALLED, Finding.CRACKED)
FINDINGS = {
    **dict.fromkeys(HOLDERS, _ON_A_HOLDER),
    **dict.fromkeys(CUTTERS, (Finding.BENT, Finding.SEAT_BRUISED, Finding.CRACKED)),
    **dict.fromkeys(COLLETS, _ON_A_COLLET),
    **dict.fromkeys(CHUCKS, _ON_A_CHUCK),
    **dict.fromkeys(CENTERS, _ON_A_TURNING_CENTER),
    Kind.INDEPENDENT_CHUCK: tuple(finding for finding in _ON_A_CHUCK if finding != Finding.SCROLL_WORN),
    Kind.DEAD_CENTER: _ON_A_CENTER,
    Kind.COLLET_CHUCK: (*_ON_A_HOLDER, Finding.WORN_KEY, Finding.THREAD_DAMAGED),
    Kind.CLOSER: (*_ON_A_HOLDER, Finding.WORN_KEY, Finding.THREAD_DAMAGED),
    Kind.DRAWBAR: (Finding.THREAD_DAMAGED, Finding.BENT, Finding.CRACKED),
    Kind.DRILL_CHUCK: (Finding.JAWS_BELL_MOUTHED, Finding.JAWS_CHIPPED, Finding.SEAT_BRUISED, Finding.CRACKED),
    Kind.MANDREL: (Finding.BENT, Finding.GALLED, Finding.SPRUNG, Finding.CRACKED),
    Kind.EXPANDING_ARBOR: (Finding.BENT, Finding.GALLED, Finding.SPRUNG, Finding.CRACKED),
    Kind.KEY: (Finding.BENT, Finding.CRACKED),
    Kind.STEADY_REST: (Finding.BENT, Finding.BEARING_ROUGH, Finding.CRACKED),
    Kind.FOLLOW_REST: (Finding.BENT, Finding.BEARING_ROUGH, Finding.CRACKED),
    Kind.LATHE_DOG: (Finding.THREAD_DAMAGED, Finding.BENT, Finding.CRACKED),
}
"""What can be found on each kind of piece, in the words of the trade (common practice, no source)."""
MEANING = {
    Finding.BELL_MOUTHED: "wide at the mouth",
    Finding.JAWS_BELL_MOUTHED: "gripping at the back only",
    Finding.SPRUNG: "out of shape",
    Finding.GALLED: "torn",
    Finding.WORN_KEY: "it can turn",
    Finding.SCROLL_WORN: "jaws stand uneven",
    Finding.SEAT_BRUISED: "dented where it seats",
    Finding.BEARING_ROUGH: "felt when it is turned by hand",
}
"""What those say that a newcomer may not know (common practice, no source)."""
_TAKES_A_PIN = (*COLLETS, *CHUCKS, Kind.DRILL_CHUCK, Kind.COLLET_CHUCK)
FOLDED = ("tir_far", "far_at", "taken_on", "note", "photo")


class InspectionForm(forms.Form):
    """One look at one piece. Who may not scrap is not offered it; nor may they take a piece back into use."""

    tir = TirInput(
        required=False,
        label="TIR at the nose",
        help_text="Full swing: .0004, or 0.010 mm.",
        widget=forms.TextInput(
            attrs={"class": "big", "inputmode": "decimal", "autocomplete": "off", "autofocus": True}
        ),
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
    on_lathe = forms.ModelChoiceField(None, required=False, label="On lathe", empty_label="not said")
    pin = LengthInput(required=False, label="Pin", help_text="The ground pin that it gripped, like 3/4.")
    was_reseated = forms.BooleanField(
        required=False, label="Cleaned and reseated", help_text="Wiped, put in anew, and read once more."
    )
    tir_far = TirInput(required=False, label="TIR farther out", help_text="Full swing there, like .0008.")
    far_at = LengthInput(required=False, label="So far from the nose", help_text="Like 1 or 40 mm.")
    taken_on = DayInput(label="Day", help_text="Like 2026-03-18.")
    note = forms.CharField(required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2}))
    photo = forms.FileField(
        required=False,
        help_text="JPEG, PNG or WebP. It is kept small, and without the place where it was taken.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
    )
    token = TokenInput(too_old="This page is too old. Look, then press Keep again.")

    def __init__(self, data=None, files=None, *, tool: Tool, by, today, **kwargs):
        super().__init__(data, files, **kwargs)
        self.tool, self.by = tool, by
        self.fields["taken_on"].today = today
        self.fields["finding"].choices = [("", "nothing"), *self._findings()]
        known = [f"{finding}: {MEANING[finding]}" for finding, _ in self._findings() if finding in MEANING]
        self.fields["finding"].help_text = "; ".join(known).capitalize() + "." if known else ""
        self.fields["verdict"].choices = [(value, value) for value in verdicts_of(by, tool)]
        self.fields["taken_in"].choices = [("", "not said"), (BARE, "bare, no holder"), *self._holders()]
        self.fields["on_lathe"].queryset = Lathe.objects.filter(retired_at=None)
        if tool.kind not in _TAKES_A_PIN:
            del self.fields["pin"]
        say_plainly(self.fields, {"taken_on": "2026-03-18"})

    def _findings(self) -> list[tuple[str, str]]:
        found = list(FINDINGS.get(self.tool.kind, _ON_A_HOLDER))
        # What stands on the piece by other ways can be kept, whatever its kind.
        earlier = {self.tool.finding, self.initial.get("finding", "")} - {"", *found}
        return [(finding, finding) for finding in [*found, *sorted(earlier)]]

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
            return photos.kept(file)
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

    def seen(self) -> dict:
        """The columns of the look. On what it was taken belongs to a reading, and is left out without one."""
        cleaned = self.cleaned_data
        look = {name: cleaned[name] for name in ("tir", "tir_far", "far_at", "taken_on", "finding", "verdict", "note")}
        if cleaned["tir"] is None and cleaned["tir_far"] is None:
            return look
        holder = cleaned["taken_in"]
        return {
            **look,
            "is_bare": True if holder == BARE else None,
            "in_holder": Tool.objects.get(tag=holder) if holder not in ("", BARE) else None,
            "on_lathe": cleaned["on_lathe"],
            "pin": cleaned.get("pin"),
            "was_reseated": cleaned["was_reseated"],
        }


def verdicts_of(by, tool: Tool) -> list[str]:
    """A keeper's are all; others call a piece good, worn or damaged, and leave one that is out of use as it is."""
    if by.may_keep:
        return list(Condition.values)
    if tool.condition not in USABLE_CONDITIONS:
        return [tool.condition]
    return [value for value in Condition.values if value != Condition.SCRAPPED]


def usual_pin(tool: Tool) -> str:
    """A collet is read on a pin of its own size (ISO 15488 has a mandrel of nominal size), in its own shape's case."""
    size = tool.size
    return exact(size.nominal) if size and size.shape == Shape.ROUND else ""


def as_typed(look: Inspection) -> dict:
    """A look as the form's texts, to be put right."""
    return {
        "tir": look.tir,
        "finding": look.finding,
        "verdict": look.verdict or look.tool.condition,
        "taken_in": BARE if look.is_bare else look.in_holder.tag if look.in_holder else "",
        "on_lathe": look.on_lathe_id,
        "pin": look.pin,
        "was_reseated": look.was_reseated,
        "tir_far": look.tir_far,
        "far_at": look.far_at,
        "taken_on": look.day.isoformat(),
        "note": look.note,
    }
