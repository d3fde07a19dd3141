"""What was measured on a collet without a mark, as a form that is sent by its address."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from django import forms
from django.core.exceptions import ValidationError

from fitfinder.identify.measured import (
    LARGEST_DIAMETER,
    LARGEST_LENGTH,
    Measured,
    Taper,
    read_taper,
    read_thread,
)
from fitfinder.questions import QuestionError
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import Length
from inventory.reference.bodies import Closing, Pitch


def _measured(label: str, help_text: str, *, bare_limit: Length) -> LengthInput:
    return LengthInput(required=False, label=label, help_text=help_text, bare_limit=bare_limit)


class WhichColletForm(forms.Form):
    """What was measured on a collet that nothing is marked on; the letters are those of the drawing."""

    body = _measured(
        "A, body diameter",
        "Straight part behind the head; tapered all along: its largest. Like [1.249|31.72].",
        bare_limit=LARGEST_DIAMETER,
    )
    head = _measured(
        "B, largest diameter",
        "Over the head, where it is widest. Like [1.48 or 33 mm|33].",
        bare_limit=LARGEST_DIAMETER,
    )
    length = _measured(
        "C, length over all",
        "From the face to the end of the tail. Like [3.27 or 40 mm|40].",
        bare_limit=LARGEST_LENGTH,
    )
    closing = forms.ChoiceField(
        required=False,
        label="Closed by",
        help_text="What pulls or pushes it into its taper.",
        choices=[("", "do not know"), *((closing.value, closing.words) for closing in Closing)],
    )
    thread = forms.CharField(
        required=False,
        max_length=60,
        label="D, thread that closes it",
        help_text="Outside on the tail, inside it for a drawbar, or the nut's. Like 1.238-20, M40 x 1.5 or 1.238.",
        widget=forms.TextInput(attrs={"autocapitalize": "off"}),
    )
    taper = forms.CharField(
        required=False,
        max_length=60,
        label="E, closing angle or taper",
        help_text="Between axis and taper, one side: 10 or 8. Or 16.85 included; a slow taper: Morse, MT3, Jarno.",
        widget=forms.TextInput(attrs={"autocapitalize": "off"}),
    )

    def __init__(self, data: Mapping[str, str] | None = None) -> None:
        super().__init__(data)
        say_plainly(self.fields)

    def clean_thread(self) -> tuple[Length | None, Pitch | None]:
        return _read(read_thread, self.cleaned_data["thread"]) or (None, None)

    def clean_taper(self) -> Taper | None:
        return _read(read_taper, self.cleaned_data["taper"])

    def clean(self) -> None:
        super().clean()
        if not self.errors and self.measured.is_empty:
            raise ValidationError("Nothing was measured. Give one figure at least; what you do not know stays empty.")

    @property
    def measured(self) -> Measured:
        """What a valid form says."""
        cleaned = self.cleaned_data
        diameter, pitch = cleaned["thread"]
        return Measured(
            body=cleaned["body"],
            head=cleaned["head"],
            length=cleaned["length"],
            closing=Closing(cleaned["closing"]) if cleaned["closing"] else None,
            thread=diameter,
            pitch=pitch,
            taper=cleaned["taper"],
        )


Read = TypeVar("Read")


def _read(reader: Callable[[str], Read], text: str) -> Read | None:
    if not text:
        return None
    try:
        return reader(text)
    except QuestionError as error:
        raise ValidationError(error.message, code="unreadable") from None
