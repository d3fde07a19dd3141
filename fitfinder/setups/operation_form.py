"""One operation of a setup sheet as a form: it asks only what that operation needs, and nothing has to be filled in."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from fitfinder.cutting.cut import IN_TAILSTOCK, INSIDE, THREADS
from fitfinder.cutting.speeds import SpeedAdvice
from fitfinder.setups.cuts import advice_of, own_speeds, setup_of
from fitfinder.setups.inputs import HeightInput, PieceInput, PitchInput, ToolInput
from fitfinder.setups.photo_form import PhotoInput
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import CountInput, LineInput, say_plainly
from inventory.measures.length_words import in_unit
from inventory.models import HeldTool, Kind, SetupOperation, SetupSheet, Tool
from inventory.models.setup_operations import CutterMaterial, KnurlMaking, KnurlPattern
from inventory.reference import holding
from inventory.reference.cutting import HSS, Does

TOOLS_FOR = {
    Does.DRILLING: (Kind.TAPER_SHANK_DRILL,),
    Does.REAMING: (Kind.REAMER,),
    Does.COUNTERBORING: (Kind.COUNTERBORE,),
    Does.BORING: (Kind.BORING_BAR,),
    Does.THREADING_INSIDE: (Kind.BORING_BAR,),
    Does.GROOVING_INSIDE: (Kind.BORING_BAR,),
    Does.GROOVING_OUTSIDE: (Kind.TURNING_TOOL, Kind.PARTING_BLADE),
    Does.GROOVING_FACE: (Kind.TURNING_TOOL,),
    Does.PARTING: (Kind.PARTING_BLADE, Kind.TURNING_TOOL),
    Does.KNURLING: (Kind.KNURLING_HEAD,),
    Does.CENTER_DRILLING: (),
    Does.TAPPING: (),
}
"""The kinds that are offered; of what is not named here turning tools."""
HOLDERS = (Kind.TOOL_POST_HOLDER, Kind.DRILL_CHUCK, Kind.SLEEVE)
MOST_OFFERED = 60
_ASKED_OF = {
    "hole": INSIDE | {Does.TAPPING, Does.REAMING, Does.COUNTERBORING},
    "pitch": THREADS | {Does.KNURLING},
    "pattern": {Does.KNURLING},
    "making": {Does.KNURLING},
    "caught_by": {Does.PARTING},
}
"""What only some operations are asked."""
_MOST = {"stick_out": "cutting.most_stick_out", "feed": "cutting.most_feed"}
_POST_ONLY = ("height",)


def _choices(words: type, empty: str) -> list[tuple[str, str]]:
    return [("", empty), *((word.value, word.label) for word in words)]  # type: ignore[attr-defined]  # words of a column


class OperationForm(forms.Form):
    """What the operation `does` decides which fields there are."""

    tool = ToolInput(
        required=False, max_length=120, label="Tool", help_text="Its tag, or what it is called where it has none."
    )
    holder = PieceInput(
        required=False, label="Holder", help_text="Its tag. Empty: the holder that the tool is in, if any."
    )
    position = LineInput(required=False, max_length=20, label="Position", help_text="On the post: 1, or tailstock.")
    hole = LengthInput(required=False, label="Hole it needs first", help_text="As it is drilled, like [5/8|16].")
    diameter = LengthInput(required=False, label="Diameter that is cut", help_text="For the speed, like [3/4|20].")
    pitch = PitchInput(required=False, label="Pitch", help_text="Like 13 tpi or 1.5 mm.")
    pattern = forms.ChoiceField(required=False, label="Pattern", choices=_choices(KnurlPattern, "not said"))
    making = forms.ChoiceField(required=False, label="Formed or cut", choices=_choices(KnurlMaking, "not said"))
    caught_by = LineInput(
        required=False,
        max_length=80,
        label="What catches the part",
        help_text="Like a rod in the tailstock, through the bore.",
    )
    cutter = forms.ChoiceField(required=False, label="Cuts with", choices=_choices(CutterMaterial, HSS))
    rpm = CountInput(required=False, min_value=1, max_value=100_000, label="Speed, rpm")
    feed = LengthInput(required=False, label="Feed for each turn", help_text="Like [.005|0.1].")
    height = HeightInput(
        required=False, label="Center height", help_text="Above center, with a minus below: 0, [+.004|+0.1]."
    )
    stick_out = LengthInput(required=False, label="Stick-out", help_text="Of the tool from its holder, like [1|25].")
    stop = LineInput(required=False, max_length=80, label="Stop setting", help_text="Like carriage stop, 1.250.")
    note = LineInput(required=False, max_length=400, label="Note")
    photo = PhotoInput()
    edits = forms.IntegerField(required=False, min_value=0, widget=forms.HiddenInput)

    def __init__(self, *args: Any, sheet: SetupSheet, does: Does, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sheet, self.does = sheet, does
        for name, asked_of in _ASKED_OF.items():
            if does not in asked_of:
                del self.fields[name]
        if does in IN_TAILSTOCK:
            for name in _POST_ONLY:
                del self.fields[name]
        self.setup = setup_of(sheet)
        self.fields["rpm"].help_text = self._speed_hint()
        self.fields["tool"].widget.attrs["list"] = "tools"
        self.fields["holder"].widget.attrs["list"] = "holders"
        say_plainly(self.fields)

    def _speed_hint(self) -> str:
        mark = self.setup.lowest
        first = (
            "Empty: by the table of surface speeds."
            if self.sheet.material
            else "Empty: by the table, once the sheet says what the part is made of (Made of)."
        )
        return f"{first} At most {mark.rpm} rpm, {mark.why}." if mark else first

    @classmethod
    def initial_of(cls, operation: SetupOperation, sheet: SetupSheet) -> dict[str, Any]:
        names = [name for name in cls.base_fields if name not in ("tool", "photo", "edits")]
        columns = {name: getattr(operation, name) for name in names}
        return {**columns, "tool": operation.tool or operation.tool_words, "edits": sheet.edits}

    @property
    def tools_offered(self) -> list[str]:
        """Tags of pieces here that do this operation."""
        kinds = TOOLS_FOR.get(self.does, (Kind.TURNING_TOOL,))
        return list(Tool.objects.in_service().filter(kind__in=kinds).values_list("tag", flat=True)[:MOST_OFFERED])

    @property
    def holders_offered(self) -> list[str]:
        return list(Tool.objects.in_service().filter(kind__in=HOLDERS).values_list("tag", flat=True)[:MOST_OFFERED])

    def clean_rpm(self) -> int | None:
        rpm, mark = self.cleaned_data["rpm"], self.setup.lowest
        if rpm is not None and mark is not None and rpm > mark.rpm:
            raise ValidationError(f"{rpm} rpm was read; this set-up turns at most {mark.rpm} rpm, {mark.why}.")
        return rpm

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        tool, holder = cleaned.get("tool"), cleaned.get("holder")
        self._refuse_nonsense(cleaned)
        if isinstance(holder, Tool) and holder != tool and holder.kind not in HOLDERS:
            self.add_error(
                "holder",
                f"{holder} is a {holder.kind}: it holds no tool. A tool-post holder, a drill chuck or a sleeve does.",
            )
        if isinstance(tool, Tool) and holder == tool:
            self.add_error("holder", f"{tool} does not hold itself. Write the tag of its holder, or nothing.")
        if isinstance(tool, Tool) and holder is None and "holder" not in self.errors:
            held = HeldTool.objects.filter(tool=tool).select_related("holder").first()
            cleaned["holder"] = held.holder if held else None
        return cleaned

    def _refuse_nonsense(self, cleaned: dict[str, Any]) -> None:
        """Figures that no lathe of a tool room has: a slip of the unit or of the point."""
        most = {name: holding.length(key) for name, key in _MOST.items()}
        for name, limit in most.items():
            length = cleaned.get(name)
            if length is not None and length > limit:
                self.add_error(name, f"{in_unit(length)} was read; write at most {in_unit(limit)}.")
        stock = self.sheet.stock_largest
        for name in ("diameter", "hole"):
            length = cleaned.get(name)
            if stock is not None and length is not None and length.nm > stock.nm * holding.value("cutting.over_stock"):
                self.add_error(
                    name, f"{in_unit(length)} was read, and the stock of this sheet is {in_unit(stock)}. Write less."
                )

    @property
    def says_nothing(self) -> bool:
        """Whether only the operation itself is known; a sheet may begin as a list of them."""
        return not any(value for name, value in self.cleaned_data.items() if name != "edits")

    def put_into(self, operation: SetupOperation) -> SpeedAdvice | None:
        """The columns of the operation as the form has them; what the table said of its speed, where that was empty."""
        cleaned = self.cleaned_data
        tool = cleaned["tool"]
        operation.sheet, operation.does = self.sheet, self.does
        operation.tool = tool if isinstance(tool, Tool) else None
        operation.tool_words = "" if isinstance(tool, Tool) else tool
        for name in self.fields:
            if name not in ("tool", "photo", "edits"):
                setattr(operation, name, cleaned[name])
        if not operation.position and self.does in IN_TAILSTOCK:
            operation.position = "tailstock"
        # An empty speed stays empty: it is read off the table whenever the sheet is, for what the part is made of then.
        return None if operation.rpm else advice_of(operation, self.sheet, self.setup, own_speeds())
