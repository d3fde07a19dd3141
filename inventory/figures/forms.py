"""Forms for the shop's own figures: of one series in one shape, and of the shop as a whole."""

from django import forms
from django.core.exceptions import ValidationError

from inventory.figures.series import OWN_FIGURES, OwnFigure, built_in, in_words, values_of
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.length_words import typed
from inventory.measures.lengths import Length, Unit, exact
from inventory.models import SeriesShape, ShopFigures

LARGEST_OFFSET = Length.inches("1/4")
"""No collet closes or opens further than this (common practice, no source): a size was typed."""
LARGEST_ALLOWANCE = Length.inches("0.01")
"""A measurement that is no better is no measurement of a bar (common practice, no source)."""


class OffsetInput(LengthInput):
    """How far from nominal; unlike a size it can be 0."""

    def __init__(self, *, most: Length = LARGEST_OFFSET, **kwargs):
        self.most = most
        super().__init__(may_be_zero=True, **kwargs)

    def to_python(self, value):
        offset = super().to_python(value)
        if offset is not None and offset > self.most:
            raise ValidationError(f"Read as {typed(offset)}; write at most {typed(self.most)}.")
        return offset


class SeriesForm(forms.Form):
    """The figures of one series and shape, each with the built-in one in its hint."""

    def __init__(self, data=None, *, figures: SeriesShape, **kwargs):
        kwargs.setdefault("initial", values_of(figures))
        super().__init__(data, **kwargs)
        table = built_in(figures)
        unit = Unit.MM if figures.series.is_er else Unit.INCH
        for own in OWN_FIGURES:
            kind = LengthInput if own.is_size else OffsetInput
            self.fields[own.name] = kind(
                unit=unit, required=own.is_needed, label=own.label, help_text=_hint(own, table.get(own.name), unit)
            )
        say_plainly(self.fields, {own.name: "0.005 in or 0.1 mm" for own in OWN_FIGURES if own.is_needed})

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
        return {own.name: self.cleaned_data[own.name] for own in OWN_FIGURES}

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
            self.add_error(inner, f"{in_words(low)} is more than “{self.fields[outer].label}”, {in_words(high)}.")


def _hint(own: OwnFigure, in_the_table: Length | None, unit: Unit) -> str:
    bare = "millimetres" if unit is Unit.MM else "inches"
    return f"{own.meaning} Built in: {in_words(in_the_table)}. A bare number is in {bare}."


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
