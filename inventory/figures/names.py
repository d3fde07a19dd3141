"""Which seat, and which series, a text names: by its code in any spelling, or by a name that the shop gave it."""

from __future__ import annotations

from collections.abc import Iterable

from inventory.models import OtherName, Seat, Series
from inventory.reference.codes import spelling_key


class Names:
    """All names of the seats and series of a book, looked up once."""

    def __init__(self, seats: Iterable[Seat], series: Iterable[Series]) -> None:
        self._seats = {spelling_key(seat.code): seat for seat in seats}
        self._series = {spelling_key(one.code): one for one in series}
        by_pk = {seat.pk: seat for seat in self._seats.values()}
        series_by_pk = {one.pk: one for one in self._series.values()}
        for key, seat_id, series_id in OtherName.objects.values_list("key", "seat", "series"):
            if seat_id in by_pk:
                self._seats.setdefault(key, by_pk[seat_id])
            elif series_id in series_by_pk:
                self._series.setdefault(key, series_by_pk[series_id])

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

    def series_codes(self) -> list[str]:
        return [one.code for one in self._series.values()]

    def series_of_name(self, text: str) -> Series | None:
        """The series that has this name itself, whatever the name of its seat."""
        return self._series.get(spelling_key(text))

    def series(self, text: str) -> Series | None:
        """The series that is meant, by the name of its seat too where one alone goes into that; None where it is none
        of the book."""
        key = spelling_key(text)
        if key in self._series:
            return self._series[key]
        seat = self._seats.get(key)
        of_seat = [one for one in self._series.values() if seat is not None and one.seat_id == seat.pk]
        return of_seat[0] if len(set(of_seat)) == 1 else None


def series_by_seat() -> dict[int, str]:
    """By the key of each seat of collets the code of its series; of several that go into one the one that has its name,
    else the oldest. A blank is known by its seat alone."""
    codes: dict[int, str] = {}
    rows = Series.objects.filter(holds_work=True).order_by("-pk").values_list("seat", "seat__code", "code")
    for seat, seat_code, code in rows:
        if codes.get(seat) != seat_code:
            codes[seat] = code
    return codes


def series_named(text: str) -> Series | None:
    """The series that this text names in any spelling, or by a name of the shop's own; None where it names none."""
    return Series.objects.filter(code=text).select_related("seat").first() or Names.of_book().series(text)


def seat_named(text: str) -> Seat | None:
    """The seat that this text names in any spelling, or by a name of the shop's own; None where it names none."""
    return Seat.objects.filter(code=text).first() or Names.of_book().seat(text)
