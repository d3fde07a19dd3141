"""Prices as purchasing types them: of a size, of all other sizes of a series, of a blank, of a set."""

import re

from django import forms
from django.db import transaction

from inventory.figures.names import series_named
from inventory.measures.collet_marks import read_mark
from inventory.measures.display import now
from inventory.measures.inputs import MoneyInput, say_plainly
from inventory.measures.length_words import nominal, typed
from inventory.measures.lengths import Length, LengthError, parse, shorten
from inventory.models import Price, Series, SeriesShape, SetPrice, Shape, Size

MOST_SIZES = 200
_SEPARATOR = re.compile(r"[;\n]|,\s")
_RUN = re.compile(r"(?P<first>.+?)\s+to\s+(?P<last>.+?)\s+by\s+(?P<step>.+)", re.I)
_TEXT = {"autocapitalize": "off"}


class _ForSeries(forms.Form):
    """What both kinds of price share: the series and shape, and an amount above nothing."""

    series = forms.CharField(
        max_length=60, help_text="5C, ER32 …", widget=forms.TextInput(attrs={"list": "series", **_TEXT})
    )
    shape = forms.ChoiceField(choices=[(word, word) for word in Shape.values], initial=Shape.ROUND)
    price = MoneyInput(help_text="Like [MONEY].", widget=forms.TextInput(attrs={"inputmode": "decimal", **_TEXT}))
    series_shape: SeriesShape | None = None
    """The series in its shape, None where what was typed names none."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, {"series": "5C or ER32", "price": "28.50", "name": "5C by sixteenths"})

    def clean_price(self):
        cents = self.cleaned_data["price"]
        if cents == 0:
            raise forms.ValidationError("A price of nothing was read. Leave a size out whose price is not known.")
        return cents

    def clean(self):
        cleaned = super().clean()
        if "series" in cleaned and "shape" in cleaned:
            self._find_figures(cleaned)
        return cleaned

    def _find_figures(self, cleaned) -> None:
        series = series_named(cleaned["series"])
        if series is None:
            known = ", ".join(Series.objects.values_list("code", flat=True))
            self.add_error("series", f"“{shorten(cleaned['series'])}” is no series here. Write one of {known}.")
            return
        self.series_shape = (
            SeriesShape.objects.select_related("series").filter(series=series, shape=cleaned["shape"]).first()
        )
        if self.series_shape is None:
            self.add_error("shape", f"{series} has no {cleaned['shape']} collets here.")

    def read_size(self, text: str) -> Length | None:
        """A size as it is marked on a collet of this series; where it cannot be, the form says so and it is None."""
        try:
            mark = read_mark(text, now().unit, series=self.figures)
        except LengthError as error:
            self.add_error("size", error.message)
            return None
        if wrong := mark.disagrees(self.figures.shape):
            self.add_error("shape", f"“{shorten(text)}” cannot be the size of it: {wrong}. Choose its shape.")
            return None
        return mark.nominal

    @property
    def figures(self) -> SeriesShape:
        """Those of a form that is valid so far."""
        if self.series_shape is None:
            raise ValueError("No series was found: the form has errors.")
        return self.series_shape

    def refuse_outside(self, name: str, size: Length) -> bool:
        """Say where no collet of this series can have this size."""
        if self.figures.takes_nominal(size):
            return False
        limits = " to ".join(nominal(limit) for limit in (self.figures.smallest, self.figures.largest) if limit)
        self.add_error(name, f"{typed(size)} was read; {self.figures} collets go from {limits}.")
        return True


class PriceForm(_ForSeries):
    size = forms.CharField(
        required=False,
        widget=forms.TextInput(attrs=_TEXT),
        help_text="[3/4, 19 mm|19, 3/4] … Empty: all sizes of the series that have no price of their "
        "own. Of a blank: its pilot.",
    )
    is_blank = forms.BooleanField(
        required=False,
        label="Machinable blank",
        help_text="Put the work of boring it into the price: blanks and sizes are compared by their prices.",
    )
    field_order = ("series", "shape", "size", "is_blank", "price")

    def clean(self):
        cleaned = super().clean()
        if self.series_shape is None:
            return cleaned
        cleaned["size"] = self.read_size(cleaned["size"]) if cleaned.get("size") else None
        if cleaned.get("is_blank") and self.figures.shape != Shape.ROUND:
            self.add_error("shape", "Only round blanks are bored to a size. Choose round.")
        elif cleaned.get("size") and not cleaned.get("is_blank"):
            self.refuse_outside("size", cleaned["size"])
        return cleaned

    def save(self, *, by) -> Price:
        """The price, in place of the one that was kept for the same before."""
        price, _ = Price.objects.update_or_create(
            series=self.figures.series,
            shape=self.figures.shape,
            nominal=self.cleaned_data["size"],
            is_blank=self.cleaned_data["is_blank"],
            defaults={"cents": self.cleaned_data["price"], "entered_by": by},
        )
        return price


class SetPriceForm(_ForSeries):
    name = forms.CharField(max_length=60, help_text="As you would order it: 5C by sixteenths, 17 pieces.")
    sizes = forms.CharField(
        max_length=2000,
        help_text="1/4; 3/8; 1/2 or 1/16 to 1-1/8 by 1/16 or [2 mm to 20 mm by 1 mm|2 to 20 by 1].",
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    field_order = ("name", "series", "shape", "sizes", "price")

    def clean(self):
        cleaned = super().clean()
        if self.series_shape is None or "sizes" not in cleaned:
            return cleaned
        try:
            self.lengths = _sizes(cleaned["sizes"])
        except LengthError as error:
            self.add_error("sizes", error.message)
            return cleaned
        any(self.refuse_outside("sizes", size) for size in self.lengths)
        return cleaned

    @transaction.atomic
    def save(self, *, by) -> SetPrice:
        """The set, in place of the one of the same name."""
        set_price = SetPrice.objects.filter(name__iexact=self.cleaned_data["name"]).first() or SetPrice()
        set_price.name, set_price.series = self.cleaned_data["name"], self.figures.series
        set_price.cents, set_price.entered_by = self.cleaned_data["price"], by
        set_price.save()
        set_price.sizes.set([Size.objects.of(self.figures, size) for size in self.lengths])
        return set_price


def _sizes(text: str) -> list[Length]:
    """The sizes of a list, each of whose parts is a size or a run of them. Raises LengthError."""
    sizes: set[Length] = set()
    for part in filter(None, (part.strip() for part in _SEPARATOR.split(text))):
        run = _RUN.fullmatch(part)
        sizes |= set(_run(run, part)) if run else {parse(part, now().unit)}
    if not sizes:
        raise LengthError("No size was given. Write them like 1/4; 3/8; 1/2.", read=shorten(text))
    if len(sizes) > MOST_SIZES:
        raise LengthError(f"{len(sizes)} sizes were read; a set has at most {MOST_SIZES}.", read=shorten(text))
    return sorted(sizes)


def _run(run: re.Match[str], part: str) -> list[Length]:
    first, last, step = (parse(run[name], now().unit) for name in ("first", "last", "step"))
    if last < first or (last - first).nm // step.nm >= MOST_SIZES:
        raise LengthError(
            f"“{shorten(part)}” is no run of at most {MOST_SIZES} sizes. Write it like 1/16 to 1-1/8 by 1/16, "
            "each with its unit where it is in mm.",
            read=shorten(part),
        )
    return [Length(nm) for nm in range(first.nm, last.nm + 1, step.nm)]
