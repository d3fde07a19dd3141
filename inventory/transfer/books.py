"""The book as a whole sheet needs it: on paper for a plan, or with all sizes at hand for taking."""

from collections.abc import Mapping

from inventory.models import Location, Seat, Size
from inventory.pieces.book import Book, a_marked_size


class KnowingBook(Book):
    """The book for taking: it looks up all sizes at once."""

    def __init__(self) -> None:
        super().__init__()
        keys = {(figures.series_id, figures.shape): figures.pk for figures in self.figures.values()}
        for size in Size.objects.filter(is_marked=False).select_related("series"):
            self._sizes[keys.get((size.series_id, size.shape)), size.nominal] = size


class PaperBook(Book):
    """The book for a plan: what it lacks is made on paper only.

    `made` are the seats and places that an earlier part of the same sheet made on paper.
    """

    def __init__(self, made: Mapping[str, list[str]] | None = None) -> None:
        super().__init__()
        for code in (made or {}).get("seats", ()):
            self.seat(code)
        for name in (made or {}).get("places", ()):
            self.place(name)

    def seat(self, code):
        seat = self.seats.get(code.upper()) or self.seat_named(code)
        if seat is None:
            seat = self.seats[code.upper()] = Seat(code=code)
            self.names.add(seat)
        return seat

    def place(self, name):
        return self.places.setdefault(name.upper(), Location(name=name))

    def size(self, figures, length):
        key = (figures.pk, length)
        if key not in self._sizes:
            self._sizes[key] = Size(series=figures.series, shape=figures.shape, nominal=length)
        return self._sizes[key]

    def bored(self, figures, bore):
        return self.size(figures, bore)

    def marked(self, figures, nominal, *, smallest, largest):
        return a_marked_size(figures, nominal, smallest=smallest, largest=largest)

    @property
    def made(self) -> dict[str, list[str]]:
        return {
            "seats": [seat.code for seat in self.seats.values() if seat.pk is None],
            "places": [place.name for place in self.places.values() if place.pk is None],
        }
