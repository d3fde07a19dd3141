"""The stock in hand, from what the machinist wrote: its size, its shape, and the band that its size lies in."""

from __future__ import annotations

import re

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.holding.stock import SHAPES, Band, PieceNamed, Stock, StockShape
from fitfinder.holding.texts.bar_labels import is_grade_alone, label_in
from fitfinder.holding.texts.surface_words import measured_in, surface_in
from fitfinder.holding.texts.thread_texts import is_too_wide, thread_in
from fitfinder.questions import QuestionError, length_of
from inventory.measures.length_words import figures, size_of_work, span
from inventory.measures.lengths import Length, Reading, Unit, exact, parse, shorten
from inventory.reference.bars import Grade, band, grade_named, grades, grades_for, grades_named

NO_ALLOWANCE = Length(0)

# A mixed number keeps its own hyphen: the low end of `1-1/8-1-1/4` is 1-1/8, not 1.
_RANGE = re.compile(
    r"(?P<low>[0-9]+\s*-\s*[0-9]+/[0-9]+\s*(?:in\b|\")?|.+?)"
    r"\s*(?:\bto\b|–|(?<=[0-9mn\"])\s*-\s*(?=[.0-9]))\s*(?P<high>.+)",
    re.ASCII,
)
_MIXED = re.compile(r"[0-9]+\s*-\s*[0-9]+\s*/\s*[0-9]+\D*", re.ASCII)
_ISO_GRADE = re.compile(r"(?P<size>[0-9]+(?:[.,][0-9]+)?)\s*(?:mm\s*)?(?P<grade>h(?:6|7|8|9|10|11))", re.ASCII | re.I)

_LIKE_A_TAG = re.compile(r"[A-Za-z]{1,4}\s?-\s?[0-9]{1,6}", re.ASCII)


def stock_from(
    size: str,
    size2: str = "",
    *,
    shape: str = "round",
    grade: str = "",
    unit: Unit = Unit.INCH,
    bare_limit: Length | None = None,
    allowance: Length = NO_ALLOWANCE,
) -> Stock:
    """The stock that the texts describe.

    One size is measured, ± `allowance`; with a grade it is nominal; two sizes are the smallest and largest
    measured. `.748-.750` and `20h9` are read in `size` alone. Raises QuestionError.
    """
    if shape not in SHAPES:
        raise QuestionError(
            f"“{shorten(shape)}” is no shape that is known here. Write round, hex or square.",
            field="shape",
            read=shorten(shape),
        )
    section = StockShape(shape)
    refuse_what_must_be_measured(size, field="size", unit=unit)
    refuse_what_must_be_measured(size2, field="size2", unit=unit)
    low, high, grade = _taken_apart(size, size2, grade)
    if high and not grade:
        both = _TwoSizes(low=low, high=high, size=size, size2=size2)
        return _between(*both.read(unit, bare_limit), high, section)
    try:
        first = size_of(low, field="size", unit=unit, bare_limit=bare_limit)
    except QuestionError as error:
        raise _of_the_label(error, size) from None
    if grade:
        return _graded(high, first, section, grade)
    spread = Band(first.length - allowance, first.length + allowance)
    words = f"measured ± {figures(allowance)}" if allowance.nm else "measured"
    return Stock(shape=section, band=spread, read_as=f"{first.how} {shape}, {words}")


def stock_of(piece: PieceNamed, *, grade: str = "") -> Stock:
    """What has the size of a piece that was named by its tag. Raises QuestionError where it has none."""
    if piece.shape is None or piece.nominal is None:
        raise QuestionError(
            f"{piece.words}, which holds no one size. Write the size of the stock, like .7485.",
            field="size",
            read=piece.tag,
            tag=piece.tag,
        )
    stock = stock_from(exact(piece.nominal), shape=piece.shape, grade=grade)
    read_as = f"{stock.read_as.removesuffix(', measured')}, the size of {piece.tag}, {piece.called}"
    return replace(stock, read_as=read_as, of_piece=piece)


def no_such_tag(text: str) -> QuestionError | None:
    """For a text that is written like a tag, and no piece has it."""
    if not _LIKE_A_TAG.fullmatch(text.strip()):
        return None
    return QuestionError(
        f"“{shorten(text)}” cannot be read as a length, and no piece here has that tag. Write a size like .7485, or "
        "the tag as it stands on the piece.",
        field="size",
        read=shorten(text),
    )


def refuse_what_must_be_measured(text: str, *, field: str, unit: Unit) -> None:
    """Raises QuestionError where a thread or a surface is named, which no size of the bar under it tells."""
    thread = thread_in(text, unit)
    if thread is not None:
        raise QuestionError(
            f"“{shorten(text)}” is a thread, {thread.words}. {thread.what_to_measure}.",
            field=field,
            read=shorten(text),
            readings=(thread.range_text,) if thread.range_text else (),
        )
    surface = surface_in(text)
    label = label_in(text)
    if surface is None or (label is not None and label.grade):
        return
    measured = measured_in(text)
    raise QuestionError(
        f"“{shorten(text)}” is {surface.called[:1].lower()}{surface.called[1:]}. {surface.measure}"
        f"{', and write the size alone' if surface.asks_for_a_size else ''}.",
        field=field,
        read=shorten(text),
        readings=(measured,) if measured else (),
    )


def size_of(text: str, *, field: str, unit: Unit, bare_limit: Length | None = None) -> Reading:
    """As `length_of`; words behind a size that are no grade of a table are told as that."""
    try:
        return length_of(text, field=field, unit=unit, bare_limit=bare_limit)
    except QuestionError as error:
        if is_grade_alone(text):
            raise _without_a_size(text, field, error) from None
        label = label_in(text)
        if label is None or error.readings:
            raise
        if len(several := label.grades) > 1:
            readings = tuple(f"{label.size} {one.code}" for one in several)
            raise _several(label.words, several, field=field, readings=readings) from None
        raise QuestionError(
            f"“{shorten(text)}” cannot be read as a length. No band is on file for “{shorten(label.words)}”: "
            f"measure the bar and write its size alone, like .7485.",
            field=field,
            read=shorten(text),
        ) from None


def _taken_apart(size: str, size2: str, grade: str) -> tuple[str, str, str]:
    """A range or a size with an ISO grade, written in one text, as its parts."""
    iso = _ISO_GRADE.fullmatch(size.strip())
    if iso and not size2 and grade in ("", iso["grade"].lower()):
        return f"{iso['size']} mm", size2, iso["grade"].lower()
    label = label_in(size) if not (size2 or grade) else None
    if label is not None and label.grade is not None:
        return label.size, size2, label.grade.code
    if size2 or _MIXED.fullmatch(size.strip()):
        return size, size2, grade
    span = _RANGE.fullmatch(size.strip())
    if not span or grade:
        return size, size2, grade
    low, high = span["low"].strip(), span["high"].strip()
    unit = re.search(r"(?:mm|in|thou|\")\.?$", high, re.I)
    if unit and not re.search(r"[a-z\"]", low, re.I):
        low = f"{low} {unit[0]}"
    return low, high, grade


def _without_a_size(text: str, field: str, error: QuestionError) -> QuestionError:
    """A grade alone; a number that is one may be a size that lost its point all the same."""
    read = shorten(text.strip())
    words = f"“{read}” is a grade of bar, and no size stands with it. Write the size too, like 1 {read}"
    or_measured = f"; measured, write {' or '.join(error.readings)}" if error.readings else ""
    return QuestionError(f"{words}{or_measured}.", field=field, read=read, readings=error.readings)


def _between(first: Reading, second: Reading, text: str, shape: StockShape) -> Stock:
    if second.length < first.length:
        raise QuestionError(
            f"The second size, {second.how}, is below the first, {first.how}. Write the smallest, then the largest.",
            field="size2",
            read=shorten(text),
        )
    return Stock(
        shape=shape,
        band=Band(first.length, second.length),
        read_as=f"{_both(first, second)} {shape}, measured",
    )


def _of_the_label(error: QuestionError, text: str) -> QuestionError:
    """What may be meant, with the words of the label: a tap must not lose them."""
    label = label_in(text)
    if label is None or label.grade is None:
        return error
    readings = tuple(f"{reading} {label.words}" for reading in error.readings)
    return QuestionError(error.message, field=error.field, read=error.read, readings=readings)


class _TwoSizes(Struct, frozen=True, kw_only=True):
    """The smallest and the largest as texts, and the texts that they stood in: `size2` is empty where both were one."""

    low: str
    high: str
    size: str
    size2: str

    def read(self, unit: Unit, bare_limit: Length | None) -> tuple[Reading, Reading]:
        """Raises QuestionError, also where no one bar measures both."""
        try:
            first = size_of(self.low, field="size", unit=unit, bare_limit=bare_limit)
            second = self._second(first, unit, bare_limit)
        except QuestionError as error:
            raise self._of_the_range(error) from None
        if is_too_wide(first.length, second.length):
            raise self._of_two_bars(first, second)
        return first, second

    def _second(self, first: Reading, unit: Unit, bare_limit: Length | None) -> Reading:
        """A largest size that is asked back is no question of its unit where both units make it absurd."""
        try:
            return size_of(self.high, field="size2", unit=unit, bare_limit=bare_limit)
        except QuestionError as error:
            if not error.readings:
                raise
            second = size_of(self.high, field="size2", unit=unit)
            if any(_is_one_bar(first.length, parse(text)) for text in error.readings):
                raise
            return second

    def _of_two_bars(self, first: Reading, second: Reading) -> QuestionError:
        return QuestionError(
            f"{_both(first, second)} is more than one bar measures: its largest size is at most half as large again "
            "as its smallest. Write what one bar measures, smallest and largest; ask for each bar by itself.",
            field="size2" if self.size2 else "size",
            read=shorten(self.size2 or self.size),
        )

    def _of_the_range(self, error: QuestionError) -> QuestionError:
        """What may be meant, as the whole text: a tap must not lose the other end."""
        if self.size2 or not error.readings:
            return error
        bare = {Unit.MM: f"{error.read} mm", Unit.INCH: f"{error.read} in"}
        units = [unit for unit, text in bare.items() if text in error.readings]
        return QuestionError(
            error.message,
            field=error.field,
            read=error.read,
            readings=tuple(f"{self.low} to {self.high} {unit}" for unit in units),
        )


def _is_one_bar(low: Length, high: Length) -> bool:
    return low <= high and not is_too_wide(low, high)


def _both(low: Reading, high: Reading) -> str:
    """`0.7480 to 0.7500 in`: the unit once and one notation where both are plain inches."""
    if low.how.endswith(" in") and high.how.endswith(" in") and "drill" not in low.how + high.how:
        return span(low.length, high.length)
    return f"{low.how} to {high.how}"


def _graded(size2: str, first: Reading, shape: StockShape, grade: str) -> Stock:
    known = grade_named(grade)
    if known is None and len(several := grades_named(grade)) > 1:
        raise _several(grade, several, field="grade", readings=tuple(one.code for one in several))
    if known is None:
        codes = ", ".join(entry.code for entry in grades())
        raise QuestionError(
            f"“{shorten(grade)}” is no stock grade that is known here. Write one of {codes}.",
            field="grade",
            read=shorten(grade),
        )
    code = known.code
    if size2:
        raise QuestionError(
            "A grade goes with one nominal size. Leave out the second size, or the grade.",
            field="size2",
            read=shorten(size2),
        )
    limits = band(code, shape, first.length)
    if limits is None:
        raise QuestionError(
            f"The tables have no {shape} {code} bar of {first.how}. No band is on file for it. Measure the bar and "
            f"leave out the grade"
            f"{_made_in(shape, first.length)}.",
            field="grade",
            read=code,
        )
    name = size_of_work(first.length)
    return Stock(
        shape=shape,
        band=Band(first.length - limits.minus, first.length + limits.plus),
        read_as=f"{name} {shape}, nominal, {known.label}",
        nominal=first.length,
        grade=limits,
    )


def _several(words: str, grades: list[Grade], *, field: str, readings: tuple[str, ...]) -> QuestionError:
    *others, last = [grade.code for grade in grades]
    return QuestionError(
        f"“{shorten(words)}” is sold as more than one kind of bar, each with a band of its own. Write "
        f"{', '.join(others)} or {last}, or measure the bar.",
        field=field,
        read=shorten(words),
        readings=readings,
    )


def _made_in(shape: StockShape, size: Length) -> str:
    """The grades that there are instead: `, or choose one of h11, …`; empty where there is none."""
    codes = [grade.code for grade in grades_for(shape, size)]
    return f", or choose one of {', '.join(codes)}" if codes else ""
