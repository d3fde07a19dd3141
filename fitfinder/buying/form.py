"""What a buy list is worked out for, and the lines of it that are to be ordered."""

from django import forms
from django.core.exceptions import ValidationError

from inventory.measures.inputs import MoneyInput, say_plainly
from inventory.measures.lengths import Length, nominal
from inventory.models import Kind, SeriesShape

MOST_SIZES = 500


class BuyForm(forms.Form):
    budget = MoneyInput(
        required=False,
        help_text="Like 400; empty: no limit.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    kept_only = forms.BooleanField(
        required=False, label="Only for bar that is kept, without what people looked for in vain"
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)


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
    why = forms.CharField(required=False, max_length=200)

    @classmethod
    def of(cls, text: str) -> "ChosenLine":
        names = ("series", "shape", "sizes", "kind", "cents", "in_set", "why")
        return cls(dict(zip(names, [*text.split("|", 6), *[""] * 7], strict=False)))

    def shares(self) -> list[tuple[Length, int | None]]:
        """Each size with its share of the price in whole cents; the first ones carry what does not divide."""
        cents, count = self.cleaned_data["cents"], len(self.lengths)
        if cents is None:
            return [(size, None) for size in self.lengths]
        each, over = divmod(cents, count)
        return [(size, each + (place < over)) for place, size in enumerate(self.lengths)]

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        rows = SeriesShape.objects.select_related("series")
        self.figures = rows.filter(series__code=cleaned["series"], shape=cleaned["shape"]).first()
        texts = cleaned["sizes"].split(",")[:MOST_SIZES]
        if self.figures is None or not all(text.isascii() and text.isdigit() and len(text) < 13 for text in texts):
            raise ValidationError("A line of the list could not be read. Work the list out again.")
        self.lengths = [Length(int(text)) for text in texts]
        wrong = next((size for size in self.lengths if size.nm < 1 or not self.figures.takes_nominal(size)), None)
        if wrong is not None:
            raise ValidationError(f"{self.figures} collets do not come in {nominal(wrong)}. Work the list out again.")
        return cleaned
