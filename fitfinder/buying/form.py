"""What is typed about buying: the bar that is kept, what a list is worked out for, the lines that are to be ordered."""

from __future__ import annotations

from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError

from fitfinder.buying.telling import BETWEEN_WHYS, LONGEST_WHY
from fitfinder.holding.stock import SHAPES
from fitfinder.holding.texts.bar_labels import with_its_shape
from fitfinder.holding.texts.stock_texts import stock_from
from fitfinder.questions import QuestionError
from inventory.measures.display import now
from inventory.measures.inputs import CountInput, MoneyInput, say_plainly
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length, Unit, shorten
from inventory.models import KeptBar, Kind, SeriesShape, Shape
from inventory.models.kept_bars import LARGEST_WEIGHT
from inventory.reference.bars import grades
from inventory.web.editing import RowForm

_LARGEST_BARE = Length.inches("6")
"""A bare number above this is asked back: as inches it would be no bar for a collet."""
_MOST_SIZES = 500


class BarForm(RowForm):
    size = forms.CharField(
        max_length=80,
        help_text="As on the bar's label: 3/4, 19 mm, 20h9. Hex, square: across flats.",
        widget=forms.TextInput(attrs={"autocapitalize": "off"}),
    )
    shape = forms.ChoiceField(choices=[(word, word) for word in Shape.values], initial=Shape.ROUND)
    grade = forms.ChoiceField(
        required=False, label="The bar is", help_text="It says how far the bar may be off: all of that must be held."
    )
    weight = CountInput(
        min_value=1,
        max_value=LARGEST_WEIGHT,
        initial=1,
        label="How much it matters",
        help_text=f"1 to {LARGEST_WEIGHT}. With a budget, what matters more is bought first.",
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
    )

    class Meta:
        model = KeptBar
        fields = ("size", "shape", "grade", "weight", "note")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        grade = cast(forms.ChoiceField, self.fields["grade"])
        grade.choices = [("", "of just this size, no grade"), *((grade.code, grade.label) for grade in grades())]
        say_plainly(self.fields, {"size": "3/4, 19 mm or 20h9", "weight": "3"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        size, shape = with_its_shape(cleaned["size"], picked=cleaned["shape"])
        if shape in SHAPES:
            cleaned |= {"size": size, "shape": shape}
        try:
            cleaned["size"] = _with_its_unit(cleaned["size"], cleaned["shape"], cleaned["grade"])
            self.stock = stock_from(
                cleaned["size"], shape=cleaned["shape"], grade=cleaned["grade"], bare_limit=_LARGEST_BARE
            )
        except QuestionError as error:
            field = error.field if error.field in self.fields else "size"
            self.add_error(field, error.message)
        return cleaned

    def tell_taken(self) -> bool:
        self.add_error("size", "This bar is on the list already.")
        return True


def _with_its_unit(size: str, shape: str, grade: str) -> str:
    """As it is written down: the text of a bar is read in inches for ever, so millimetres are said in it.

    Raises QuestionError.
    """
    if now().unit is Unit.INCH:
        return size
    meant = stock_from(size, shape=shape, grade=grade, unit=Unit.MM)
    for text in (size, f"{size} mm"):
        try:
            if stock_from(text, shape=shape, grade=grade).band == meant.band:
                return text
        except QuestionError:
            continue
    raise QuestionError(f"“{shorten(size)}” has no unit. Write it like 20 mm.", field="size", read=shorten(size))


class BuyForm(forms.Form):
    budget = MoneyInput(
        required=False,
        help_text="Like 400; empty: no limit.",
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
    )
    kept_only = forms.BooleanField(
        required=False, label="Only for our stock bar, without what people asked for and the crib does not hold"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)


def budget_from(text: str) -> int | None:
    """Whole cents, None where no budget was given. Raises QuestionError."""
    try:
        return cast(int | None, MoneyInput(required=False).clean(text))
    except ValidationError as error:
        raise QuestionError(error.messages[0], field="budget", read=shorten(text)) from None


class ChosenLine(forms.Form):
    """One line as its box on the page says it: series, shape, its sizes in nanometres, kind, price, set and why.

    The kind is that of a blank, else empty; the set is the name of one, whose price is that of all its sizes.
    """

    series = forms.CharField(max_length=20)
    shape = forms.CharField(max_length=10)
    sizes = forms.CharField(max_length=5000)
    kind = forms.ChoiceField(required=False, choices=[(Kind.MACHINABLE_COLLET.value, "blank")])
    cents = forms.IntegerField(required=False, min_value=0, max_value=2**31 - 1)
    in_set = forms.CharField(required=False, max_length=60)
    why = forms.CharField(required=False, max_length=_MOST_SIZES * (LONGEST_WHY + 1))

    @classmethod
    def of(cls, text: str) -> ChosenLine:
        names = ("series", "shape", "sizes", "kind", "cents", "in_set", "why")
        return cls(dict(zip(names, [*text.split("|", 6), *[""] * 7], strict=False)))

    def shares(self) -> list[tuple[Length, int | None]]:
        """Each size with its share of the price in whole cents; the first ones carry what does not divide."""
        cents, count = self.cleaned_data["cents"], len(self.lengths)
        if cents is None:
            return [(size, None) for size in self.lengths]
        each, over = divmod(cents, count)
        return [(size, each + (place < over)) for place, size in enumerate(self.lengths)]

    def whys(self) -> list[str]:
        """Why each size is bought; one of a set that holds nothing asked for is part of it."""
        texts = self.cleaned_data["why"].split(BETWEEN_WHYS)
        if len(texts) != len(self.lengths):
            texts = texts[:1] * len(self.lengths)
        rest = f"part of the set {self.cleaned_data['in_set']}" if self.cleaned_data["in_set"] else ""
        return [text[:LONGEST_WHY] or rest for text in texts]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        rows = SeriesShape.objects.select_related("series")
        figures = rows.filter(series__code=cleaned["series"], shape=cleaned["shape"]).first()
        texts = cleaned["sizes"].split(",")[:_MOST_SIZES]
        if figures is None or not all(text.isascii() and text.isdigit() and len(text) < 13 for text in texts):
            raise ValidationError("A line of the list could not be read. Work the list out again.")
        self.figures, self.lengths = figures, [Length(int(text)) for text in texts]
        wrong = next((size for size in self.lengths if size.nm < 1 or not figures.takes_nominal(size)), None)
        if wrong is not None:
            raise ValidationError(f"{figures} collets do not come in {nominal(wrong)}. Work the list out again.")
        return cleaned
