"""The finder's question, as a form that is sent by its address."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from django import forms

from fitfinder import crib
from fitfinder.find.number_keys import BOTTOMS, KEYS, size_text
from fitfinder.holding.stock import SHAPES
from fitfinder.question_forms import QuestionForm, grade_field, lathe_field, unit_field
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, LengthError, Unit, parse
from inventory.reference.bars import Grade, grade_named, grades_for


class FindForm(QuestionForm):
    """What is in the hand. A fraction may be given by number keys alone: whole, top and bottom."""

    size = forms.CharField(
        required=False,
        max_length=400,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "big"}),
    )
    said = forms.CharField(
        required=False,
        max_length=400,
        label="As you would say it",
        help_text="[1-1/8 hex, 19 mm, .748-.750|19.0-19.2, 17 hex, 3/4], 20h9, #7, letter F, or a collet's tag.",
        widget=forms.TextInput(attrs={"autocapitalize": "off", "class": "big"}),
    )
    whole = forms.CharField(required=False, widget=forms.TextInput(attrs={"inputmode": "numeric", "pattern": "[0-9]*"}))
    over = forms.CharField(required=False, widget=forms.TextInput(attrs={"inputmode": "numeric", "pattern": "[0-9]*"}))
    parts = forms.ChoiceField(required=False, choices=[("", "parts"), *((part, part) for part in BOTTOMS)])
    shape = forms.ChoiceField(required=False, choices=[(shape, shape) for shape in SHAPES], widget=forms.RadioSelect)
    unit = unit_field()
    size2 = forms.CharField(
        required=False,
        label="Largest measured size",
        help_text="Only where the bar is not the same all along: the size above is then the smallest.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    grade = forms.ChoiceField()
    lathe = forms.ChoiceField()
    tir = forms.CharField(
        required=False,
        label="TIR needed",
        help_text="What it may run out in all, like [.001|0.02]. Leave it empty where it does not matter.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )

    @property
    def typed_as(self) -> str:
        """Which of the three ways to type a size is open."""
        if any(self.initial.get(name) for name in KEYS) or "parts" in self.errors:
            return "fraction"
        return "words" if self.initial.get("said") or "said" in self.errors else "decimal"

    def __init__(self, *, initial: Mapping[str, str], lathes: Iterable[str]) -> None:
        super().__init__(initial=dict(initial))
        in_mm = (initial.get("unit") or crib.shop_unit()) == Unit.MM
        self.fields["size"].help_text = f"In {'millimetres' if in_mm else 'inches'}, as measured; a decimal."
        self.fields["grade"] = grade_field(_grades_of(initial))
        self.fields["lathe"] = lathe_field(lathes, any_words="any lathe here")


def _grades_of(texts: Mapping[str, str]) -> list[Grade]:
    """The grades that bar of the shape and size in the form is made in; one that was chosen stays, to be put right."""
    shape = texts.get("shape") or "round"
    if shape not in SHAPES:
        shape = "round"
    grades = grades_for(shape, _size_of(texts)) or grades_for(shape)
    chosen = grade_named(texts.get("grade") or "")
    return grades if chosen is None or chosen in grades else [*grades, chosen]


def _size_of(texts: Mapping[str, str]) -> Length | None:
    try:
        return parse(size_text(texts), Unit(texts.get("unit") or crib.shop_unit()))
    except (LengthError, QuestionError, ValueError):
        return None
