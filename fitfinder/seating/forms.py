"""The questions of seating, as forms that are sent by their address. They decide nothing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django import forms

from fitfinder.question_forms import QuestionForm, lathe_field, unit_field
from fitfinder.seating.holders import OPERATIONS, SHAPES

_TEXT = {"autocapitalize": "off"}


def _text(label: str, help_text: str, **attributes: str) -> forms.CharField:
    return forms.CharField(
        required=False, label=label, help_text=help_text, widget=forms.TextInput(attrs=_TEXT | attributes)
    )


class SeatForm(QuestionForm):
    """Asks for the lathe and the unit; what else is asked stands between."""

    lathe = forms.ChoiceField()

    def __init__(self, *, initial: Mapping[str, str], lathes: Iterable[str]) -> None:
        super().__init__(initial=dict(initial))
        self.fields["unit"] = unit_field()
        self.fields["lathe"] = lathe_field(lathes)


class CenterForm(SeatForm):
    bore = _text("Bore of the work", "Of a tube, like [2-3/4 or 70 mm|70]. Empty: solid, with a center hole.")
    clearance = _text("Room for the tool", "How far the point has to reach out, like [1|25]. Empty: no room is needed.")
    speed = _text("Speed", "Whole rpm that you mean to run, like 800. Empty: not given.", inputmode="numeric")


class HolderForm(SeatForm):
    shank = _text("Shank or bar", "Height or diameter, like [1/2 or 12 mm|12]; of a parting blade its height.")
    shape = forms.ChoiceField(
        required=False,
        label="Shape of shank",
        choices=[(word, word) for word in SHAPES],
        widget=forms.RadioSelect,
        initial="square",
    )
    operation = forms.ChoiceField(
        required=False, label="For", choices=[("", "any operation"), *((word, word) for word in OPERATIONS)]
    )
