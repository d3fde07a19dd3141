"""How far bar of a stock grade may be from its nominal size.

Carbon steel, drawn or ground, is never over nominal; hot rolled, stainless, aluminium, brass and drill rod
may be. Allowed out-of-round is told beside the band and never widens it.
"""

from __future__ import annotations

import re
from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables
from inventory.reference.materials import Material


class BarBand(Struct, frozen=True, kw_only=True):
    """The deviations that a grade allows from nominal size `over` to `upto`; sizes are across flats.

    `over` is None where the table starts from nothing. `plus` is how far above nominal the bar may be,
    `minus` how far below, both positive or zero. `out_of_round` is the largest difference of two
    diameters in one section, None where the table says nothing of it.
    """

    grade: str
    shape: str
    over: Length | None
    over_included: bool
    upto: Length
    upto_included: bool
    plus: Length
    minus: Length
    out_of_round: Length | None
    source: str
    basis: str

    @property
    def deviations(self) -> str:
        """What is allowed over and under nominal, signed, in the unit of the table: `+0.0000 -0.0020 in`."""
        if _unit_of(self.grade) == "mm":
            return f"+{self.plus.mm_text} -{self.minus.mm_text} mm"
        return f"+{self.plus.inch_text} -{self.minus.inch_text} in"

    def covers(self, nominal: Length) -> bool:
        return self._starts_below(nominal) and self._ends_above(nominal)

    def _starts_below(self, nominal: Length) -> bool:
        if self.over is None:
            return nominal > Length(0)
        return self.over <= nominal if self.over_included else self.over < nominal

    def _ends_above(self, nominal: Length) -> bool:
        return nominal <= self.upto if self.upto_included else nominal < self.upto


class Grade(Struct, frozen=True, kw_only=True):
    """A stock grade: `label` is what stands on the bar's label, `unit` (`in`, `mm`) what its table is in.

    `written_to` is the step that the ends of its bands are written to (0.499, then 0.500): a nominal size is
    rounded to it first, so that none falls between two bands. `words` are other names that a label has for it; one that
    stands with several grades, as an alloy that is sold drawn and rolled, names none of them alone.
    """

    code: str
    label: str
    unit: str
    shapes: tuple[str, ...]
    written_to: Length | None
    words: tuple[str, ...] = ()
    material: Material | None = None
    """None where bar of many materials is made so."""


@cache
def grades() -> tuple[Grade, ...]:
    """All stock grades, those in inches first."""
    return tuple(_grade(row) for row in tables.rows("grades"))


@cache
def bands() -> tuple[BarBand, ...]:
    """Every band of every grade."""
    return tables.read("bars", BarBand)


def band(grade: str, shape: str, nominal: Length) -> BarBand | None:
    """The band that holds for bar of this grade, shape and nominal size; None outside the tables."""
    size = _as_written(grade, nominal)
    return next((band for band in bands() if (band.grade, band.shape) == (grade, shape) and band.covers(size)), None)


def grade_named(text: str) -> Grade | None:
    """The grade that a label means by its code or its words: `cold-drawn`, `1018 CD bar`, `drill rod`, `h9`."""
    named = grades_named(text)
    return named[0] if len(named) == 1 else None


def grades_named(text: str) -> list[Grade]:
    """All that a label may mean: of `4140` the bar that is rolled, drawn, annealed or heat treated."""
    return _by_name().get(_tokens(text), [])


def material_of(code: str) -> Material | None:
    """What bar of this grade is made of; None where the grade does not say."""
    return next((grade.material for grade in grades() if grade.code == code), None)


def grades_for(shape: str, nominal: Length | None = None) -> list[Grade]:
    """The grades in which bar of this shape, and of this nominal size where one is given, is made."""
    return [
        grade
        for grade in grades()
        if shape in grade.shapes and (nominal is None or band(grade.code, shape, nominal) is not None)
    ]


@cache
def _by_name() -> dict[frozenset[str], list[Grade]]:
    by_name: dict[frozenset[str], list[Grade]] = {}
    for grade in grades():
        for name in dict.fromkeys(map(_tokens, (grade.code, grade.label, *grade.words))):
            by_name.setdefault(name, []).append(grade)
    return by_name


_SPOKEN = (
    (r"(?<=[0-9])(?=(?:hr|cd|cf|ht|ph|qt|hrc)\b)", " "),
    (r"\b(?:heat treat(?:ed)?|pre hard(?:ened)?|prehardened|quenched and tempered|q&t|qt|ht|ph|pht)\b", "prehard"),
    (r"\b(?:cd|cold drawn)\b", "cold drawn"),
    (r"\b(?:cf|cold fin)\b", "cold finished"),
    (r"\b(?:hr|hrs)\b", "hot rolled"),
    (r"\bhra\b", "hot rolled annealed"),
    (r"\baluminum\b|\balum?\b", "aluminium"),
    (r"\bss\b", "stainless"),
)
"""How the same bar is written on labels; words of the trade, no source."""
_SAY_NOTHING = {"bar", "bars", "stock", "steel", "alloy", "type", "grade", "aisi", "sae"}


def _tokens(text: str) -> frozenset[str]:
    """Order, hyphens, commas, case and what is said of every bar do not tell one grade from another."""
    plain = " ".join(text.lower().replace("-", " ").replace(",", " ").split())
    for pattern, word in _SPOKEN:
        plain = re.sub(pattern, word, plain)
    tokens = frozenset(plain.split()) - _SAY_NOTHING
    return tokens if "drill" in tokens else tokens - {"rod"}


def _unit_of(code: str) -> str:
    return next(grade.unit for grade in grades() if grade.code == code)


def _as_written(grade: str, nominal: Length) -> Length:
    step = next((known.written_to for known in grades() if known.code == grade), None)
    if step is None:
        return nominal
    return step * ((nominal.nm * 2 + step.nm) // (step.nm * 2))


def _grade(row: tables.TableRow) -> Grade:
    code = row.text("code")
    return Grade(
        code=code,
        label=row.text("label"),
        unit=row.text("unit"),
        shapes=tuple(dict.fromkeys(band.shape for band in bands() if band.grade == code)),
        written_to=row.maybe_length("written_to"),
        words=tuple(word for word in row.text("words").split("/") if word),
        material=Material(row.text("material")) if row.text("material") else None,
    )
