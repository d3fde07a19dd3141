"""Puts the built-in series and seats into the database after every migrate, without touching the shop's own.

Done here and not in a migration: rows made in one vanish when a test flushes the database, and a figure that is put
right in its table would need a new migration each time.
"""

from inventory.models import Seat, Series, SeriesShape
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
    _load_seats()
    for row in collet_series():
        _load_series(row)


def _load_seats() -> None:
    for nose in spindle_noses():
        family = Seat.Family.THREAD if nose.is_threaded else Seat.Family.NOSE
        _seat(nose.code, family, nose.standard)
    tapers = [(taper.code, taper.source) for taper in morse_tapers()]
    tapers += [(taper.code, taper.source) for taper in jacobs_tapers()]
    tapers += [(taper.code, taper.source) for taper in brown_sharpe_tapers()]
    tapers += [(taper.code, taper.source) for taper in jarno_tapers()]
    for code, source in tapers:
        _seat(code, Seat.Family.TAPER, source)


def _seat(code: str, family: str, standard: str) -> Seat:
    seat, _ = Seat.objects.get_or_create(code=code, defaults={"family": family, "standard": standard})
    return seat


def _load_series(row: ColletSeries) -> None:
    seat = _seat(row.code, Seat.Family.COLLET, row.standard)
    series, _ = Series.objects.get_or_create(code=row.code, defaults={"seat": seat, "standard": row.standard})
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
