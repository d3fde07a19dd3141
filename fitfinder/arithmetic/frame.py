"""A sum of the shop: which keys it asks for, what comes out, and how texts become its values.

`Sum.worked` is the door for page, command and program alike. What cannot be read, is missing, or contradicts itself
is a QuestionError that names the key, what was read and what is accepted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeVar

from msgspec import Struct

from fitfinder.arithmetic.quantities import Measure, Quantity, plain
from fitfinder.arithmetic.reading import EXAMPLES, read_count, read_quantity
from fitfinder.arithmetic.sketches import Sketch
from fitfinder.questions import QuestionError
from inventory.measures.lengths import Unit, shorten

Value = Quantity | int | str
Result = Quantity | int | list[int] | str | None
T = TypeVar("T", Quantity, int, str)

AGREES = Fraction(1, 1000)
"""Two ways to say one thing may differ by so much of it: what was rounded on a drawing is no contradiction."""
LARGEST_COUNT = 1000
COMMON = "common practice, no source"
GEOMETRY = "geometry"
DEFER = "The machine and chuck makers' manuals, local codes and qualified people come before this answer."


class Key(Struct, frozen=True, kw_only=True):
    """One value that a sum asks for: its name on the command line, and the words and hint of its field."""

    name: str
    measure: Measure = Measure.LENGTH
    words: str
    hint: str = ""
    may_be_zero: bool = False
    default: str = ""
    choices: tuple[str, ...] = ()
    like: str = ""
    """A word that is accepted, where the choices are not listed."""

    @property
    def example(self) -> str:
        return self.like or ", ".join(self.choices) or EXAMPLES[self.measure]


class SumOutcome(Struct, frozen=True, kw_only=True):
    """What a sum came to: its results, the cautions and remarks of these numbers, and a picture of them."""

    result: Mapping[str, Result]
    notes: tuple[str, ...] = ()
    sketch: Sketch | None = None


class WorkedSum(Struct, frozen=True, kw_only=True):
    """One sum, done."""

    name: str
    inputs: dict[str, Value]
    result: Mapping[str, Result]
    formula: str
    source: str
    notes: tuple[str, ...]
    sketch: Sketch | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """One sum. `needed` must be given, of `either` one group in full; what is left may be given.

    `work` gets the values that were given, by key, and returns an `Outcome`; it may raise QuestionError. `results` has
    the words for each result key.
    """

    name: str
    title: str
    about: str
    keys: tuple[Key, ...]
    results: dict[str, str]
    work: Callable[[Values], SumOutcome]
    formula: str
    source: str
    needed: tuple[str, ...] = ()
    either: tuple[tuple[str, ...], ...] = ()
    together: tuple[tuple[str, ...], ...] = ()

    def worked(self, texts: Mapping[str, str], *, unit: Unit = Unit.INCH) -> WorkedSum:
        """The sum with these texts by key; empty ones count as not given. Raises QuestionError."""
        given = self._read(texts, unit)
        self._ask_for_what_is_missing(given)
        outcome, *others = [self.work(Values(values, unit)) for values in self._ways(given)]
        for other in others:
            self._refuse_contradiction(outcome, other, texts)
        return WorkedSum(
            name=self.name,
            inputs={key.name: given[key.name] for key in self.keys if key.name in given},
            result=outcome.result,
            formula=self.formula,
            source=self.source,
            notes=(*outcome.notes, DEFER),
            sketch=outcome.sketch,
        )

    def key(self, name: str) -> Key:
        return next(key for key in self.keys if key.name == name)

    @property
    def usage(self) -> str:
        """The keys as a line of help: `length and (large small taper_length, or ratio)`."""
        parts = [" ".join(self.needed)] if self.needed else []
        if self.either:
            ways = ", or ".join(" ".join(group) for group in self.either)
            parts.append(f"({ways})" if parts else ways)
        spare = [key.name for key in self.keys if key.name not in self._required]
        text = " and ".join(parts)
        return f"{text} [{' '.join(spare)}]" if spare else text

    @property
    def _required(self) -> set[str]:
        return {*self.needed, *(name for group in self.either for name in group)}

    def _read(self, texts: Mapping[str, str], unit: Unit) -> dict[str, Value]:
        known = {key.name for key in self.keys}
        for name, text in texts.items():
            if name not in known:
                accepted = ", ".join(key.name for key in self.keys)
                message = f"“{shorten(name)}” is no key of {self.name}. It takes {accepted}."
                raise QuestionError(message, field=shorten(name), read=shorten(text))
        return {
            key.name: _value(key, texts.get(key.name, "").strip() or key.default, unit)
            for key in self.keys
            if texts.get(key.name, "").strip() or key.default
        }

    def _ask_for_what_is_missing(self, given: dict[str, Value]) -> None:
        missing = [name for name in self.needed if name not in given]
        if missing:
            raise self._missing(missing[0])
        for group in (*self.either, *self.together):
            absent = [name for name in group if name not in given]
            given_alone = [name for name in group if name in given and not self._is_shared(name)]
            if absent and given_alone:
                first = next(name for name in group if name in given)
                raise self._missing(absent[0], because=f"{first} is no use without it. ")
        if self.either and not self._complete(given):
            first = next(name for group in self.either for name in group if name not in given)
            ways = ", or ".join(" and ".join(group) for group in self.either)
            raise self._missing(first, because=f"Give {ways}. ")

    def _is_shared(self, name: str) -> bool:
        return sum(name in group for group in self.either) > 1

    def _missing(self, name: str, *, because: str = "") -> QuestionError:
        words = self.key(name).words.removeprefix("Or ").lower()
        message = f"{name} is missing: {words}. {because}Write it like {self.key(name).example}."
        return QuestionError(message, field=name, read="")

    def _complete(self, given: dict[str, Value]) -> list[tuple[str, ...]]:
        return [group for group in self.either if all(name in given for name in group)]

    def _ways(self, given: dict[str, Value]) -> list[dict[str, Value]]:
        """The values of each way to say it that was given in full; one where there is no choice."""
        of_a_group = {name for group in self.either for name in group}
        spare = {name: value for name, value in given.items() if name not in of_a_group}
        groups = self._complete(given) or [()]
        return [{**spare, **{name: given[name] for name in group}} for group in groups]

    def _refuse_contradiction(self, first: SumOutcome, other: SumOutcome, texts: Mapping[str, str]) -> None:
        for name, value in first.result.items():
            twin = other.result[name]
            if not isinstance(value, Quantity) or not isinstance(twin, Quantity):
                continue
            if abs(value.counted - twin.counted) > AGREES * max(abs(value.counted), abs(twin.counted)):
                named = [name for group in self.either for name in group if texts.get(name, "").strip()]
                names = list(dict.fromkeys(named))
                raise QuestionError(
                    f"{' and '.join(names)} contradict each other: {name} would be {value.short} or {twin.short}. "
                    "Leave one of them out.",
                    field=names[-1],
                    read=shorten(texts[names[-1]]),
                )


class Values:
    """The values of a sum by key, and the unit system that its answer is told in."""

    def __init__(self, values: Mapping[str, Value], unit: Unit) -> None:
        self._values, self._unit = values, unit

    def __contains__(self, name: str) -> bool:
        return name in self._values

    def __getitem__(self, name: str) -> Fraction:
        """A quantity that was given, in the unit that sums count in."""
        return self.quantity(name).counted

    def quantity(self, name: str) -> Quantity:
        return self._of_type(name, Quantity)

    def word(self, name: str) -> str:
        return self._of_type(name, str)

    def count(self, name: str) -> int:
        return self._of_type(name, int)

    def result(self, counted: Fraction, measure: Measure = Measure.LENGTH, *, like: str) -> Quantity:
        """A result, in the system in which the key `like` was given."""
        given = self._values.get(like)
        metric = given.is_metric if isinstance(given, Quantity) else self._unit is Unit.MM
        return Quantity.of(counted, measure, metric=metric)

    def _of_type(self, name: str, of_type: type[T]) -> T:
        value = self._values[name]
        assert isinstance(value, of_type), name
        return value


def refuse(message: str, *, field: str, read: Quantity | str = "") -> QuestionError:
    """What a sum says of a value that it cannot use."""
    text = f"{plain(read.value)} {read.unit or ''}".strip() if isinstance(read, Quantity) else read
    return QuestionError(message, field=field, read=text)


def _value(key: Key, text: str, unit: Unit) -> Value:
    if key.measure is Measure.WORD:
        return _word(key, text)
    if key.measure is Measure.COUNT:
        return read_count(text, field=key.name, largest=LARGEST_COUNT)
    return read_quantity(text, key.measure, field=key.name, unit=unit, may_be_zero=key.may_be_zero)


def _word(key: Key, text: str) -> str:
    word = "-".join(text.lower().split())
    if key.choices and word not in key.choices:
        accepted = ", ".join(key.choices)
        raise QuestionError(
            f"“{shorten(text)}” cannot be used as {key.name}. It is one of {accepted}.",
            field=key.name,
            read=shorten(text),
        )
    return word if key.choices else text
