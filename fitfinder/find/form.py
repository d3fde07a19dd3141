"""The finder's question, as a form that is sent by its address."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from django import forms

from fitfinder.find.question import Question
from fitfinder.holding.stock import SHAPES
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Length, LengthError, Unit, parse
from inventory.reference.bars import Grade, grade_named, grades_for

PARTS = ("64", "32", "16", "8", "4", "2")
_FRACTION = re.compile(rf"(?:(?P<whole>[0-9]+)[- ])?(?P<over>[0-9]+)/(?P<parts>{'|'.join(PARTS)})", re.ASCII)


class FindForm(forms.Form):
    """What is in the hand. A fraction may be given by number keys alone: whole, top and bottom."""

    size = forms.CharField(
        required=False,
        max_length=400,
        help_text="As measured or marked: .7485, 1-1/8 hex, 19 mm, .748-.750, 20h9, #7, letter F, or a collet's tag.",
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
    grade = forms.ChoiceField()
    lathe = forms.ChoiceField()
    tir = forms.CharField(
        required=False,
        label="TIR needed",
        help_text="What it may run out in all, like .001. Leave it empty where it does not matter.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )

    def __init__(self, *, initial: Mapping[str, str], lathes: Iterable[str]) -> None:
        super().__init__(initial=dict(initial))
        self.fields["grade"] = _grade_field(_grades_of(initial))
        names = [("", "any lathe here"), *((name, name) for name in lathes)]
        self.fields["lathe"] = forms.ChoiceField(required=False, choices=names)

    @staticmethod
    def size_text(texts: Mapping[str, str]) -> str:
        """The size as one text, put together from the number keys where those were used.

        Raises QuestionError where both say something else, and where a fraction lacks its lower number.
        """
        size, whole, over, parts = ((texts.get(name) or "").strip() for name in ("size", "whole", "over", "parts"))
        if not (whole or over):
            return size
        if over and not parts:
            raise QuestionError(
                f"The fraction {over}/… has no bottom number. Choose it: 64, 32, 16, 8, 4 or 2.",
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
    def question(cls, texts: Mapping[str, str]) -> Question:
        """The question that an address or a form says. Raises QuestionError as `size_text`."""
        return Question.from_texts({**{name: texts[name] for name in texts}, "size": cls.size_text(texts)})


def _grade_field(grades: Iterable[Grade]) -> forms.ChoiceField:
    return forms.ChoiceField(
        required=False,
        label="Or the size is from the bar's label, and the bar is",
        help_text="The kind of bar says how far it may be off its nominal size.",
        choices=[("", "measured, no grade"), *((grade.code, grade.label) for grade in grades)],
    )


def _grades_of(texts: Mapping[str, str]) -> list[Grade]:
    """The grades that bar of the shape and size in the form is made in; one that was chosen stays, to be put right."""
    shape = texts.get("shape") or "round"
    if shape not in SHAPES:
        shape = "round"
    found = grades_for(shape, _size_of(texts)) or grades_for(shape)
    chosen = grade_named(texts.get("grade") or "")
    return found if chosen is None or chosen in found else [*found, chosen]


def _size_of(texts: Mapping[str, str]) -> Length | None:
    try:
        return parse(FindForm.size_text(texts), Unit(texts.get("unit") or "in"))
    except (LengthError, QuestionError, ValueError):
        return None
