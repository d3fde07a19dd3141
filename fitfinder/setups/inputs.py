"""Form fields for what stands on a setup sheet: pitches, heights off the center, minutes, and pieces by their tags."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.measures.display import now
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import LineInput
from inventory.measures.length_words import signed
from inventory.measures.lengths import NM_PER_INCH, Length, shorten
from inventory.models import Tool

_TO_THE_INCH = re.compile(r"([0-9]{1,3})(?:\.([0-9]))?\s*(?:tpi|t\.p\.i\.|/in|to the inch|per inch)", re.IGNORECASE)
_LOOKS_LIKE_A_TAG = re.compile(r"[A-Z]{1,3}-?[0-9]{2,6}[A-Z]?", re.ASCII | re.IGNORECASE)
MOST_MINUTES = 6_000
"""A hundred hours: more was typed in seconds."""


class PitchInput(LengthInput):
    """From tooth to tooth: `13 tpi` or a length; cleans to a Length."""

    def to_python(self, value: Any) -> Length | None:  # type: ignore[override]  # its text becomes a Length
        text = value.strip() if isinstance(value, str) else ""
        threads = _TO_THE_INCH.fullmatch(text)
        if threads is None:
            try:
                return super().to_python(value)
            except ValidationError:
                # The words for a length would not name a pitch.
                raise ValidationError(_no_pitch(text)) from None
        per_inch = Fraction(f"{threads[1]}.{threads[2] or 0}")
        if per_inch == 0:
            raise ValidationError(_no_pitch(text))
        return Length(round(NM_PER_INCH / per_inch))

    def as_typed(self, length: Length) -> str:
        return pitch_text(length)


def _no_pitch(text: str) -> str:
    return (
        f"“{shorten(text)}” is no pitch. Write it like 13 tpi, at most 999 to the inch, or from tooth to tooth: 1.5 mm."
    )


def pitch_text(pitch: Length) -> str:
    """`13 tpi` where that many go to the inch, else the length."""
    per_inch = round(Fraction(NM_PER_INCH, pitch.nm))
    if per_inch and round(Fraction(NM_PER_INCH, per_inch)) == pitch.nm:
        return f"{per_inch} tpi"
    return LengthInput().as_typed(pitch)


class HeightInput(LengthInput):
    """How far off the center, above it, or with a minus below it; 0 is on center."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(may_be_zero=True, **kwargs)

    def to_python(self, value: Any) -> Length | None:  # type: ignore[override]  # its text becomes a Length
        if isinstance(value, Length):
            return value
        text = value.strip().replace("−", "-") if isinstance(value, str) else ""
        length = super().to_python(text.lstrip("+-").strip())
        return -length if length is not None and text.startswith("-") else length

    def as_typed(self, length: Length) -> str:
        return height_text(length)


def height_text(height: Length) -> str:
    """`+0.0040 in`, `-0.10 mm`, `0`."""
    return f"{signed(height)} {now().unit.value}" if height.nm else "0"


class MinutesInput(forms.DecimalField):
    """Minutes with up to two decimal places; cleans to hundredths."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            min_value=Decimal("0.01"),
            max_value=MOST_MINUTES,
            decimal_places=2,
            required=False,
            widget=forms.TextInput(attrs={"inputmode": "decimal"}),
            error_messages={
                "invalid": "That is no number of minutes. Write it like 12 or 2.5.",
                "max_decimal_places": "Minutes have at most two decimal places, like 2.25.",
            },
            **kwargs,
        )

    def clean(self, value: Any) -> int | None:
        minutes = super().clean(value)
        return None if minutes is None else int(minutes * 100)

    def prepare_value(self, value: Any) -> Any:
        return minutes_text(value) if isinstance(value, int) else value


def minutes_text(hundredths: int) -> str:
    """`2.5`, `12`."""
    return f"{Decimal(hundredths) / 100:.2f}".rstrip("0").rstrip(".")


def _tool(tag: str) -> Tool | None:
    return Tool.objects.for_list().in_book().tagged(tag).first()


class PieceInput(LineInput):
    """The tag of a piece of the crib; cleans to the Tool, or None."""

    def clean(self, value: Any) -> Tool | None:
        tag = super().clean(value)
        if not tag:
            return None
        tool = _tool(tag)
        if tool is None:
            raise ValidationError(f"No piece has the tag “{shorten(tag)}”. Write a tag of the crib, like H-0078.")
        return tool

    def prepare_value(self, value: Any) -> Any:
        return value.tag if isinstance(value, Tool) else value


class ToolInput(LineInput):
    """The tag of a piece, or what a tool is called that has none; cleans to a Tool or a text."""

    def clean(self, value: Any) -> Tool | str:
        text = super().clean(value)
        tool = _tool(text) if text else None
        if tool is None and _LOOKS_LIKE_A_TAG.fullmatch(text):
            raise ValidationError(
                f"No piece has the tag “{shorten(text)}”. Write a tag of the crib, or what it is called."
            )
        return tool or text

    def prepare_value(self, value: Any) -> Any:
        return value.tag if isinstance(value, Tool) else value


class PiecesInput(LineInput):
    """The tags of several pieces, from the spindle to the work; cleans to the Tools in that order."""

    def clean(self, value: Any) -> list[Tool]:
        tags = list(dict.fromkeys(re.split(r"[\s,;]+", super().clean(value).upper())))
        tools = {tool.tag.upper(): tool for tool in Tool.objects.in_book().for_list().filter(tag__in=tags)}
        unknown = [tag for tag in tags if tag and tag not in tools]
        if unknown:
            raise ValidationError(
                f"No piece has the tag “{shorten(', '.join(unknown))}”. Write tags of the crib, like H-0061, C-0011."
            )
        return [tools[tag] for tag in tags if tag]
