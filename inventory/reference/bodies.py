"""The outside of a collet by series: body, head, length, how it is closed, thread and closing angle.

By these a collet without a mark is told. A figure that is not on file is left out, never zero.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from functools import cache

from msgspec import Struct

from inventory.measures.lengths import NM_PER_INCH, Length, exact_mm
from inventory.reference import tables
from inventory.reference.tapers import MorseTaper, morse_tapers


class Dimension(StrEnum):
    """What can be measured on a collet."""

    BODY = "body"
    HEAD = "head"
    LENGTH = "length"
    CLOSING = "closing"
    THREAD = "thread"
    PITCH = "pitch"
    ANGLE = "angle"


class Closing(StrEnum):
    """What pulls or pushes a collet into its seat."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    NUT = "nut"

    @property
    def words(self) -> str:
        return {
            Closing.OUTSIDE: "a thread cut outside on its tail",
            Closing.INSIDE: "a drawbar, in a thread inside its tail",
            Closing.NUT: "a nut over its face, and no thread of its own",
        }[self]


class Pitch(Struct, frozen=True):
    """From thread to thread, in nanometres; a fraction, because 26 to the inch is no whole number of them."""

    nm: Fraction

    @classmethod
    def per_inch(cls, threads: Fraction | int) -> Pitch:
        return cls(NM_PER_INCH / Fraction(threads))

    @property
    def words(self) -> str:
        """As the trade says it: `20 to the inch`, else `1.5 mm`."""
        threads = NM_PER_INCH / self.nm
        if threads.denominator == 1:
            return f"{threads} to the inch"
        return exact_mm(Length(round(self.nm)))


class Angle(Struct, frozen=True):
    """Of a taper against its axis, a side, in degrees."""

    degrees: Fraction

    @property
    def words(self) -> str:
        """In degrees, minutes and seconds: `8°25′30″ a side`, to the nearest second."""
        minutes, seconds = divmod(round(self.degrees * 3600), 60)
        degrees, minutes = divmod(minutes, 60)
        rest = f"{minutes}′" * bool(minutes or seconds) + f"{seconds}″" * bool(seconds)
        return f"{degrees}°{rest} a side"


Value = Length | Pitch | Angle | Closing


class BodyFigure(Struct, frozen=True, kw_only=True):
    """One figure of a series. `thread` and `pitch` are those that close it: where that is a nut, the nut's."""

    dimension: Dimension
    value: Value
    source: str
    basis: str


class Body(Struct, frozen=True):
    """The outside of one series, `5C`, or of the collets with one Morse shank, `MT3`.

    `body` is the diameter of the straight part, or where it tapers all along the largest; `head` is the
    largest over all.
    """

    code: str
    figures: tuple[BodyFigure, ...]

    def figure(self, dimension: Dimension) -> BodyFigure | None:
        """The figure, or None where it is not on file."""
        return next((one for one in self.figures if one.dimension == dimension), None)

    @property
    def is_morse(self) -> bool:
        return any(self.code == taper.code for taper in morse_tapers())

    @property
    def name(self) -> str:
        return f"Morse {self.code.removeprefix('MT')} shank" if self.is_morse else self.code


@cache
def bodies() -> tuple[Body, ...]:
    """The series of the table in its order, then the Morse shanks from 0 to 7."""
    by_code: dict[str, list[BodyFigure]] = {}
    for row in tables.rows("bodies"):
        by_code.setdefault(row.text("code"), []).append(_figure(row))
    series = tuple(Body(code, tuple(figures)) for code, figures in by_code.items())
    return series + tuple(_morse(taper) for taper in morse_tapers())


def angle_of(taper_per_foot: Fraction) -> Angle:
    """Half the included angle of so many inches on diameter in a foot, by the arc tangent's series.

    Right to 0.0001 degrees for slow tapers; no float is made.
    """
    slope = taper_per_foot / 24
    turned = slope - slope**3 / 3 + slope**5 / 5
    return Angle(turned * 180 * Fraction(113, 355))


def _figure(row: tables.TableRow) -> BodyFigure:
    dimension = Dimension(row.text("figure"))
    return BodyFigure(dimension=dimension, value=_value(row, dimension), source=row.source, basis=row.basis)


def _value(row: tables.TableRow, dimension: Dimension) -> Value:
    text = row.text("value")
    if dimension is Dimension.CLOSING:
        return Closing(text)
    if dimension is Dimension.ANGLE:
        return Angle(tables.as_number(text.removesuffix(" deg")))
    if dimension is Dimension.PITCH and text.endswith(" tpi"):
        return Pitch.per_inch(tables.as_number(text.removesuffix(" tpi")))
    length = row.length("value")
    return Pitch(Fraction(length.nm)) if dimension is Dimension.PITCH else length


def _morse(taper: MorseTaper) -> Body:
    """Its length and the thread of its drawbar differ by maker and are not on file."""
    values: dict[Dimension, Value] = {
        Dimension.BODY: taper.large_end,
        Dimension.HEAD: taper.large_end,
        Dimension.ANGLE: angle_of(taper.taper_per_foot),
    }
    figures = (
        BodyFigure(dimension=dimension, value=value, source=taper.source, basis=taper.basis)
        for dimension, value in values.items()
    )
    return Body(taper.code, tuple(figures))
