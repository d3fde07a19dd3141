"""Which seat, and which series, a text names: by its code in any spelling, or by a name that the shop gave it."""

from __future__ import annotations

from collections.abc import Iterable

from inventory.models import Seat, Series
from inventory.reference.codes import spelling_key


class Names:
    """All names of the seats and series of a book, looked up once."""

    def __init__(self, seats: Iterable[Seat], series: Iterable[Series]) -> None:
        self._seats = {spelling_key(seat.code): seat for seat in seats}
        self._series = {spelling_key(one.code): one for one in series}

    @classmethod
    def of_book(cls) -> Names:
        return cls(Seat.objects.all(), Series.objects.select_related("seat"))

    def add(self, seat: Seat) -> None:
        """A seat that was made after the book was looked up."""
        self._seats.setdefault(spelling_key(seat.code), seat)

    def seat(self, text: str) -> Seat | None:
        """The seat that is meant, that of a series by the name of the series too; None where it is none of the book."""
        key = spelling_key(text)
        if key in self._seats:
            return self._seats[key]
        return self._series[key].seat if key in self._series else None

    def series(self, text: str) -> Series | None:
        """The series that is meant; None where it is none of the book."""
        return self._series.get(spelling_key(text))
