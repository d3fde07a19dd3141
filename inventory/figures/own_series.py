"""A series of the shop's own: what is asked of it, entered whole or copied from another, and what depends on it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction

from inventory.figures.forms import FiguresForm
from inventory.figures.names import Names
from inventory.figures.series import in_words, steps_of, values_of
from inventory.figures.steps import gaps_between
from inventory.measures.display import now
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import LineInput, say_plainly
from inventory.measures.lengths import Length, Unit, shorten
from inventory.models import Kind, OtherName, Price, Seat, Series, SeriesShape, Shape, Tool, User, Want
from inventory.reference.bodies import Angle, Closing, Dimension, bodies
from inventory.reference.codes import spelling_key
from inventory.web.editing import columns_of

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 .+&-]{0,19}")
_SHAPES = [(shape.value, shape.label) for shape in Shape]
_EXAMPLES = {
    "code": "W20 or ER32 fine",
    "smallest": "1 mm or 1/16",
    "largest": "20 mm or 1-1/8",
    "closes_by": "0.5 mm or 0.005 in",
    "opens_by": "0",
    "edge_bottom": "0",
    "edge_top": "0",
}
FIGURES_OF_A_BODY = ("body", "head", "length", "thread", "half_angle")


class BodyForm(forms.Form):
    """What a series is, beside its figures: its name, seat, closing and outside."""

    code = LineInput(max_length=20, label="Name", help_text="Up to 20 characters, as it is stamped: W20, ER32 fine …")
    seat = LineInput(
        required=False,
        max_length=30,
        label="Seat that it goes in",
        help_text="Like ER32 for what goes into an ER32 chuck, MT3 for a Morse shank. Empty: a seat of its own name.",
        widget=forms.TextInput(attrs={"list": "seats"}),
    )
    closing = forms.ChoiceField(
        required=False,
        choices=[("", "not known"), *Series.Closing.choices],
        label="Closed by",
        help_text="What a drawbar closes sits in the spindle itself, and needs its drawbar.",
    )
    holds_work = forms.BooleanField(
        required=False,
        label="It holds work",
        help_text="Tapping collets and the like do not: they are listed, and no answer offers them.",
    )
    body = LengthInput(required=False, label="Body diameter", help_text="Where it tapers all along, at its largest.")
    head = LengthInput(required=False, label="Largest diameter", help_text="Over all.")
    length = LengthInput(required=False, label="Length over all")
    thread = LineInput(
        required=False,
        max_length=30,
        label="Thread that closes it",
        help_text="Like 7/16-20 or M24 x 1.5; where a nut closes it, the nut's.",
    )
    half_angle = forms.CharField(
        required=False, max_length=10, label="Closing angle a side, degrees", help_text="Like 8 or 10."
    )
    source = LineInput(
        required=False,
        max_length=200,
        label="Where the figures come from",
        help_text="A table of the maker, measured here, a handbook. Empty: as this shop entered them.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    series: Series | None = None
    """The one that is edited."""
    is_new_seat = False

    @classmethod
    def of(cls, series: Series, data: Mapping[str, Any] | None = None) -> BodyForm:
        """The form of one that is in the book."""
        initial = {"code": series.code, "seat": series.seat.code, "source": series.standard, **_body_of(series)}
        form = cls(data, initial={**initial, "holds_work": series.holds_work})
        form.series = series
        say_plainly(form.fields, _EXAMPLES)
        return form

    def clean_code(self) -> str:
        code = self.cleaned_data["code"]
        if not _NAME.fullmatch(code):
            raise ValidationError(
                f"“{shorten(code)}” cannot be the name of a series. Write up to 20 letters, figures, spaces, dots and "
                "dashes, with a letter or figure first."
            )
        names = Names.of_book()
        taken = names.series_of_name(code)
        if taken is not None and taken != self.series:
            raise ValidationError(
                f"“{shorten(code)}” names {taken}, which is here already. Another shape of it is entered on the "
                f"page of {taken}; else write another name."
            )
        return code

    def clean_half_angle(self) -> Decimal | None:
        text = self.cleaned_data["half_angle"].replace(",", ".").replace("°", "").strip()
        if not text:
            return None
        try:
            angle = Decimal(text)
        except InvalidOperation:
            raise ValidationError(f"“{shorten(text)}” is no angle. Write degrees a side, like 8.") from None
        if not angle.is_finite() or not 0 < angle < 60:
            raise ValidationError(f"{shorten(text)} degrees were read; write more than 0 and less than 60.")
        return round(angle, 3)

    def clean(self) -> dict[str, Any]:
        super().clean()
        body, head = self.cleaned_data.get("body"), self.cleaned_data.get("head")
        if body is not None and head is not None and body > head:
            self.add_error("head", f"{in_words(head)} is less than the body, {in_words(body)}.")
        return self.cleaned_data

    def seat_row(self) -> tuple[Seat, bool]:
        """The seat that is meant, and whether it is new; made where no name of the book means it."""
        text = self.cleaned_data["seat"] or self.cleaned_data["code"]
        known = Names.of_book().seat(text)
        if known is not None:
            return known, False
        return Seat.objects.create(code=text, family=Seat.Family.COLLET), True

    @transaction.atomic
    def change(self, *, by: User) -> bool:
        """Write it to the series that is edited; whether anything changed. Its old name still leads to it."""
        series, was = self.series, self.series.code if self.series is not None else ""
        assert series is not None, "of a series that is in the book"
        before = columns_of(series)
        seat, self.is_new_seat = self.seat_row()
        has_moved = seat.pk != series.seat_id
        series.seat = seat
        self.put_on(series, by=by)
        if {**columns_of(series), "changed_by_id": None} == {**before, "changed_by_id": None}:
            return False
        series.save()
        if has_moved:
            Tool.objects.filter(size__series=series).update(mounts_in=seat)
        if spelling_key(was) != spelling_key(series.code):
            OtherName.objects.create(text=was, series=series, added_by=by)
        return True

    def put_on(self, series: Series, *, by: User) -> Series:
        """The columns of a series, not saved."""
        for name in ("code", "closing", "holds_work", *FIGURES_OF_A_BODY):
            setattr(series, name, self.cleaned_data[name])
        series.standard = self.cleaned_data["source"]
        series.changed_by = by
        return series


class OwnSeriesForm(BodyForm, FiguresForm):
    """A whole series that no table has, in one or more shapes with the same figures."""

    unit_of_bare = forms.ChoiceField(
        choices=[(Unit.INCH.value, "inches"), (Unit.MM.value, "millimetres")], label="Bare numbers are in"
    )
    shapes = forms.MultipleChoiceField(
        choices=_SHAPES,
        widget=forms.CheckboxSelectMultiple,
        help_text="Several where the same figures count for each; each can be changed by itself later.",
    )

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, like: SeriesShape | None = None, **kwargs: Any
    ) -> None:
        """`like` is what it is copied from."""
        kwargs.setdefault("initial", _initial(like))
        super().__init__(data, **kwargs)
        asked = data.get("unit_of_bare", "") if data is not None else ""
        unit = Unit(asked) if asked in list(Unit) else Unit.INCH
        self.ask_figures(unit, lambda own: own.meaning, with_steps=True)
        for name in ("opens_by", "edge_bottom", "edge_top"):
            self.fields[name].required = False
        for name in ("smallest", "largest"):
            self.fields[name].required = True
        for field in self.fields.values():
            if isinstance(field, LengthInput):
                field.unit = unit
        order = ["code", "shapes", "unit_of_bare", "smallest", "largest", "steps", "closes_by", "opens_by"]
        order += ["true_under", "true_over", "typical_tir", "seat", "closing", "holds_work", "passes"]
        self.order_fields([*order, "body", "head", "length", "thread", "half_angle", "source"])
        say_plainly(self.fields, _EXAMPLES)

    def clean(self) -> dict[str, Any]:
        for name in ("opens_by", "edge_bottom", "edge_top"):
            if self.cleaned_data.get(name) is None and name not in self.errors:
                self.cleaned_data[name] = Length(0)
        cleaned = super().clean()
        _refuse_closing_to_nothing(self)
        return cleaned

    @transaction.atomic
    def save(self, *, by: User) -> Series:
        seat, self.is_new_seat = self.seat_row()
        series = self.put_on(Series(seat=seat), by=by)
        series.save()
        enter_shapes(series, self.cleaned_data["shapes"], self, by=by, source=self.cleaned_data["source"])
        return series


class ShapeForm(FiguresForm):
    """A shape that a series did not have: square ER, hex TG."""

    def __init__(self, data: Mapping[str, Any] | None = None, *, series: Series, **kwargs: Any) -> None:
        like = series.shapes.order_by("shape").first()
        kwargs.setdefault("initial", {**_figures_of(like), "source": ""})
        super().__init__(data, **kwargs)
        self.series = series
        has = set(series.shapes.values_list("shape", flat=True))
        self.fields["shape"] = forms.ChoiceField(choices=[one for one in _SHAPES if one[0] not in has])
        self.fields["unit_of_bare"] = OwnSeriesForm.base_fields["unit_of_bare"]
        asked = data.get("unit_of_bare", "") if data is not None else ""
        unit = Unit(asked) if asked in list(Unit) else Unit.INCH
        self.ask_figures(unit, lambda own: own.meaning, with_steps=True)
        self.fields["source"] = BodyForm.base_fields["source"]
        self.order_fields(["shape", "unit_of_bare", "smallest", "largest", "steps"])
        for name in ("smallest", "largest"):
            self.fields[name].required = True
        say_plainly(self.fields, _EXAMPLES)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        _refuse_closing_to_nothing(self)
        return cleaned

    @transaction.atomic
    def save(self, *, by: User) -> SeriesShape:
        source = self.cleaned_data["source"]
        return enter_shapes(self.series, [self.cleaned_data["shape"]], self, by=by, source=source)[0]


def enter_shapes(series: Series, shapes: list[str], form: FiguresForm, *, by: User, source: str) -> list[SeriesShape]:
    """Each of these shapes with the figures of the form."""
    return [
        SeriesShape.objects.create(
            series=series, shape=shape, **form.values, **form.ladder, source=source or f"entered by {by}", changed_by=by
        )
        for shape in shapes
    ]


def gap_in(figures: SeriesShape) -> str:
    """What lies between two sizes and is held by neither; empty where nothing does."""
    sizes = figures.listed_sizes
    if not sizes and figures.ladder_step and figures.ladder_from and figures.ladder_from + figures.ladder_step:
        sizes = (figures.ladder_from, figures.ladder_from + figures.ladder_step)
    return gaps_between(sizes, closes_by=figures.closes_by, opens_by=figures.opens_by)


def dependents(series: Series) -> list[str]:
    """What in the book is of this series, in words: `3 pieces`."""
    blanks = Tool.objects.in_book().filter(kind=Kind.MACHINABLE_COLLET, size=None, mounts_in=series.seat)
    counts = (
        ("piece", "pieces", Tool.objects.in_book().filter(size__series=series).count()),
        ("blank in its seat", "blanks in its seat", blanks.count()),
        ("line of the order list", "lines of the order list", Want.objects.open().filter(size__series=series).count()),
        ("price", "prices", Price.objects.filter(series=series).count()),
    )
    return [f"{number} {one if number == 1 else several}" for one, several, number in counts if number]


def _refuse_closing_to_nothing(form: FiguresForm) -> None:
    smallest, closes_by = form.cleaned_data.get("smallest"), form.cleaned_data.get("closes_by")
    small = form.cleaned_data.get("small_closes_by")
    least = closes_by if small is None else small
    if smallest is not None and least is not None and least >= smallest and "closes_by" not in form.errors:
        form.add_error(
            "closes_by",
            f"{in_words(least)} is not less than the smallest size, {in_words(smallest)}: it would close to nothing.",
        )


def _initial(like: SeriesShape | None) -> dict[str, Any]:
    if like is None:
        bare = now().unit.value
        return {
            "unit_of_bare": bare,
            "shapes": [Shape.ROUND.value],
            "holds_work": True,
            "opens_by": "0",
            "edge_bottom": "0",
            "edge_top": "0",
        }
    series = like.series
    return {
        **_figures_of(like),
        "shapes": [like.shape],
        "seat": series.seat.code,
        "holds_work": series.holds_work,
        **_body_of(series),
    }


def _figures_of(like: SeriesShape | None) -> dict[str, Any]:
    if like is None:
        return {}
    is_mm = any(end is not None and end.is_metric for end in (like.smallest, like.largest, like.closes_by))
    figures = {name: value for name, value in values_of(like).items() if value is not None}
    zeros = {name: "0" for name, value in figures.items() if not value.nm}
    unit = Unit.MM if is_mm else Unit.INCH
    return {**figures, **zeros, "steps": steps_of(like).words, "unit_of_bare": unit.value, "source": like.source[:200]}


def _body_of(series: Series) -> dict[str, Any]:
    """What is known of the outside of a series: of the shop's own in its row, of others in the tables."""
    if series.is_own:
        return {name: getattr(series, name) for name in ("closing", *FIGURES_OF_A_BODY)}
    body = next((one for one in bodies() if one.code == series.code), None)
    values = {figure.dimension: figure.value for figure in body.figures} if body is not None else {}
    closing, angle = values.get(Dimension.CLOSING), values.get(Dimension.ANGLE)
    return {
        "closing": closing.value if isinstance(closing, Closing) else "",
        "body": values.get(Dimension.BODY),
        "head": values.get(Dimension.HEAD),
        "length": values.get(Dimension.LENGTH),
        "half_angle": f"{Decimal(angle.degrees.numerator) / angle.degrees.denominator:.3f}".rstrip("0").rstrip(".")
        if isinstance(angle, Angle)
        else "",
    }
