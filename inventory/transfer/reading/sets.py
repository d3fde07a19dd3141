"""A whole set of collets in one row: `69 pcs 1/16 to 1-1/8 by 64ths`, `ER20 1-13 mm, 13-tlg`."""

from __future__ import annotations

import re

from msgspec import Struct

from inventory.measures.lengths import Length, LengthError, Unit, parse
from inventory.transfer.reading.sizes import Span, spans_in
from inventory.transfer.reading.vocabulary import tokens_of, vocabulary

MOST = 200
_COUNT = re.compile(
    r"(?<![\w./-])(\d{1,3})\s*-?\s*(?:pcs?|pces?|pieces?|tlg|teilig\w*|teile|stuck|stk|st|piezas|pzas|uds|pezzi|pz)\b"
)
_OF = re.compile(r"\b(?:set of|satz (?:von|mit)|jeu de|juego de|serie di)\s*(\d{1,3})\b(?!\s*(?:mm|/))")
_BY = r"\b(?:by|x|every|step|steps of|par|de en|cada|pas de|passo|paso|steigend um|schritt|stufung)\s*"
_STEP = re.compile(
    _BY + r"(?:1/)?(8|16|32|64)(?:ths?|nds?|avos|emes|tel|esimi)?\b"
    r"|\b(8|16|32|64)(?:ths|nds|tel)\b"
)
_METRIC_STEP = re.compile(_BY + r"(0?[.,]\d+|\d(?:[.,]\d+)?)\s*(mm)?\b")
_WIDEST_ONE = Length.mm(2)


class SetRead(Struct, frozen=True, kw_only=True):
    """A range of sizes, how many there are, and the step between them, as far as the row says them."""

    span: Span
    count: int | None
    step: Length | None


def set_in(text: str, unit: Unit, language: str, *, count: int | None) -> SetRead | None:
    """The set that a folded text describes; None where it is one collet. `count` is what its own column says."""
    counted = _COUNT.search(text) or _OF.search(text)
    number = int(counted[1]) if counted else count if count and count > 1 else None
    without = text[: counted.start()] + " " + text[counted.end() :] if counted else text
    step = _step(without)
    without = _METRIC_STEP.sub(" ", _STEP.sub(" ", without))
    is_called_set = bool(vocabulary("set").find(tokens_of(text), language))
    spans = spans_in(without)
    if not spans or not (is_called_set or step is not None or (number and number > 1)):
        return None
    span = spans[-1] if len(spans) > 1 else spans[0]
    low, high = span.low.length(unit) if span.low else None, span.high.length(unit)
    if low is not None and high is not None and abs(high - low) <= _WIDEST_ONE and not is_called_set:
        return None
    return SetRead(span=span, count=number, step=step)


def sizes_of(described: SetRead, limits: tuple[Length | None, Length | None] | None, unit: Unit) -> list[Length]:
    """The sizes of a set; empty where what the row says does not come out even, or is outside of the family."""
    metric = limits is not None and limits[1] is not None and limits[1].is_metric
    bare = Unit.MM if metric else unit
    low, high = described.span.low.length(bare) if described.span.low else None, described.span.high.length(bare)
    if low is None or high is None or high <= low or limits is None:
        return []
    step = described.step
    if step is None and described.count and described.count > 1 and (high.nm - low.nm) % (described.count - 1) == 0:
        step = Length((high.nm - low.nm) // (described.count - 1))
        if not _is_usual(step):
            return []
    if step is None and described.count is None and low.is_metric and high.is_metric and metric:
        step = Length.mm(1)
    if step is None or step.nm <= 0 or (high.nm - low.nm) % step.nm:
        return []
    number = (high.nm - low.nm) // step.nm + 1
    if number > MOST or (described.count is not None and described.count != number):
        return []
    sizes = [Length(low.nm + place * step.nm) for place in range(number)]
    smallest, largest = limits
    if (smallest is not None and low < smallest) or (largest is not None and high > largest):
        return []
    return sizes


def _is_usual(step: Length) -> bool:
    """Whether collets are made in such steps."""
    usual = {Length.mm(text) for text in ("0.5", "1", "2")} | {Length.inches(f"1/{n}") for n in (8, 16, 32, 64)}
    return step in usual


def _step(text: str) -> Length | None:
    inches = _STEP.search(text)
    if inches:
        return Length.inches(f"1/{inches[1] or inches[2]}")
    metric = _METRIC_STEP.search(text)
    if metric is None:
        return None
    try:
        return parse(f"{metric[1]} mm")
    except LengthError:
        return None
