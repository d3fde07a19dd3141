"""Lengths as a person reads them, in the unit that counts for that person (`display.py`).

What a size *is* does not depend on it: a collet of 20 mm is 20 mm in an inch shop, and one of 7/8 in is that in a
metric one (`nominal`). All else, what was measured and the limits, is in the person's unit first.
"""

from __future__ import annotations

from functools import lru_cache

from inventory.measures.display import now
from inventory.measures.lengths import (
    NM_PER_INCH,
    NM_PER_MM,
    NM_PER_TENTH,
    Length,
    RunoutUnit,
    decimal,
    exact,
    exact_mm,
)

_FINEST_NAMED = NM_PER_MM // 100
_SMALLEST_SWING = {RunoutUnit.INCH: "0.0001", RunoutUnit.THOU: "0.1", RunoutUnit.MM: "0.001", RunoutUnit.MICRON: "1"}
"""What is read off an indicator at the least."""
"""A size that is whole in hundredths of a millimetre was made in millimetres."""


def shown(length: Length) -> str:
    """Both units: `3/4 in (19.050 mm)`, in a metric shop `19.05 mm (3/4 in)`."""
    if now().is_metric:
        return f"{_mm(length)} mm ({_inches(length)} in)"
    return f"{_inches(length)} in ({length.mm_text} mm)"


def in_unit(length: Length) -> str:
    """One unit, with its name: `3/4 in`, `0.7485 in`; `19.05 mm`."""
    return f"{_mm(length)} mm" if now().is_metric else f"{_inches(length)} in"


def measured(length: Length) -> str:
    """As `in_unit`, but decimals for a fraction too: `0.7500 in`."""
    return f"{figures(length)} {now().unit.value}"


def figures(length: Length) -> str:
    """As `measured` without its unit, for a column that names it."""
    return _mm(length) if now().is_metric else length.inch_text


def about(length: Length) -> str:
    """As far as anybody would say: down to a tenth of an inch, or a whole millimetre: `11.2 in`, `285 mm`."""
    if now().is_metric:
        return f"{length.nm // NM_PER_MM} mm"
    tenths = length.nm * 10 // NM_PER_INCH
    return f"{tenths // 10}.{tenths % 10} in"


def by(short: Length, long: Length) -> str:
    """Two sides of a section: `1/2 by 1 in`."""
    first = _mm(short) if now().is_metric else _inches(short)
    return f"{first} by {in_unit(long)}"


def fine(length: Length) -> str:
    """A deviation finer than a tenth: `0.00035 in`, `0.0089 mm`."""
    if now().is_metric:
        return f"{_trimmed(decimal(length.nm, NM_PER_MM, 4))} mm"
    return f"{length.fine_inch_text} in"


def fine_shown(length: Length) -> str:
    """Both units: `0.00035 in (0.009 mm)`."""
    return (
        f"{fine(length)} ({length.fine_inch_text} in)" if now().is_metric else f"{fine(length)} ({length.mm_text} mm)"
    )


def other_unit(length: Length) -> str:
    """The unit that does not come first: `19.050 mm`; in a metric shop `0.7500 in`."""
    return f"{length.inch_text} in" if now().is_metric else f"{length.mm_text} mm"


def span(low: Length, high: Length) -> str:
    """From one to the other, the unit once: `0.7450 to 0.7500 in`, `18.923 to 19.05 mm`."""
    return f"{figures(low)} to {figures(high)} {now().unit.value}"


def span_of_sizes(low: Length, high: Length) -> str:
    """As `span`, with fractions where they are: `1/8 to 1-1/8 in`."""
    if now().is_metric:
        return span(low, high)
    return f"{_inches(low)} to {_inches(high)} in"


def brief(length: Length) -> str:
    """As short as a card has room for, in the reader's unit without its name: `.7500`, `1.0625`; `19.05`."""
    return _mm(length) if now().is_metric else length.inch_text.removeprefix("0")


def brief_span(low: Length, high: Length) -> str:
    """The range within, as short: `.745-.755`, `18.92-19.18`. It is rounded inward: what it says is inside."""
    per_unit, places, least = (NM_PER_MM, 2, 0) if now().is_metric else (NM_PER_INCH, 4, 3)
    unit = 10**places
    ends = -(-low.nm * unit // per_unit), high.nm * unit // per_unit
    return "-".join(_brief(number, places, least) for number in ends)


def _brief(number: int, places: int, least: int) -> str:
    """A number of parts of `places` decimals, without the zeros that stand in the way, but with so many decimals."""
    units, part = divmod(number, 10**places)
    decimals = f"{part:0{places}}".rstrip("0").ljust(least, "0")
    return f"{units}.{decimals}".removeprefix("0" if least else "").removesuffix(".")


def nominal(length: Length) -> str:
    """A size as it is marked on a collet: `3/4`, `0.7485`, `19 mm`; where millimetres are usual also `3/4 in`."""
    return _nominal(length, now().is_metric)


def nominal_in_full(length: Length) -> str:
    """As `nominal`, always with its unit: `3/4 in`, `19 mm`."""
    return _nominal(length, True) if _is_made_in_mm(length) or now().is_metric else f"{nominal(length)} in"


def bore_text(length: Length) -> str:
    """What is bored, like a size that is marked, but in the reader's unit: `0.7520`, `19.101 mm`."""
    return size_of_work(length) if now().is_metric else nominal(length)


def size_of_work(length: Length) -> str:
    """The size of a bar, or of what is bored for it: `19 mm` for one that is made in millimetres, else as `in_unit`."""
    return exact_mm(length) if _is_made_in_mm(length) else in_unit(length)


@lru_cache(maxsize=4096)
def _nominal(length: Length, names_inches: bool) -> str:
    if _is_made_in_mm(length):
        return exact_mm(length)
    if names_inches and length.fraction_text is None and length.nm % NM_PER_TENTH:
        return f"{_mm(length)} mm"
    return f"{_inches(length)} in" if names_inches else _inches(length)


def _is_made_in_mm(length: Length) -> bool:
    return length.is_metric or (length.nm % _FINEST_NAMED == 0 and bool(length.nm % NM_PER_TENTH))


def signed(length: Length) -> str:
    """A deviation with its sign: `+0.0015`, `-0.0020`; `+0.038`, which `now().unit` is the unit of."""
    return ("-" if length.nm < 0 else "+") + figures(abs(length))


def runout_text(length: Length) -> str:
    """What an indicator swings: `0.0005 in`, `0.5 thou`, `0.013 mm`, `13 µm`."""
    unit = now().runout
    text = _swing(length, unit)
    if not text.strip("0."):
        # No indicator shows that nothing swings.
        return f"under {_SMALLEST_SWING[unit]} {unit.value}"
    return f"{text} {unit.value}"


def runout_in_words(length: Length) -> str:
    """As `runout`, in a sentence that needs no inches said: `0.0005`, `13 µm`."""
    return _inches(length) if now().runout is RunoutUnit.INCH else runout_text(length)


def runout_figures(length: Length) -> str:
    """As `runout` without its unit, for an axis that names it."""
    return _swing(length, now().runout)


def runout_span(low: Length, high: Length) -> str:
    unit = now().runout
    return f"{_swing(low, unit)} to {_swing(high, unit)} {unit.value}"


def runout_shown(length: Length) -> str:
    """Both units: `0.0005 in (0.013 mm)`, `13 µm (0.0005 in)`."""
    unit = now().runout
    if not _swing(length, unit).strip("0."):
        return runout_text(length)
    if unit is RunoutUnit.INCH:
        return f"{_inches(length)} in ({length.mm_text} mm)"
    return (
        f"{runout_text(length)} ({length.inch_text} in)"
        if unit.is_metric
        else f"{runout_text(length)} ({length.mm_text} mm)"
    )


def _swing(length: Length, unit: RunoutUnit) -> str:
    if unit is RunoutUnit.INCH:
        return length.inch_text
    if unit is RunoutUnit.THOU:
        return _trimmed(decimal(length.nm * 1000, NM_PER_INCH, 2))
    if unit is RunoutUnit.MICRON:
        return _trimmed(decimal(length.nm * 1000, NM_PER_MM, 1))
    return length.mm_text


def typed(length: Length) -> str:
    """What a field begins with: the length exactly, in the person's unit where that says it."""
    return exact_mm(length) if now().is_metric else exact(length)


def typed_runout(length: Length) -> str:
    """As `typed`, of a reading: `0.0005 in`, `12.7 µm`."""
    unit = now().runout
    if unit is RunoutUnit.MICRON:
        return f"{_trimmed(decimal(length.nm, 1000, 3))} µm"
    if unit is RunoutUnit.MM:
        return exact_mm(length)
    return exact(length) if unit is RunoutUnit.INCH else _exact_thou(length)


def _exact_thou(length: Length) -> str:
    in_hundredths, rest = divmod(length.nm * 100 * 1000, NM_PER_INCH)
    return exact(length) if rest else f"{_trimmed(decimal(in_hundredths, 100, 2))} thou"


def _inches(length: Length) -> str:
    return length.fraction_text or length.inch_text


def _mm(length: Length) -> str:
    return _trimmed(length.mm_text)


def _trimmed(text: str) -> str:
    return text.rstrip("0").removesuffix(".") if "." in text else text
