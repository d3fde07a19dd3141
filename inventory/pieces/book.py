"""What the book has in seats, places, series and sizes, for what is about to be put into it."""

from functools import cached_property

from django.core.exceptions import ValidationError

from inventory.figures.names import Names
from inventory.measures.lengths import Length, shorten
from inventory.models import Lathe, Location, Seat, Series, SeriesShape, Size


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
        self.names = Names(self.seats.values(), self.series.values())
        self._sizes: dict[tuple, Size] = {}
        self.new_places: list[Location] = []
        """Those that were made by writing their name."""
        self.new_seats: list[Seat] = []

    def seat(self, code: str) -> Seat:
        """The seat of this code; one that no table knows is made, as the shop's own."""
        seat = self.seats.get(code.upper()) or self.seat_named(code)
        if seat is None:
            seat = self.seats[code.upper()] = Seat.objects.create(code=code)
            self.new_seats.append(seat)
            self.names.add(seat)
        return seat

    def seat_named(self, text: str) -> Seat | None:
        """The seat that this text names in any spelling, or by a name of the shop's own; None where it names none.

        `MK 4`, `Morse 4` and `CM4` are the MT4, `DIN 55029 Gr. 4` is the D1-4, `1.5-8 TPI` the 1-1/2-8.
        """
        return self.names.seat(text)

    def series_named(self, text: str) -> Series | None:
        """The series that this text names in any spelling, or by a name of the shop's own; None where it names none."""
        return self.names.series(text)

    def place(self, name: str) -> Location:
        place = self.places.get(name.upper())
        if place is None:
            place = self.places[name.upper()] = Location.objects.create(name=name)
            self.new_places.append(place)
        place.take_back()
        return place

    def size(self, figures: SeriesShape, length) -> Size:
        key = (figures.pk, length)
        if key not in self._sizes:
            self._sizes[key] = Size.objects.of(figures, length)
        return self._sizes[key]

    def bored(self, figures: SeriesShape, bore) -> Size:
        """The size of a machinable collet that is bored: it is promised at that bore only."""
        key = (figures.pk, bore, "bored")
        if key not in self._sizes:
            self._sizes[key] = Size.objects.bored(figures, bore)
        return self._sizes[key]

    def marked(self, figures: SeriesShape, nominal, *, smallest, largest) -> Size:
        """The size of a collet on which a range of its own is marked."""
        key = (figures.pk, nominal, smallest, largest)
        if key not in self._sizes:
            self._sizes[key] = marked_size(figures, nominal, smallest=smallest, largest=largest)
        return self._sizes[key]

    @cached_property
    def lathes(self) -> dict[str, Lathe]:
        """All lathes by their name in capitals, looked up where a piece is asked about one."""
        return {lathe.name.upper(): lathe for lathe in Lathe.objects.all()}

    def lathe(self, name: str) -> Lathe:
        """The lathe of this name; unlike a seat none is made, since the finder would offer it.

        Raises ValidationError where there is none.
        """
        lathe = self.lathes.get(" ".join(name.split()).upper())
        if lathe is None:
            raise ValidationError(
                f"There is no lathe “{shorten(name)}” here. Enter it under Lathes first, or leave this empty."
            )
        return lathe

    def lathes_to_choose(self, tool=None) -> list[Lathe]:
        """Those in use, and the retired ones that the piece has to do with already."""
        own = {tool.belongs_to_id, *(height.lathe_id for height in tool.center_heights.all())} if _is_kept(tool) else ()
        return [lathe for lathe in self.lathes.values() if lathe.retired_at is None or lathe.pk in own]


def _is_kept(tool) -> bool:
    return tool is not None and tool.pk is not None


def a_marked_size(figures: SeriesShape, nominal: Length, *, smallest: Length, largest: Length) -> Size:
    """This nominal with this range of its own, not saved."""
    fresh = Size(
        series=figures.series,
        shape=figures.shape,
        nominal=nominal,
        clamps_from=smallest,
        clamps_to=largest,
        is_marked=True,
    )
    fresh.follow(figures)
    return fresh


_OF_A_MARKED_SIZE = ("series", "shape", "nominal", "clamps_from", "clamps_to", "is_marked")
_THAT_FOLLOW_FOR_IT = ("true_from", "true_to", "edge_bottom", "edge_top", "typical_tir")


def marked_size(figures: SeriesShape, nominal: Length, *, smallest: Length, largest: Length) -> Size:
    """The row of this nominal with this range of its own, made where there is none yet."""
    fresh = a_marked_size(figures, nominal, smallest=smallest, largest=largest)
    size, _ = Size.objects.get_or_create(
        **{name: getattr(fresh, name) for name in _OF_A_MARKED_SIZE},
        defaults={name: getattr(fresh, name) for name in _THAT_FOLLOW_FOR_IT},
    )
    return size
