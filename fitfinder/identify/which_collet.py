"""Which series a collet without a mark can be: each figure on file beside what was measured.

How near is near enough is a working figure (`practice.csv`, topic `which collet`): what a shop's caliper and a
worn collet are off together. What is not on file is unknown; it neither agrees nor differs.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from fractions import Fraction

from msgspec import Struct

from fitfinder.identify.measured import MORSE, Measured, Taper
from inventory.measures.display import now
from inventory.measures.length_words import measured, other_unit, shown, signed
from inventory.measures.lengths import Length
from inventory.reference.bodies import Angle, Body, BodyFigure, Closing, Dimension, Pitch, Value, bodies
from inventory.reference.practice import figure

NEAREST_SHOWN = 3
_ALL_DIMENSIONS = tuple(Dimension)
_UNLIKE = Fraction(10)
"""How far apart two ways of closing count, in allowances: only the order of what does not fit follows from it."""


class Standing(StrEnum):
    """How a figure stands to what was measured."""

    AGREES = "agrees"
    DIFFERS = "differs"
    UNKNOWN = "not on file"
    NOT_MEASURED = "not measured"


_NAMES = {
    Dimension.BODY: "Body diameter",
    Dimension.HEAD: "Largest diameter",
    Dimension.LENGTH: "Length over all",
    Dimension.CLOSING: "Closed by",
    Dimension.THREAD: "Thread diameter",
    Dimension.PITCH: "Thread pitch",
    Dimension.ANGLE: "Closing angle",
}


class Comparison(Struct, frozen=True, kw_only=True):
    """One figure beside what was measured. `apart` is the difference in allowances, to tell what is nearest."""

    dimension: Dimension
    standing: Standing
    measured: str
    listed: str
    differs_by: str
    apart: Fraction
    source: str

    @property
    def name(self) -> str:
        return _NAMES[self.dimension]

    @property
    def is_measured(self) -> bool:
        return self.standing is not Standing.NOT_MEASURED

    @property
    def differs(self) -> bool:
        return self.standing is Standing.DIFFERS

    @property
    def is_from_memory(self) -> bool:
        return "memory" in self.source


class Candidate(Struct, frozen=True):
    """One series and how it stands to all that was measured."""

    body: Body
    comparisons: tuple[Comparison, ...]

    def count(self, standing: Standing) -> int:
        return sum(one.standing is standing for one in self.comparisons)

    @property
    def is_possible(self) -> bool:
        """At least one figure agrees and none differs."""
        return self.count(Standing.AGREES) > 0 and not self.count(Standing.DIFFERS)

    @property
    def words(self) -> str:
        """`agrees in 3 of 4 measured figures, 1 is not on file`."""
        agree, differ, unknown = (self.count(one) for one in (Standing.AGREES, Standing.DIFFERS, Standing.UNKNOWN))
        all_measured = agree + differ + unknown
        parts = [f"agrees in {agree} of {all_measured} measured figure{'s' * (all_measured != 1)}"]
        if differ:
            parts.append(f"differs in {differ}")
        if unknown:
            parts.append(f"{unknown} {'is' if unknown == 1 else 'are'} not on file")
        return ", ".join(parts)

    @property
    def rank(self) -> tuple[int, int, Fraction]:
        """What agrees in the most and differs in the least comes first, the nearest of those before the others."""
        distance = sum((one.apart for one in self.comparisons), Fraction(0))
        return self.count(Standing.DIFFERS), -self.count(Standing.AGREES), distance


class Identified(Struct, frozen=True):
    """What it can be, best first; where that is nothing, the nearest instead."""

    possible: tuple[Candidate, ...]
    nearest: tuple[Candidate, ...]

    @property
    def headline(self) -> str:
        if not self.possible:
            return "None of the series on file"
        names = [candidate.body.name for candidate in self.possible]
        if len(names) == 1:
            return f"It can be {names[0]}"
        return f"It can be {', '.join(names[:-1])} or {names[-1]}"


def identify(measured: Measured, among: Iterable[Body] | None = None) -> Identified:
    """What the collet can be; `among` are the series on file where it is not given."""
    known = bodies() if among is None else among
    candidates = sorted((compare(body, measured) for body in known), key=lambda candidate: candidate.rank)
    possible = tuple(candidate for candidate in candidates if candidate.is_possible)
    # A series of which nothing was measured that is on file is not near, only unknown.
    nearest = [candidate for candidate in candidates if candidate.count(Standing.DIFFERS)]
    return Identified(possible, () if possible else tuple(nearest[:NEAREST_SHOWN]))


def compare(body: Body, measured: Measured) -> Candidate:
    return Candidate(body, tuple(_comparison(body, dimension, measured) for dimension in _ALL_DIMENSIONS))


def allowances() -> tuple[tuple[str, str], ...]:
    """By how much a figure may differ and still agree, in words for the page."""
    return (
        ("diameters", f"± {measured(_length_allowance('diameter'))}"),
        ("length over all", f"± {measured(_length_allowance('length'))}"),
        ("pitch", f"± {_allowance('pitch') * 100} % of it"),
        ("angle", f"± {_allowance('angle')} degree a side"),
    )


def _length_allowance(what: str) -> Length:
    allowed = figure("which collet", what).typical
    assert isinstance(allowed, Length)
    return allowed


def _allowance(what: str) -> Fraction:
    allowed = figure("which collet", what).typical
    assert isinstance(allowed, Fraction)
    return allowed


def _comparison(body: Body, dimension: Dimension, measured: Measured) -> Comparison:
    on_file, value = body.figure(dimension), measured.value(dimension)
    if value is None or on_file is None:
        standing = Standing.NOT_MEASURED if value is None else Standing.UNKNOWN
        return _row(dimension, standing, value, on_file)
    if isinstance(value, Taper) and value.shank.startswith(MORSE):
        return _same(dimension, value, on_file, is_same=_is_shank(body, value))
    if isinstance(value, Closing):
        return _same(dimension, value, on_file, is_same=value is on_file.value)
    return _by_number(dimension, value.angle if isinstance(value, Taper) else value, on_file, value)


def _is_shank(body: Body, taper: Taper) -> bool:
    return body.is_morse if taper.shank == MORSE else body.code == taper.shank


def _same(dimension: Dimension, value: Value | Taper, on_file: BodyFigure, *, is_same: bool) -> Comparison:
    standing = Standing.AGREES if is_same else Standing.DIFFERS
    return _row(dimension, standing, value, on_file, apart=Fraction(0) if is_same else _UNLIKE)


def _by_number(dimension: Dimension, value: Value, on_file: BodyFigure, typed: Value | Taper) -> Comparison:
    difference: Fraction
    match value, on_file.value:
        case Length(), Length() as listed:
            difference = Fraction(value.nm - listed.nm)
            allowed = Fraction(_length_allowance("length" if dimension is Dimension.LENGTH else "diameter").nm)
            says = _both_units(value - listed)
        case Pitch(), Pitch() as listed:
            difference, allowed = value.nm - listed.nm, listed.nm * _allowance("pitch")
            says = f"{_sign(difference)}{_percent(difference, listed.nm)} %"
        case Angle(), Angle() as listed:
            difference, allowed = value.degrees - listed.degrees, _allowance("angle")
            says = _sign(difference) + Angle(abs(difference)).words
        case _:
            raise TypeError(f"{value} cannot be compared with {on_file.value}")
    standing = Standing.AGREES if abs(difference) <= allowed else Standing.DIFFERS
    says = says if difference else "no difference"
    return _row(dimension, standing, typed, on_file, says=says, apart=abs(difference) / allowed)


def _both_units(difference: Length) -> str:
    return f"{signed(difference)} {now().unit.value} ({_sign(difference.nm)}{other_unit(abs(difference))})"


def _sign(difference: Fraction | int) -> str:
    return "-" if difference < 0 else "+"


def _percent(difference: Fraction, total: Fraction) -> str:
    tenths = round(abs(difference) * 1000 / total)
    return f"{tenths // 10}.{tenths % 10}"


def _row(
    dimension: Dimension,
    standing: Standing,
    value: Value | Taper | None,
    on_file: BodyFigure | None,
    *,
    says: str = "",
    apart: Fraction = Fraction(0),
) -> Comparison:
    return Comparison(
        dimension=dimension,
        standing=standing,
        measured="" if value is None else _words(value),
        listed="" if on_file is None else _words(on_file.value),
        differs_by=says,
        apart=apart,
        source="" if on_file is None else on_file.source,
    )


def _words(value: Value | Taper) -> str:
    return shown(value) if isinstance(value, Length) else value.words
