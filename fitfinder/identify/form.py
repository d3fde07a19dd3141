"""What was measured on a collet without a mark, as a form that is sent by its address."""

from django import forms
from django.core.exceptions import ValidationError

from fitfinder.identify.measured import (
    LARGEST_DIAMETER,
    LARGEST_LENGTH,
    Measured,
    MeasureError,
    read_taper,
    read_thread,
)
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import Length, LengthError, parse
from inventory.reference.bodies import Closing


class MeasuredInput(LengthInput):
    """A length in the hand; a bare number of inches that no collet has is asked back."""

    def __init__(self, *, largest: Length, **kwargs):
        self.largest = largest
        super().__init__(required=False, **kwargs)

    def to_python(self, value):
        text = forms.CharField.to_python(self, value)
        if not text:
            return None
        try:
            return parse(text, self.unit, bare_limit=self.largest)
        except LengthError as error:
            raise ValidationError(error.message, code="unreadable") from None


class WhichColletForm(forms.Form):
    """What was measured on a collet that nothing is marked on; the letters are those of the drawing."""

    body = MeasuredInput(
        largest=LARGEST_DIAMETER,
        label="A, body diameter",
        help_text="Straight part behind the head; tapered all along: its largest. Like 1.249.",
    )
    head = MeasuredInput(
        largest=LARGEST_DIAMETER,
        label="B, largest diameter",
        help_text="Over the head, where it is widest. Like 1.48 or 33 mm.",
    )
    length = MeasuredInput(
        largest=LARGEST_LENGTH,
        label="C, length over all",
        help_text="From the face to the end of the tail. Like 3.27 or 40 mm.",
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
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}),
    )
    taper = forms.CharField(
        required=False,
        max_length=60,
        label="E, closing angle or taper",
        help_text="Between axis and taper, one side: 10 or 8. Or 16.85 included; a slow taper: Morse, MT3, Jarno.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)

    def clean_thread(self):
        return _read(read_thread, self.cleaned_data["thread"]) or (None, None)

    def clean_taper(self):
        return _read(read_taper, self.cleaned_data["taper"])

    def clean(self):
        cleaned = super().clean()
        if not self.errors and self.measured.is_empty:
            raise ValidationError("Nothing was measured. Give one figure at least; what you do not know stays empty.")
        return cleaned

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


def _read(reader, text: str):
    if not text:
        return None
    try:
        return reader(text)
    except MeasureError as error:
        raise ValidationError(str(error), code="unreadable") from None
