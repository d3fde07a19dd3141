"""The plan's question, as a form that is sent by its address; and the name that a sheet is kept under."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms

from fitfinder.holding.job import WorkShape
from fitfinder.question_forms import QuestionForm, grade_field, lathe_field, unit_field
from inventory.keeping.lending_forms import TapForm
from inventory.measures.inputs import LineInput, say_plainly
from inventory.reference.bars import grades
from inventory.reference.materials import Material

DEFAULTS = {"shape": WorkShape.ROUND, "parts": "1", "setups": "1"}
_SIZE = {"autocapitalize": "off"}
_NUMBER = {"inputmode": "numeric", "pattern": "[0-9]*"}


def _length(label: str, help_text: str) -> forms.CharField:
    return forms.CharField(required=False, label=label, help_text=help_text, widget=forms.TextInput(attrs=_SIZE))


def _count(label: str, help_text: str = "") -> forms.CharField:
    return forms.CharField(required=False, label=label, help_text=help_text, widget=forms.TextInput(attrs=_NUMBER))


def _tick(label: str, help_text: str, value: str = "yes") -> forms.CharField:
    return forms.CharField(
        required=False, label=label, help_text=help_text, widget=forms.CheckboxInput(attrs={"value": value})
    )


class JobForm(QuestionForm):
    """What is to be held and made. It decides nothing: the texts go to the question as they are."""

    size = _length(
        "Size", "[3/4, .7485, 20h9. Flat: 1 x 2. Tube: 1-1/2 x|20, 19.8, 20h9. Flat: 25 x 50. Tube: 40 x] wall."
    )
    size2 = _length("Largest measured size", "Only where the bar is not the same all along.")
    shape = forms.ChoiceField(
        required=False,
        choices=[(shape.value, shape.called) for shape in WorkShape],
        widget=forms.RadioSelect,
    )
    bore = _length("Bore", "Of a tube, or finished.")
    grade = forms.ChoiceField()
    length = _length("Whole length", "Like [9 or 230 mm|230].")
    stick_out = _length("Stands out", "How far it must stand out of what grips it. Empty: all but the grip.")
    grip = _length(
        "Length to grip", "How much of its length can sit in what grips it, like [1/2|12]. Empty: one diameter."
    )
    parts = _count("Parts", "In the lot.")
    setups = _count("Set-ups", "Of each part.")
    tir = _length("TIR between set-ups", "Like [.001|0.02], if it matters.")
    regrip = forms.ChoiceField(
        required=False,
        label="Later set-ups grip",
        help_text="The same surface brings its error back; a turned one is as true as the turning.",
        choices=[("", "the same surface again"), ("turned", "what the first set-up turned")],
    )
    throw = _length("Eccentric throw", "How far the second axis lies from the first, half the stroke; like [1/8|3].")
    taper = _length(
        "Turned taper",
        "On diameter, like 1:20, [.6 in/ft|50 mm/m], 3 deg a side or Morse 2; the compound turns a short one, the "
        "tailstock set over a long slow one.",
    )
    taper_length = _length("Length of the taper", "Of the taper itself, along the axis, like 2 or 50 mm.")
    turned = _length(
        "Turned to", "The finished diameter that the second set-up grips, like [.940|24]. Empty: not given."
    )
    starts = _count("Starts of the thread", "How many threads run side by side, 1 to 24; each is indexed.")
    weight = _length("Weight of the work", "With its unit, like 40 lb. Empty: worked out.")
    material = forms.ChoiceField(
        required=False,
        label="Made of",
        help_text="For its weight, where the grade does not say it.",
        choices=[("", "as the grade says, else steel"), *((one.value, one.value) for one in Material)],
    )
    fed = _tick("Bar is fed through the spindle", "Then every piece on the way must pass it.")
    irregular = forms.CharField(required=False, label="Irregular", help_text="A casting or a forging.")
    """Asked as the shape `casting`; an address may say it of any shape."""
    both_ends = _tick("Worked from both ends", "Turned around, and gripped again.")
    lathe = forms.ChoiceField()
    unit = unit_field()

    def __init__(self, *, initial: Mapping[str, str], lathes: Iterable[str]) -> None:
        if initial.get("irregular") == "yes":
            initial = {**initial, "shape": WorkShape.CASTING}
        super().__init__(initial={**DEFAULTS, **initial})
        self.fields["grade"] = grade_field(grades())
        self.fields["lathe"] = lathe_field(lathes, any_words="whichever is best")


TYPED = ("name", "number", "revision")
"""What is typed to make a setup sheet of a way; it comes back in the address where that cannot be done."""


class KeepSheetForm(TapForm):
    """What the shop calls the part, and its number, where it has them; else the stock names the sheet."""

    name = forms.CharField(required=False, max_length=120, label="Job or part, if it has a name")
    number = LineInput(required=False, max_length=60, label="Part number")
    revision = LineInput(required=False, max_length=20, label="Revision")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)
