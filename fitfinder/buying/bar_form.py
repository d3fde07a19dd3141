"""Bar that the shop keeps, as it is typed."""

from django import forms

from fitfinder.holding.stock_texts import stock_from
from fitfinder.questions import QuestionError
from inventory.measures.inputs import CountInput, say_plainly
from inventory.measures.lengths import Length
from inventory.models import KeptBar, Shape
from inventory.models.kept_bars import LARGEST_WEIGHT
from inventory.reference.bars import grades

_LARGEST_BARE = Length.inches("6")
"""A bare number above this is asked back: as inches it would be no bar for a collet."""


class BarForm(forms.ModelForm):
    size = forms.CharField(
        max_length=80,
        help_text="As on the bar's label: 3/4, 19 mm, 20h9. Inches where no unit stands. Hex, square: across flats.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}),
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

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["grade"].choices = [("", "of just this size, no grade")] + [(g.code, g.label) for g in grades()]
        say_plainly(self.fields, {"size": "3/4, 19 mm or 20h9", "weight": "3"})

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        try:
            self.stock = stock_from(
                cleaned["size"], shape=cleaned["shape"], grade=cleaned["grade"], bare_limit=_LARGEST_BARE
            )
        except QuestionError as error:
            field = error.field if error.field in self.fields else "size"
            self.add_error(field, error.message)
        return cleaned
