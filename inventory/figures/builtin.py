"""Puts the built-in series and seats into the database after every migrate, without touching the shop's own.

Done here and not in a migration: rows made in one vanish when a test flushes the database, and a figure that is put
right in its table would need a new migration each time.
"""

from typing import Any

from inventory.models import Seat, Series, SeriesShape
from inventory.reference.codes import spelling_key
from inventory.reference.collets import ColletSeries, collet_series
from inventory.reference.noses import spindle_noses
from inventory.reference.tapers import brown_sharpe_tapers, jacobs_tapers, jarno_tapers, morse_tapers

_IDENTITY = {"code", "shape", "standard"}
FIGURES = tuple(
    name
    for name in ColletSeries.__struct_fields__
    if name not in _IDENTITY and name in {column.name for column in SeriesShape._meta.fields}
)
"""What a series has in the tables and in the book alike, by the same name."""


def load() -> None:
    """Make what is missing and bring built-in figures up to date; figures the shop changed stay."""
    seats = _InBook(Seat)
    _load_seats(seats)
    series = _InBook(Series)
    for row in collet_series():
        _load_series(row, seats, series)


class _InBook:
    """The rows of seats or of series that a book has already, by code and by what their spelling comes to.

    What a shop entered before the tables had it is that of the tables from then on, by their name.
    """

    def __init__(self, model: type[Seat] | type[Series]) -> None:
        self._model = model
        self._rows = {spelling_key(row.code): row for row in model.objects.all()}

    def get(self, code: str, **given: Any) -> Any:
        """The row of this code, made with what is given where there is none."""
        row = self._rows.get(code)
        if row is None:
            row = self._rows[code] = self._model.objects.create(code=code, **given)
        elif row.code != code:
            row.code = code
            for name, value in given.items():
                setattr(row, name, value)
            row.save()
        return row


def _load_seats(seats: _InBook) -> None:
    for nose in spindle_noses():
        family = Seat.Family.THREAD if nose.is_threaded else Seat.Family.NOSE
        seats.get(nose.code, family=family, standard=nose.standard)
    tapers = [(taper.code, taper.source) for taper in morse_tapers()]
    tapers += [(taper.code, taper.source) for taper in jacobs_tapers()]
    tapers += [(taper.code, taper.source) for taper in brown_sharpe_tapers()]
    tapers += [(taper.code, taper.source) for taper in jarno_tapers()]
    for code, source in tapers:
        seats.get(code, family=Seat.Family.TAPER, standard=source)


def _load_series(row: ColletSeries, seats: _InBook, known: _InBook) -> None:
    seat = seats.get(row.code, family=Seat.Family.COLLET, standard=row.standard)
    series = known.get(row.code, seat=seat, standard=row.standard)
    builtin = {name: getattr(row, name) for name in FIGURES}
    figures, is_new = SeriesShape.objects.get_or_create(series=series, shape=row.shape, defaults=builtin)
    if is_new or figures.changed_by_id is not None:
        return
    changed = [name for name, value in builtin.items() if getattr(figures, name) != value]
    if not changed:
        return
    for name in changed:
        setattr(figures, name, builtin[name])
    figures.save()
    figures.recompute_sizes()
