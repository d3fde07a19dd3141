"""What purchasing types on the way of a want: what it costs, of whom, and until when."""

from django import forms

from inventory.measures import money as amounts
from inventory.measures.days import DayInput
from inventory.measures.inputs import CountInput, MoneyInput, one_line, say_plainly
from inventory.models import Want
from inventory.models.prices import PriceBook
from inventory.models.wants import MOST_OF_ONE

_EXAMPLES = {
    "quantity": "2",
    "supplier": "the tool dealer in town",
}
_NUMERIC = {"inputmode": "numeric"}
_DECIMAL = {"inputmode": "decimal"}


def money_text(cents: int | None) -> str:
    return "" if cents is None else amounts.typed(cents)


def how_many(**kwargs) -> CountInput:
    return CountInput(
        label="How many",
        min_value=1,
        max_value=MOST_OF_ONE,
        initial=1,
        widget=forms.TextInput(attrs=_NUMERIC),
        **kwargs,
    )


class OrderForm(forms.Form):
    """One order: of whom, its number, when it is expected; and of each line how many at what price."""

    supplier = forms.CharField(
        max_length=80, help_text="From whom.", widget=forms.TextInput(attrs={"list": "suppliers"})
    )
    order_number = forms.CharField(required=False, max_length=40, help_text="As it stands on the order. May be empty.")
    expected_on = DayInput(
        required=False,
        label="Expected on",
        help_text="Without a day it is never late.",
        widget=forms.TextInput(attrs={"type": "date"}),
    )

    def __init__(self, data=None, *, wants, **kwargs):
        super().__init__(data, **kwargs)
        self.wants, prices = wants, PriceBook()
        for want in wants:
            self.fields[f"quantity_{want.pk}"] = how_many()
            self.fields[f"quantity_{want.pk}"].initial = want.quantity
            self.fields[f"price_{want.pk}"] = MoneyInput(
                required=False,
                label="Price each",
                initial=money_text(usual_price(want, prices)),
                widget=forms.TextInput(attrs=_DECIMAL),
            )
        say_plainly(self.fields, _EXAMPLES)

    @property
    def lines(self):
        """Each want with its two fields."""
        return [(want, self[f"quantity_{want.pk}"], self[f"price_{want.pk}"]) for want in self.wants]

    def clean_supplier(self):
        return one_line(self.cleaned_data["supplier"])

    def clean_order_number(self):
        return one_line(self.cleaned_data["order_number"])

    def fill_in(self, want: Want) -> None:
        cleaned = self.cleaned_data
        want.supplier, want.order_number = cleaned["supplier"], cleaned["order_number"]
        want.expected_on = cleaned["expected_on"]
        want.quantity, want.price_cents = cleaned[f"quantity_{want.pk}"], cleaned[f"price_{want.pk}"]


def usual_price(want: Want, prices: PriceBook) -> int | None:
    """As somebody wrote on the line, else as it is known of its size or of what is counted."""
    if want.price_cents is not None:
        return want.price_cents
    if want.item is not None:
        return want.item.cost_cents
    return prices.of(want.size) if want.size is not None and not want.kind else None


class WantEditForm(forms.ModelForm):
    """What is still open of a want, mended."""

    quantity = how_many()
    price = MoneyInput(required=False, label="Price each", widget=forms.TextInput(attrs=_DECIMAL))
    expected_on = DayInput(required=False, label="Expected on", widget=forms.TextInput(attrs={"type": "date"}))

    class Meta:
        model = Want
        fields = ("quantity", "why", "supplier", "order_number", "expected_on")

    field_order = ["quantity", "price", "supplier", "order_number", "expected_on", "why"]

    def __init__(self, data=None, *, instance, **kwargs):
        initial = {
            "price": money_text(instance.price_cents),
            "expected_on": instance.expected_on.isoformat() if instance.expected_on else "",
        }
        super().__init__(data, instance=instance, initial=initial, **kwargs)
        say_plainly(self.fields, _EXAMPLES)

    def clean_supplier(self):
        return one_line(self.cleaned_data["supplier"])

    def clean_order_number(self):
        return one_line(self.cleaned_data["order_number"])

    def save(self, commit=True):
        self.instance.price_cents = self.cleaned_data["price"]
        return super().save(commit)


class LineForm(forms.Form):
    """A ticked line: the want, and the entry of its history that the page was drawn from."""

    want = forms.IntegerField(min_value=1, max_value=2**63 - 1)
    entry = forms.IntegerField(required=False, min_value=1, max_value=2**63 - 1)

    @classmethod
    def of(cls, text: str) -> "LineForm":
        want, _, entry = text.partition(":")
        return cls({"want": want, "entry": entry})
