"""Forms for the shop's own figures: of one series in one shape, and of the shop as a whole."""

from collections.abc import Callable, Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from inventory.figures.series import OWN_FIGURES, OwnFigure, built_in, in_words, ladder_of, steps_of, values_of
from inventory.figures.steps import ACCEPTED, Steps, read_steps
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.length_words import typed
from inventory.measures.lengths import Length, LengthError, Unit, exact
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


class FiguresForm(forms.Form):
    """The figures of a series in one shape, in whatever form they are asked."""

    def ask_figures(self, unit: Unit, hint: Callable[[OwnFigure], str], *, with_steps: bool) -> None:
        """Add their fields; a bare number is in `unit`."""
        for own in OWN_FIGURES:
            kind = LengthInput if own.is_size else OffsetInput
            self.fields[own.name] = kind(unit=unit, required=own.is_needed, label=own.label, help_text=hint(own))
        if with_steps:
            self.fields["steps"] = forms.CharField(
                required=False,
                max_length=400,
                label="Sizes that it is made in",
                help_text=f"As you would say it: {ACCEPTED}. Empty: not known.",
                widget=forms.TextInput(attrs={"autocapitalize": "off"}),
            )
        self.unit = unit
        self.steps = Steps()

    def clean(self) -> dict[str, Any]:
        super().clean()
        self._want_both("small_closes_by", "small_upto", "Say both for small sizes, or neither.")
        self._want_both("true_under", "true_over", "Say both ends of where it runs as marked, or neither.")
        self._not_above("smallest", "largest")
        self._not_above("passes_with_stop_thread", "passes")
        self._not_above("true_under", "closes_by")
        self._not_above("true_under", "small_closes_by")
        self._not_above("true_over", "opens_by")
        if "steps" in self.fields and not {"steps", "smallest", "largest"} & set(self.errors):
            self._read_steps()
        return self.cleaned_data

    @property
    def values(self) -> dict[str, Length | None]:
        return {own.name: self.cleaned_data[own.name] for own in OWN_FIGURES}

    @property
    def ladder(self) -> dict[str, Any]:
        """The columns of the sizes that it is made in; nothing where they are not asked."""
        return (
            ladder_of(self.steps, self.cleaned_data["smallest"], self.cleaned_data["largest"])
            if self._asks_steps
            else {}
        )

    @property
    def _asks_steps(self) -> bool:
        return "steps" in self.fields

    def _read_steps(self) -> None:
        text, low, high = (self.cleaned_data[name] for name in ("steps", "smallest", "largest"))
        if text and (low is None or high is None):
            self.add_error("steps", "Say the smallest and the largest size too, between which these lie.")
        elif text:
            try:
                self.steps = read_steps(text, self.unit, smallest=low, largest=high)
            except LengthError as error:
                self.add_error("steps", error.message)

    def _want_both(self, first: str, second: str, sentence: str) -> None:
        if not {first, second} & set(self.errors):
            values = (self.cleaned_data[first], self.cleaned_data[second])
            if (values[0] is None) != (values[1] is None):
                self.add_error(second, sentence)

    def _not_above(self, inner: str, outer: str) -> None:
        low, high = self.cleaned_data.get(inner), self.cleaned_data.get(outer)
        if low is not None and high is not None and low > high and inner not in self.errors:
            self.add_error(inner, f"{in_words(low)} is more than “{self.fields[outer].label}”, {in_words(high)}.")


class SeriesForm(FiguresForm):
    """The figures of one series and shape, each with the built-in one in its hint."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, figures: SeriesShape, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {**values_of(figures), "steps": steps_of(figures).words})
        super().__init__(data, **kwargs)
        table = None if figures.is_own else built_in(figures)
        unit = unit_of(figures)
        self.ask_figures(unit, lambda own: _hint(own, table, unit), with_steps=figures.is_own)
        say_plainly(self.fields, {own.name: "0.005 in or 0.1 mm" for own in OWN_FIGURES if own.is_needed})

    @property
    def as_typed(self) -> list[tuple[str, str]]:
        """What is to be sent again when it is kept."""
        figures = [(name, "" if value is None else exact(value)) for name, value in self.values.items()]
        return [*figures, ("steps", self.steps.words)] if self._asks_steps else figures


def unit_of(figures: SeriesShape) -> Unit:
    """The unit that the figures of a series are told in: of ER and of what is made in millimetres that."""
    ends = (figures.smallest, figures.largest, figures.closes_by)
    return Unit.MM if figures.series.is_er or any(end is not None and end.is_metric for end in ends) else Unit.INCH


def _hint(own: OwnFigure, table: Mapping[str, Length | None] | None, unit: Unit) -> str:
    bare = "millimetres" if unit is Unit.MM else "inches"
    built_in = "" if table is None else f" Built in: {in_words(table.get(own.name))}."
    return f"{own.meaning}{built_in} A bare number is in {bare}."


class ShopForm(forms.ModelForm):
    """Figures of the whole shop."""

    measuring_allowance = OffsetInput(
        required=False,
        most=LARGEST_ALLOWANCE,
        label="Measuring allowance",
        help_text="How far one measurement may be out, either way: [.0002 or 0.005 mm|0.005]. Empty: it "
        "counts as measured.",
    )

    class Meta:
        model = ShopFigures
        fields = ("measuring_allowance",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)
