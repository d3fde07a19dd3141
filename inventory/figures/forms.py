"""Forms for the shop's own figures: of one series in one shape, and of the shop as a whole."""

import re

from django import forms
from django.core.exceptions import ValidationError

from inventory.figures.series import OWN, built_in, in_words
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.lengths import Length, Unit, exact
from inventory.models import SeriesShape, ShopFigures

LARGEST_OFFSET = Length.inches("1/4")
"""No collet closes or opens further than this (common practice, no source): a size was typed."""
LARGEST_ALLOWANCE = Length.inches("0.01")
"""A measurement that is no better is no measurement of a bar (common practice, no source)."""
_ZERO = re.compile(r"\s*0*[.,]?0+(?:\s*(?:in|mm|\"))?\s*", re.ASCII)


class OffsetInput(LengthInput):
    """How far from nominal; unlike a size it can be 0."""

    def __init__(self, *, most: Length = LARGEST_OFFSET, **kwargs):
        self.most = most
        super().__init__(**kwargs)

    def to_python(self, value):
        if isinstance(value, str) and _ZERO.fullmatch(value):
            return Length(0)
        offset = super().to_python(value)
        if offset is not None and offset > self.most:
            raise ValidationError(f"Read as {exact(offset)}; write at most {exact(self.most)}.")
        return offset


_LABELS = {
    "closes_by": "Closes, under nominal, by",
    "opens_by": "Opens, over nominal, by",
    "small_closes_by": "Small sizes close by",
    "small_upto": "Small sizes reach up to",
    "true_under": "Runs as marked to, under nominal",
    "true_over": "Runs as marked to, over nominal",
    "edge_bottom": "Edge allowance at the bottom",
    "edge_top": "Edge allowance at the top",
    "smallest": "Smallest nominal",
    "largest": "Largest nominal",
    "passes": "Round bar passes up to",
    "passes_with_stop_thread": "Passes a stop thread up to",
    "typical_tir": "Typical TIR",
}
_MEANING = {
    "closes_by": "How far below its marked size such a collet may still grip.",
    "opens_by": "How far above its marked size it may still grip.",
    "small_closes_by": "For the small sizes of the series, where they close by less than the others.",
    "small_upto": "The largest marked size that counts as a small one.",
    "true_under": "The true zone: how far below its marked size a collet still runs as true as it is marked.",
    "true_over": "The true zone above the marked size.",
    "edge_bottom": "Nearer than this to its smallest grip an answer says: at the limit.",
    "edge_top": "Nearer than this to its largest grip an answer says: at the limit.",
    "smallest": "The smallest size that the series is made in.",
    "largest": "The largest size that the series is made in.",
    "passes": "What goes through the back of such a collet, whatever its size.",
    "passes_with_stop_thread": "The same, where a thread for a stop is cut inside.",
    "typical_tir": "The full swing that counts for a good one of which nothing was measured.",
}
_SIZES = {"small_upto", "smallest", "largest", "passes", "passes_with_stop_thread"}
_NEEDED = {"closes_by", "opens_by", "edge_bottom", "edge_top"}


class SeriesForm(forms.Form):
    """The figures of one series and shape, each with the built-in one in its hint."""

    def __init__(self, data=None, *, figures: SeriesShape, **kwargs):
        kwargs.setdefault("initial", {name: getattr(figures, name) for name in OWN})
        super().__init__(data, **kwargs)
        table = built_in(figures)
        unit = Unit.MM if figures.series.code.startswith("ER") else Unit.INCH
        for name in OWN:
            kind = LengthInput if name in _SIZES else OffsetInput
            self.fields[name] = kind(
                unit=unit, required=name in _NEEDED, label=_LABELS[name], help_text=_hint(name, table.get(name), unit)
            )
        say_plainly(self.fields, dict.fromkeys(_NEEDED, "0.005 in or 0.1 mm"))

    def clean(self):
        cleaned = super().clean()
        self._whole("small_closes_by", "small_upto", "Say both for small sizes, or neither.")
        self._whole("true_under", "true_over", "Say both ends of where it runs as marked, or neither.")
        self._not_above("smallest", "largest")
        self._not_above("passes_with_stop_thread", "passes")
        self._not_above("true_under", "closes_by")
        self._not_above("true_under", "small_closes_by")
        self._not_above("true_over", "opens_by")
        return cleaned

    @property
    def values(self) -> dict[str, Length | None]:
        return {name: self.cleaned_data[name] for name in OWN}

    @property
    def as_typed(self) -> list[tuple[str, str]]:
        """What is to be sent again when it is kept."""
        return [(name, "" if value is None else exact(value)) for name, value in self.values.items()]

    def _whole(self, first: str, second: str, sentence: str) -> None:
        if not {first, second} & set(self.errors):
            values = (self.cleaned_data[first], self.cleaned_data[second])
            if (values[0] is None) != (values[1] is None):
                self.add_error(second, sentence)

    def _not_above(self, inner: str, outer: str) -> None:
        low, high = self.cleaned_data.get(inner), self.cleaned_data.get(outer)
        if low is not None and high is not None and low > high and inner not in self.errors:
            self.add_error(inner, f"{in_words(low)} is more than “{_LABELS[outer]}”, {in_words(high)}.")


def _hint(name: str, value: Length | None, unit: Unit) -> str:
    bare = "millimetres" if unit is Unit.MM else "inches"
    return f"{_MEANING[name]} Built in: {in_words(value)}. A bare number is in {bare}."


class ShopForm(forms.ModelForm):
    """Figures of the whole shop."""

    measuring_allowance = OffsetInput(
        required=False,
        most=LARGEST_ALLOWANCE,
        label="Measuring allowance",
        help_text="How far one measurement may be out, either way: .0002 or 0.005 mm. Empty: it counts as measured.",
    )

    class Meta:
        model = ShopFigures
        fields = ("measuring_allowance",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)
