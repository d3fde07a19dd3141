"""The fields of a piece, each with its limits said before the mistake; a kind asks some of them."""

from django import forms

from inventory.measures.fields import LengthInput, MassInput
from inventory.measures.inputs import (
    CountInput,
    DayInput,
    MoneyInput,
    OperationsInput,
    SeveralInput,
    SizeInput,
    TirInput,
)
from inventory.models import Condition, Shape
from inventory.models.kinds import DrivenBy, ShankShape, Tail
from inventory.pieces.asked import LARGEST_HELD, LARGEST_SHANK

UNKNOWN = ("", "not known")


def _one_of(choices, *, empty=UNKNOWN) -> forms.Select:
    return forms.Select(choices=[empty, *((value, value) for value in choices)])


def _held(label: str, hint: str) -> SizeInput:
    return SizeInput(required=False, label=label, help_text=hint, at_most=LARGEST_HELD)


class PieceFields(forms.Form):
    """All that can be asked of a piece; `PieceForm` chooses and checks."""

    tag = forms.CharField(max_length=20, help_text="Short, as it is etched on the piece: C-0011.")
    kind = forms.CharField(required=False)
    series = forms.CharField(required=False, help_text="As stamped on its face: 5C, ER32 …")
    shape = forms.CharField(
        required=False,
        widget=forms.Select(choices=Shape.choices),
        help_text="Of the hole that grips: round, hex, square.",
    )
    size = forms.CharField(
        required=False, help_text="The size that is marked on it: 3/4, 19 mm, #7. Hex and square: across flats."
    )
    grips_min = LengthInput(required=False, label="Marked range, from", help_text="Only where it is marked on it.")
    grips_max = LengthInput(required=False, label="Marked range, to", help_text="It beats the series' own figures.")
    stop_thread = forms.TypedChoiceField(
        required=False,
        label="Thread for a stop inside",
        help_text="Cut into its back for a stop, it narrows the way through: such a 5C passes 63/64 in only.",
        choices=[UNKNOWN, ("yes", "cut"), ("no", "not cut")],
        coerce=lambda text: text == "yes",
        empty_value=None,
    )
    mount = forms.CharField(
        required=False,
        label="Mounts on",
        max_length=30,
        help_text="The seat that it goes into or onto: a nose like D1-4 or 1-1/2-8, a taper like MT3.",
    )
    takes = forms.CharField(
        required=False, max_length=30, help_text="What goes into it: 5C or ER32 collets, or the taper inside, like MT3."
    )
    pilot = LengthInput(required=False, label="Pilot hole")
    bored = LengthInput(required=False, label="Bored to")
    mistyped = forms.BooleanField(
        required=False,
        label="The bore in the book was mistyped",
        help_text="Only then may it become smaller, or empty.",
    )
    jaws = CountInput(required=False, min_value=2, max_value=8, help_text="How many, 2 to 8.")
    body = _held("Body diameter", "Across the body, like 8; up to 60 in. It must swing clear over the bed.")
    outside_min = _held("Holds outside, from", "The smallest that the jaws close on from without, like 1/8.")
    outside_max = _held("Holds outside, to", "The largest; not below the smallest, up to 60 in.")
    inside_min = _held("Holds inside, from", "The smallest bore that it holds from within.")
    inside_max = _held("Holds inside, to", "The largest; not below the smallest, up to 60 in.")
    step_depth = SizeInput(required=False, label="Depth of step", at_most=LARGEST_SHANK)
    shank_size = SizeInput(
        required=False, label="Straight shank", help_text="Its diameter or height; up to 4 in.", at_most=LARGEST_SHANK
    )
    shank_shape = forms.CharField(
        required=False,
        label="Shape of shank",
        help_text="Of the part that is clamped.",
        widget=_one_of(ShankShape.values),
    )
    tang = forms.CharField(
        required=False,
        label="Tang",
        help_text="The flat end of its taper, by which a drift pushes it out.",
        widget=_one_of(("yes", "no")),
    )
    driven_by = forms.CharField(
        required=False,
        label="Hand or machine",
        help_text="By hand it is turned with a wrench, never under power.",
        widget=_one_of(DrivenBy.values),
    )
    operations = OperationsInput(
        required=False,
        label="Set up for",
        help_text="What the tool in it does as it stands; several where it does several.",
    )
    set_for = SeveralInput(
        required=False,
        label="Center height is set for",
        help_text="The lathes on which its edge stands at the height of the axis; on another it is set anew.",
    )
    through = _held("Bar passes up to", "The smallest hole on the way through, like 1-1/4; up to 60 in.")
    solid = forms.BooleanField(
        required=False,
        label="Solid: passes no bar",
        help_text="A rod, not a tube: no bar goes through the spindle while it is in.",
    )
    max_rpm = CountInput(
        required=False,
        min_value=1,
        max_value=100_000,
        label="Marked maximum, rpm",
        help_text="As stamped on it, 1 to 100,000. Empty: not known, and then nothing can warn of it.",
    )
    weight = MassInput(
        required=False, help_text="With its unit: 42 lb, 19 kg. Over 25 lb an answer says: not one person alone."
    )
    angle = CountInput(
        required=False,
        min_value=1,
        max_value=179,
        label="Point angle, degrees",
        help_text="Of the cone, side to side: 1 to 179, mostly 60.",
    )
    point_tip = forms.CharField(required=False, label="Point", max_length=60, help_text="Carbide, half cut away …")
    point_extension = SizeInput(
        required=False, label="Point extends", help_text="How far the slim part stands out, like 1-1/8.",
        at_most=LARGEST_SHANK,
    )  # fmt: skip
    dog_tail = forms.CharField(
        required=False,
        label="Tail",
        help_text="Bent reaches into a slot of the plate; straight lies against a pin.",
        widget=_one_of(Tail.values),
    )
    belongs_to = forms.CharField(required=False, label="Belongs to", help_text="The lathe whose bed it fits.")
    fits = forms.CharField(
        required=False,
        max_length=60,
        help_text="What it tightens: the tags of chucks like K-0081, K-0083, or a seat like D1-4 or ER32.",
    )
    location = forms.CharField(
        required=False,
        max_length=60,
        label="Drawer or place",
        help_text="Like A2. A new name makes a new place.",
    )
    condition = forms.CharField(
        required=False,
        widget=forms.Select(choices=[(word, word) for word in Condition.values]),
        help_text="Worn is offered after the good ones, and said to be; damaged and scrapped are never offered.",
    )
    tir = TirInput(
        required=False,
        label="TIR",
        help_text="The full swing of the indicator in one turn: .0005, 0.012 mm; to 1/4 in.",
    )
    inspected_on = DayInput(required=False, label="Inspected on", help_text="Of that reading, like 2026-03-18.")
    cost = MoneyInput(required=False, label="Paid", help_text="Like 28.50.")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))
