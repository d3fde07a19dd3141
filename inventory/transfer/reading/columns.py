"""What the headings of a sheet mean, and the units that they say."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from msgspec import Struct

from inventory.transfer.reading.vocabulary import fold, tokens_of, vocabulary

QUANTITY, HOLDS, OUT_TO, UNIT, LEFT_OUT = "quantity", "holds", "out_to", "unit", "left out"
"""What a column can be beside a field of a piece: how many, a range in one cell, who has it, the unit of a row's size,
or nothing of ours."""

_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_SCALES = (
    (re.compile(r"(?<!\d)0?[.,]0001\s*(?:\"|in\b|inch|zoll)?"), "tenth"),
    (re.compile(r"(?<!\d)0?[.,]001\s*mm"), "um"),
    (re.compile(r"(?<!\d)0?[.,]01\s*mm|1/100\s*(?:mm)?"), "hundredth mm"),
    (re.compile(r"1/1000\s*mm"), "um"),
    (re.compile(r"(?<!\d)0?[.,]001\s*(?:\"|in\b|inch|zoll)?|1/1000\s*(?:\"|in\b|inch)?"), "thou"),
)
_SIGNED_UNIT = re.compile(r"(?<!\w)(\"|mm|in|inch|inches|kg|lbs?)(?!\w)")
_NO_WORDS = {"the", "of", "in", "der", "die", "das", "de", "la", "le", "el", "il", "du", "del", "della", "s"}
CURRENCIES = {"usd", "eur", "gbp", "chf", "euro", "euros"}


class HeadingRead(Struct, frozen=True):
    """The fields that a heading can mean, the likelier first, and the unit that it says for bare numbers."""

    fields: tuple[str, ...]
    unit: str | None


def read_heading(heading: str, language: str = "en") -> HeadingRead:
    """What a heading means by its words; no field where they tell none."""
    folded = fold(heading)
    unit, rest = _unit_of(folded)
    words = vocabulary("field")
    for text in (rest, _BRACKETS.sub(" ", rest), " ".join(_BRACKETS.findall(rest))):
        fields = _fields_of(text, language)
        if fields:
            return HeadingRead(fields, unit)
    bare = tokens_of(_BRACKETS.sub(" ", rest).replace("ø", "o"))
    meant = {phrase.meaning for phrase in words.find(bare, language)}
    if len(meant) == 1 and len(bare) <= 4 and not meant & {LEFT_OUT, "lot"}:
        return HeadingRead(tuple(meant.pop().split("/")), unit)
    return HeadingRead((), unit)


def _fields_of(text: str, language: str) -> tuple[str, ...]:
    words = vocabulary("field")
    plain = " ".join(tokens_of(text.replace("ø", "o")))
    for wording in (plain, " ".join(word for word in plain.split() if word not in _NO_WORDS | CURRENCIES)):
        meaning = words.means(wording, language) if wording else None
        if meaning:
            return tuple(meaning.split("/"))
    parts = [part for part in re.split(r"[/|+&,]|\b(?:ou|or|oder|o|et|und|and|y|e)\b", text) if part.strip()]
    if len(parts) > 1:
        meanings = {words.means(" ".join(tokens_of(part.replace("ø", "o"))), language) for part in parts}
        if len(meanings) == 1 and None not in meanings:
            return tuple(str(meanings.pop()).split("/"))
    return ()


def _unit_of(folded: str) -> tuple[str | None, str]:
    """The unit that a heading says, and the heading without it."""
    for pattern, unit in _SCALES:
        if pattern.search(folded):
            return unit, pattern.sub(" ", folded)
    words = vocabulary("unit")
    tokens = tokens_of(folded)
    for phrase in words.find(tokens):
        unit_tokens = tokens[phrase.start : phrase.end]
        is_at_end = phrase.end == len(tokens) or _is_bracketed(folded, unit_tokens)
        if phrase.start and is_at_end:
            rest_tokens = [*tokens[: phrase.start], *tokens[phrase.end :]]
            return phrase.meaning, " ".join(rest_tokens)
    signed = _SIGNED_UNIT.search(folded)
    if signed and signed.start():
        unit = {'"': "in", "inch": "in", "inches": "in", "lbs": "lb"}.get(signed[1], signed[1])
        return unit, folded[: signed.start()] + folded[signed.end() :]
    return None, folded


def _is_bracketed(folded: str, phrase: Sequence[str]) -> bool:
    return any(tokens_of(inside) == tuple(phrase) for inside in _BRACKETS.findall(folded))


def best_of(fields: Sequence[str], texts: Sequence[str], reads: Callable[[str, str], bool]) -> tuple[str, bool]:
    """The field of several that most of the cells can be read as, and whether that is sure.

    `reads` says whether a text can be read as a field.
    """
    filled = [text for text in texts if text.strip()][:100]
    if len(fields) == 1 or not filled:
        return fields[0], len(fields) == 1
    scores = [sum(reads(field, text) for text in filled) for field in fields]
    best = max(scores)
    return fields[scores.index(best)], scores.count(best) == 1
