"""What the book has in seats, places, series and sizes, for what is about to be put into it."""

from inventory.models import Location, Seat, SeriesShape, Size


class Book:
    """What the book has, looked up once: for a form by itself, or for all rows of a sheet."""

    def __init__(self) -> None:
        self.seats = {seat.code.upper(): seat for seat in Seat.objects.all()}
        self.places = {place.name.upper(): place for place in Location.objects.all()}
        self.figures = {
            (figures.series.code.upper(), figures.shape): figures
            for figures in SeriesShape.objects.select_related("series__seat")
        }
        self.series = {code: figures.series for (code, _), figures in self.figures.items()}
        self._sizes: dict[tuple, Size] = {}

    def seat(self, code: str) -> Seat:
        """The seat of this code; one that no table knows is made, as the shop's own."""
        seat = self.seats.get(code.upper())
        if seat is None:
            seat = self.seats[code.upper()] = Seat.objects.create(code=code)
        return seat

    def place(self, name: str) -> Location:
        place = self.places.get(name.upper())
        if place is None:
            place = self.places[name.upper()] = Location.objects.create(name=name)
        return place

    def size(self, figures: SeriesShape, length) -> Size:
        key = (figures.pk, length)
        if key not in self._sizes:
            self._sizes[key] = Size.objects.of(figures, length)
        return self._sizes[key]
