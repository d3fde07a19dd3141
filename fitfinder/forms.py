"""The finder's question, and those of the shop's sums, as forms that are sent by their address."""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.forms.utils import ErrorDict

from fitfinder.measured import LARGEST_DIAMETER, LARGEST_LENGTH, Measured, MeasureError, read_taper, read_thread
from fitfinder.questions import Question
from fitfinder.setups import Key, Sum
from fitfinder.stock import SHAPES, QuestionError
from inventory.fields import LengthInput
from inventory.inputs import say_plainly
from inventory.lengths import Length, LengthError, Unit, parse
from inventory.reference.bars import Grade, grade_named, grades_for
from inventory.reference.bodies import Closing

PARTS = ("64", "32", "16", "8", "4", "2")
_FRACTION = re.compile(rf"(?:(?P<whole>[0-9]+)[- ])?(?P<over>[0-9]+)/(?P<parts>{'|'.join(PARTS)})", re.ASCII)
MEASURED, LABEL, RANGE = "measured", "label", "range"


class FindForm(forms.Form):
    """What is in the hand. A fraction may be given by number keys alone: whole, over and parts."""

    size = forms.CharField(
        required=False,
        max_length=400,
        help_text="As measured or marked: .7485, 3/4, 19 mm, .748-.750, 20h9, #7, letter F, or a collet's tag.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off", "class": "big"}),
    )
    whole = forms.CharField(required=False, widget=forms.TextInput(attrs={"inputmode": "numeric", "pattern": "[0-9]*"}))
    over = forms.CharField(required=False, widget=forms.TextInput(attrs={"inputmode": "numeric", "pattern": "[0-9]*"}))
    parts = forms.ChoiceField(required=False, choices=[("", "parts"), *((part, part) for part in PARTS)])
    shape = forms.ChoiceField(required=False, choices=[(shape, shape) for shape in SHAPES], widget=forms.RadioSelect)
    unit = forms.ChoiceField(
        required=False,
        label="A bare number is in",
        choices=[("in", "inches"), ("mm", "millimetres")],
        widget=forms.RadioSelect,
    )
    size2 = forms.CharField(
        required=False,
        label="Largest measured size",
        help_text="Only where the bar is not the same all along: the size above is then the smallest.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    grade = forms.ChoiceField(required=False, label="Or the size is from the bar's label, and the bar is")
    lathe = forms.ChoiceField(required=False)
    tir = forms.CharField(
        required=False,
        label="TIR needed",
        help_text="What it may run out in all, like .001. Leave it empty where it does not matter.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )

    def __init__(self, data=None, *, lathes=(), **kwargs):
        super().__init__(data, **kwargs)
        grades = _grades_of(kwargs.get("initial") or {})
        self.fields["grade"].choices = [("", "measured, no grade")] + [(entry.code, entry.label) for entry in grades]
        self.fields["lathe"].choices = [("", "any lathe here")] + [(name, name) for name in lathes]

    @staticmethod
    def size_text(texts) -> str:
        """The size as one text, put together from the number keys where those were used.

        Raises QuestionError where both say something else, and where a fraction lacks its lower number.
        """
        size, whole, over, parts = ((texts.get(name) or "").strip() for name in ("size", "whole", "over", "parts"))
        if not (whole or over):
            return size
        if over and not parts:
            raise QuestionError(
                f"The fraction {over}/… has no lower number. Choose its parts: 64, 32, 16, 8, 4 or 2.",
                field="parts",
                read=over[:40],
            )
        fraction = f"{over}/{parts}" if over else ""
        keyed = "-".join(part for part in (whole, fraction) if part)
        if size and size != keyed:
            raise QuestionError(
                f"Two sizes were given, “{size[:40]}” and {keyed[:40]}. Leave one of them empty.",
                field="size",
                read=size[:40],
            )
        return keyed

    @staticmethod
    def drawn(texts: dict[str, str]) -> dict[str, str]:
        """Values for the form to start with: a fraction goes back to the keys that it came from."""
        found = _FRACTION.fullmatch(texts.get("size") or "")
        if not found:
            return texts
        return {**texts, "size": "", **{name: found[name] or "" for name in ("whole", "over", "parts")}}

    @classmethod
    def question(cls, texts) -> Question:
        """The question that an address or a form says. Raises QuestionError as `size_text`."""
        return Question.from_texts({**{name: texts.get(name) for name in texts}, "size": cls.size_text(texts)})


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
        help_text="Of the straight part behind the head; where it tapers all along, the largest. Like 1.249 or 33 mm.",
    )
    head = MeasuredInput(
        largest=LARGEST_DIAMETER, label="B, largest diameter", help_text="Over the head. Like 1.48 or 33 mm."
    )
    length = MeasuredInput(
        largest=LARGEST_LENGTH, label="C, length over all", help_text="End to end. Like 3.27 or 40 mm."
    )
    closing = forms.ChoiceField(
        required=False,
        label="Closed by",
        choices=[("", "do not know"), *((closing.value, closing.words) for closing in Closing)],
    )
    thread = forms.CharField(
        required=False,
        max_length=60,
        label="D, thread that closes it",
        help_text="Diameter and pitch like 1.238-20, 1.875 x 1.75 mm or M40 x 1.5, or the diameter alone. "
        "Where a nut closes it, the nut's.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}),
    )
    taper = forms.CharField(
        required=False,
        max_length=60,
        label="E, closing angle or taper",
        help_text="Degrees a side like 10 or 8, an included angle like 16.85 included, or Morse, MT3, Jarno.",
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


def _grades_of(texts: dict[str, str]) -> list[Grade]:
    """The grades that bar of the shape and size in the form is made in; one that was chosen stays, to be put right."""
    shape = texts.get("shape") or "round"
    if shape not in SHAPES:
        shape = "round"
    found = grades_for(shape, _size_of(texts)) or grades_for(shape)
    chosen = grade_named(texts.get("grade") or "")
    return found if chosen is None or chosen in found else [*found, chosen]


def _size_of(texts: dict[str, str]) -> Length | None:
    try:
        return parse(FindForm.size_text(texts), Unit(texts.get("unit") or "in"))
    except (LengthError, QuestionError, ValueError):
        return None


class SumForm(forms.Form):
    """The fields of one sum of the shop, drawn from its keys; it is sent by its address and decides nothing."""

    def __init__(self, asked: Sum, *, initial: dict[str, str], error: QuestionError | None = None):
        super().__init__({**initial} if error else None, initial=initial)
        for key in asked.keys:
            self.fields[key.name] = _field_of(key)
        self.fields["unit"] = forms.ChoiceField(
            required=False,
            label="A bare number is in",
            help_text="Inches, lb, lbf, ft/min and psi; or mm, kg, N, m/min and MPa.",
            choices=[("in", "inches"), ("mm", "millimetres")],
            widget=forms.RadioSelect,
        )
        if error:
            self._errors = ErrorDict()
            self.cleaned_data = {}
            self.add_error(error.field if error.field in self.fields else None, error.message)


def _field_of(key: Key) -> forms.Field:
    if key.choices:
        choices = [(word, word.replace("-", " ")) for word in key.choices]
        return forms.ChoiceField(
            required=False, label=key.words, help_text=key.hint, choices=choices, widget=forms.RadioSelect
        )
    attributes = {"autocomplete": "off", "autocapitalize": "off"}
    return forms.CharField(
        required=False, label=key.words, help_text=key.hint, widget=forms.TextInput(attrs=attributes)
    )
