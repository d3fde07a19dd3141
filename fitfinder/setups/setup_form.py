"""The head of a setup sheet as a form: what part, from what stock, how it is held, and in what time."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from fitfinder.setups.inputs import MinutesInput, PiecesInput
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import CountInput, LineInput, TokenInput, say_plainly
from inventory.models import Lathe, SetupSheet
from inventory.reference.cutting import materials

MOST_STEPS = 60
LONGEST_STEP = 400


class StepsInput(forms.CharField):
    """One step a line; cleans to the list of them."""

    widget = forms.Textarea(attrs={"rows": 6})

    def clean(self, value: Any) -> list[str]:
        lines = [" ".join(line.split()) for line in super().clean(value).splitlines()]
        steps = [line for line in lines if line]
        if len(steps) > MOST_STEPS:
            raise ValidationError(f"{len(steps)} steps were read; write at most {MOST_STEPS}.")
        if any(len(step) > LONGEST_STEP for step in steps):
            raise ValidationError(f"A step is too long; write at most {LONGEST_STEP} characters in a line.")
        return steps

    def prepare_value(self, value: Any) -> Any:
        return "\n".join(value) if isinstance(value, list) else value


class SetupForm(forms.Form):
    """A new sheet, or a draft as it stands. Only its name is required."""

    title = LineInput(max_length=120, label="Name of the part", help_text="Like Idler shaft.")
    number = LineInput(required=False, max_length=60, label="Part number", help_text="By it the sheet is found again.")
    revision = LineInput(required=False, max_length=20, label="Revision", help_text="Like A or 2.")
    setup = CountInput(required=False, min_value=1, max_value=99, label="Set-up", help_text="The first is 1.")
    lathe = forms.ModelChoiceField(Lathe.objects.in_use(), required=False, label="Lathe", empty_label="not said")
    stock = LineInput(required=False, max_length=200, label="Stock", help_text="In words, as it is fetched.")
    stock_size = LengthInput(required=False, label="Stock size", help_text="Its diameter or width, like [3/4|20].")
    material = forms.ChoiceField(
        required=False, label="Made of", help_text="For the speeds: by it the table of surface speeds is read."
    )
    parts = CountInput(required=False, min_value=1, max_value=1_000_000, label="Parts in the lot")
    way = LineInput(required=False, max_length=200, label="Held by", help_text="Like 4-jaw chuck and live center.")
    pieces = PiecesInput(
        required=False,
        max_length=400,
        label="Pieces that hold it",
        help_text="Their tags, from the spindle to the work: H-0061, C-0011.",
    )
    is_hollow = forms.BooleanField(required=False, label="Bored through before it is parted off")
    is_unbalanced = forms.BooleanField(required=False, label="Out of balance as it turns")
    steps = StepsInput(required=False, max_length=20_000, label="Steps", help_text="One a line, in order.")
    setup_minutes = MinutesInput(label="Planned for the set-up, minutes")
    part_minutes = MinutesInput(label="Planned for each part, minutes")
    note = forms.CharField(required=False, max_length=4_000, label="Note", widget=forms.Textarea(attrs={"rows": 3}))
    token = TokenInput()
    edits = forms.IntegerField(required=False, min_value=0, widget=forms.HiddenInput)
    """How often the draft had been changed when the page was drawn."""

    def __init__(self, *args: Any, sheet: SetupSheet | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet = sheet
        self.fields["material"].choices = [("", "not said"), *((word, word) for word in materials())]  # type: ignore[attr-defined]  # a choice field
        if sheet is not None and sheet.lathe_id is not None:
            lathes = Lathe.objects.in_use() | Lathe.objects.filter(pk=sheet.lathe_id)
            self.fields["lathe"].queryset = lathes  # type: ignore[attr-defined]  # a choice of rows
        say_plainly(self.fields, {"title": "Idler shaft"})

    @classmethod
    def initial_of(cls, sheet: SetupSheet) -> dict[str, Any]:
        """What stands in the fields of a draft."""
        return {
            **{name: getattr(sheet, name) for name in _COLUMNS},
            "lathe": sheet.lathe_id,
            "stock_size": sheet.stock_largest,
            "pieces": ", ".join(sheet.pieces.values_list("tool__tag", flat=True)),
            "setup_minutes": sheet.setup_hundredths,
            "part_minutes": sheet.part_hundredths,
            "edits": sheet.edits,
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        number, lathe = cleaned.get("number", ""), cleaned.get("lathe")
        setup = cleaned.get("setup") or 1
        if number and not self.errors:
            revision = cleaned.get("revision", "")
            twins = SetupSheet.objects.twins_of(number=number, revision=revision, setup=setup, lathe=lathe)
            if self.sheet is not None:
                twins = twins.exclude(pk=self.sheet.pk)
            twin = twins.select_related("lathe").first()
            if twin is not None:
                self.add_error(
                    "number",
                    f"There is a sheet of {number} {revision} for set-up {setup} on "
                    f"{twin.lathe or 'no lathe'} already. Give this one another revision"
                    f"{_OTHER_LATHE if twin.lathe != lathe else ''}.",
                )
        return cleaned

    def columns(self, sheet: SetupSheet) -> dict[str, Any]:
        """The columns of the sheet; a band of stock that the plan read stays while its size is left as it was."""
        cleaned = self.cleaned_data
        size = cleaned["stock_size"]
        band = {} if size == sheet.stock_largest else {"stock_smallest": size, "stock_largest": size}
        return {
            **{name: cleaned[name] for name in _COLUMNS},
            **band,
            "setup": cleaned["setup"] or 1,
            "lathe": cleaned["lathe"],
            "setup_hundredths": cleaned["setup_minutes"],
            "part_hundredths": cleaned["part_minutes"],
        }


_OTHER_LATHE = ", or say on both sheets which lathe they are for"
_COLUMNS = (
    "title", "number", "revision", "setup", "stock", "material", "parts", "way", "is_hollow", "is_unbalanced", "steps",
    "note",
)  # fmt: skip
