"""A lathe as it is written down: its seats, its reach and its speeds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.db import transaction

from inventory.figures.names import Names
from inventory.measures.inputs import CountInput, SizeInput, TirInput, one_line, say_plainly
from inventory.measures.length_words import figures, typed
from inventory.measures.lengths import Length
from inventory.models import Lathe, Seat
from inventory.reference.tapers import morse
from inventory.web.editing import RowForm

SEATS = ("nose", "headstock_taper", "tailstock_taper", "post")
_EXAMPLES = {"name": "Lathe 1"}
_LONGEST = Length.inches(240)
"""No shop of this size has a longer bed (common practice, no source)."""

_TAPERS = [taper for code in ("MT3", "MT4", "MT5", "MT6") if (taper := morse(code))]


def _large_ends() -> str:
    return ", ".join(f"{taper.code} {figures(taper.large_end)}" for taper in _TAPERS)


def _measure(label: str, hint: str) -> SizeInput:
    return SizeInput(required=False, label=label, help_text=hint, at_most=_LONGEST)


class LatheForm(RowForm):
    """A lathe; seats are written by their code, known or the shop's own."""

    nose = forms.CharField(
        required=False,
        max_length=30,
        label="Spindle nose",
        help_text="What chucks mount on: D1-4, L0, or the thread 1-1/2-8 …",
    )
    headstock_taper = forms.CharField(required=False, max_length=30, help_text="The taper inside the spindle: MT5.")
    tailstock_taper = forms.CharField(required=False, max_length=30, help_text="The taper of the tailstock quill: MT3.")
    post = forms.CharField(
        required=False,
        max_length=30,
        label="Tool post",
        help_text="A name of your own for its dovetail or block; holders for it are entered under the same name.",
    )
    spindle_bore = _measure("Spindle bore", "The largest bar that passes the whole spindle, like 1.57.")
    spindle_length = _measure("Spindle length", "From nose to outboard end: what bar it takes up to show behind.")
    swing_over_bed = _measure(
        "Swing over bed", "The largest diameter that turns free, like [13|330]; up to [240 in|6096 mm]."
    )
    swing_over_slide = _measure("Swing over cross slide", "Like [7-3/4|200]; not above the swing over the bed.")
    gap_swing = _measure("Swing in the gap", "Where the bed has one: like [18|460]; not below that over the bed.")
    gap_width = _measure("Width of the gap", "Along the bed from the face of the plate: how long work turns in it.")
    between_centers = _measure(
        "Distance between centers", "The longest work between both, like [40|1000]; up to [240 in|6096 mm]."
    )
    set_over = _measure(
        "Tailstock sets over", "To one side, as far as it goes: [3/8|10]. What tapers between centers need."
    )
    compound_travel = _measure("Travel of the compound", "How far its slide moves, like 4.")
    slowest_rpm = CountInput(
        required=False,
        min_value=1,
        max_value=100_000,
        label="Slowest speed, rpm",
        help_text="That it can be set to, 1 to 100,000.",
    )
    fastest_rpm = CountInput(
        required=False,
        min_value=1,
        max_value=100_000,
        label="Fastest speed, rpm",
        help_text="Not below the slowest, up to 100,000.",
    )
    nose_tir = TirInput(
        required=False,
        label="Spindle run-out at the nose",
        help_text="Full swing of an indicator on the bare nose, like [TIR]; to [MOST TIR].",
    )

    class Meta:
        model = Lathe
        fields = (
            "name", "nose", "headstock_taper", "tailstock_taper", "post", "spindle_bore", "spindle_length",
            "swing_over_bed", "swing_over_slide", "gap_swing", "gap_width", "between_centers", "set_over",
            "compound_travel", "slowest_rpm", "fastest_rpm", "nose_tir",
        )  # fmt: skip

    def __init__(self, data: Mapping[str, Any] | None = None, *, instance: Lathe | None = None) -> None:
        super().__init__(data, instance=instance, initial=_seats_of(instance) if instance is not None else {})
        self.own_seats: list[str] = []
        self.fields["spindle_bore"].help_text += f" Not above the large end of the headstock taper: {_large_ends()}."
        say_plainly(self.fields, _EXAMPLES)

    def clean(self) -> dict[str, Any]:
        super().clean()
        cleaned = self.cleaned_data
        names = Names.of_book()
        for name in SEATS:
            cleaned[name] = self._seat(cleaned.get(name) or "", names)
        self._refuse_wide_bore(cleaned)
        return cleaned

    def _seat(self, text: str, names: Names) -> Seat | None:
        code = one_line(text)
        if not code:
            return None
        seat = names.seat(code)
        if seat is None:
            # It is only put into the book when the lathe is.
            self.own_seats.append(code)
            seat = Seat(code=code)
            names.add(seat)
        return seat

    def _refuse_wide_bore(self, cleaned: dict[str, Any]) -> None:
        seat, bore = cleaned["headstock_taper"], cleaned.get("spindle_bore")
        taper = morse(seat.code) if seat else None
        if taper and bore and bore > taper.large_end:
            self.add_error(
                "spindle_bore",
                f"{typed(bore)} is more than the large end of {taper.code}, {typed(taper.large_end)}: "
                "a bore that large would leave no taper.",
            )

    @transaction.atomic
    def save(self, commit: bool = True) -> Lathe:
        for name in SEATS:
            seat = self.cleaned_data[name]
            if seat is not None and seat.pk is None:
                seat.save()
            setattr(self.instance, name, seat)
        return super().save(commit=commit)

    def tell_taken(self) -> bool:
        is_taken = Lathe.objects.filter(name__iexact=self.cleaned_data["name"]).exists()
        if is_taken:
            self.add_error("name", "There is a lathe of this name already.")
        return is_taken


def _seats_of(lathe: Lathe) -> dict[str, str]:
    seats = (lathe.nose, lathe.headstock_taper, lathe.tailstock_taper, lathe.post)
    return {name: seat.code for name, seat in zip(SEATS, seats, strict=True) if seat}


def facts(lathe: Lathe) -> list[tuple[str, Seat | Length | int | None]]:
    """What there is to know of a lathe, each with its words; None where nobody wrote it down."""
    return [
        ("spindle nose", lathe.nose),
        ("headstock taper", lathe.headstock_taper),
        ("tailstock taper", lathe.tailstock_taper),
        ("tool post", lathe.post),
        ("spindle bore", lathe.spindle_bore),
        ("spindle length", lathe.spindle_length),
        ("swing over bed", lathe.swing_over_bed),
        ("swing over cross slide", lathe.swing_over_slide),
        ("swing in the gap", lathe.gap_swing),
        ("width of the gap", lathe.gap_width),
        ("distance between centers", lathe.between_centers),
        ("set-over of the tailstock", lathe.set_over),
        ("travel of the compound", lathe.compound_travel),
        ("slowest speed, rpm", lathe.slowest_rpm),
        ("fastest speed, rpm", lathe.fastest_rpm),
        ("spindle run-out at the nose", lathe.nose_tir),
    ]
