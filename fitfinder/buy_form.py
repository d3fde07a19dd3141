"""What a buy list is worked out for, and the lines of it that are to be ordered."""

from django import forms
from django.core.exceptions import ValidationError

from inventory.inputs import MoneyInput, say_plainly
from inventory.lengths import Length, nominal
from inventory.models import Kind, SeriesShape

MOST_SIZES = 500


class BuyForm(forms.Form):
    budget = MoneyInput(
        required=False,
        help_text="Like 400 or 184.50. Without one, all that can be held is bought at least cost.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    kept_only = forms.BooleanField(
        required=False, label="Only for bar that the shop keeps", help_text="Without what people asked for."
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        say_plainly(self.fields)


class ChosenLine(forms.Form):
    """One line as its box on the page says it: series, shape, its sizes in nanometres, kind, price and why.

    The kind is that of a blank, else empty; so is the price of a set, which is none of its single sizes.
    """

    series = forms.CharField(max_length=20)
    shape = forms.CharField(max_length=10)
    sizes = forms.CharField(max_length=5000)
    kind = forms.ChoiceField(required=False, choices=[(Kind.MACHINABLE_COLLET.value, "blank")])
    cents = forms.IntegerField(required=False, min_value=0, max_value=2**31 - 1)
    why = forms.CharField(required=False, max_length=200)

    @classmethod
    def of(cls, text: str) -> "ChosenLine":
        names = ("series", "shape", "sizes", "kind", "cents", "why")
        return cls(dict(zip(names, [*text.split("|", 5), *[""] * 6], strict=False)))

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
