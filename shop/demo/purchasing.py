"""What Millrace Works keeps in bar and what collets cost it; all invented."""

from fitfinder.buying.form import BarForm
from inventory.models import KeptBar, Price, SetPrice, User
from inventory.orders.prices import PriceForm, SetPriceForm

# Size, shape, grade, how much it matters, note.
_BARS = (
    ("3/4", "round", "cold-drawn", 10, "Pump shafts."),
    ("1/2", "round", "cold-drawn", 9, ""),
    ("7/16", "round", "cold-drawn", 8, "Gland studs: every week."),
    ("1", "round", "cold-drawn", 6, ""),
    ("13/16", "round", "cold-drawn-high-carbon", 5, "Impeller shafts."),
    ("29/32", "round", "cold-drawn", 4, "Its collet is missing from the drawer."),
    ("9 mm", "round", "h9", 4, "Studs of the metric pumps."),
    ("15 mm", "round", "h9", 3, ""),
    ("17 mm", "round", "h9", 3, ""),
    ("15/16", "round", "ground", 3, ""),
    ("20h9", "round", "", 2, ""),
    ("7/16", "hex", "cold-drawn", 2, "Gland nuts."),
    ("1/2", "hex", "cold-drawn", 2, ""),
    ("1-3/8", "round", "cold-drawn", 1, "Mill spindles; held in the chuck so far."),
)
_PRICES = (
    {"series": "5C", "shape": "round", "price": "28.50"},
    {"series": "5C", "shape": "round", "size": "29/32", "price": "31.00"},
    {"series": "5C", "shape": "hex", "size": "7/16", "price": "34.00"},
    {"series": "5C", "shape": "round", "size": "1/16", "is_blank": "on", "price": "34.00"},
    {"series": "ER32", "shape": "round", "price": "17.20"},
)
_SETS = (
    {
        "name": "ER32, five sizes", "series": "ER32", "shape": "round", "price": "45.00",
        "sizes": "2 mm; 9 mm; 15 mm; 17 mm; 19 mm",
    },
    {
        "name": "5C by sixteenths, 17 pieces", "series": "5C", "shape": "round", "price": "389.00",
        "sizes": "1/16 to 1-1/16 by 1/16",
    },
)  # fmt: skip


def load(*, by: User) -> None:
    """Put bar and prices into a book that has none and never had; what was entered stays as it is."""
    if not KeptBar.objects.exists():
        for size, shape, grade, weight, note in _BARS:
            bar = {"size": size, "shape": shape, "grade": grade, "weight": weight, "note": note}
            _without_errors(BarForm(bar, instance=KeptBar(entered_by=by))).save()
    if not Price.objects.exists() and not SetPrice.objects.exists():
        for price in _PRICES:
            _without_errors(PriceForm(price)).save(by=by)
        for bought_as_one in _SETS:
            _without_errors(SetPriceForm(bought_as_one)).save(by=by)


def _without_errors(form):
    # The demo's own figures: an error here is a mistake in this file.
    if not form.is_valid():
        raise ValueError(f"The demo's purchasing is wrong at {form.data}: {form.errors.as_json()}")
    return form
