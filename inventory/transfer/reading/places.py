"""Places as sheets write them: one drawer in three spellings, section rows that are drawers, a lathe that is none."""

from __future__ import annotations

import re
from collections.abc import Iterable

from inventory.transfer.reading.vocabulary import fold, tokens_of, vocabulary

_ARTICLES = frozenset({"the", "der", "die", "das", "dem", "den", "le", "la", "les", "l", "el", "los", "il", "lo"})
_DECORATION = re.compile(r"^[\s\-=*_#>•.~+]+|[\s\-=*_#<•.~+:]+$")
_BRACKETED = re.compile(r"\(([^)]*)\)")


def place_key(text: str) -> tuple[str, ...]:
    """The same for spellings of one place: case, spaces, punctuation and abbreviations do not count."""
    joined = re.sub(r"(?<=[a-z]{2})\.?(?=\d)", " ", fold(text))
    return tuple(map(_as_one, tokens_of(joined)))


def _as_one(word: str) -> str:
    """A word for a cabinet, drawer or shelf is the same however it is cut short."""
    meaning = vocabulary("place").means(word) if len(word) > 1 else None
    return meaning if meaning in {"cabinet", "drawer", "shelf"} else word


def likely_key(text: str) -> tuple[str, ...]:
    """The same for places that may be one: small words do not count."""
    small = _ARTICLES | {"on", "in", "of", "at", "auf", "im", "sur", "dans", "en", "su", "nel"}
    return tuple(token for token in place_key(text) if token not in small)


def one_spelling(texts: Iterable[str]) -> dict[str, str]:
    """Each spelling with the one by which its place is called, which is the first that a row has."""
    first: dict[tuple[str, ...], str] = {}
    plain = dict.fromkeys(" ".join(text.split()) for text in texts)
    return {text: first.setdefault(place_key(text), text) for text in plain if text}


def lathe_in(text: str, language: str) -> str:
    """The lathe that a text says something is on, like `lathe 1`; empty where it is a place beside one, or none."""
    tokens = tokens_of(fold(text))
    machines, on = vocabulary("machine"), vocabulary("on")
    start = 0
    while start < len(tokens) and (on.means(tokens[start], language) or tokens[start] in _ARTICLES):
        start += 1
    rest = tokens[start:]
    if not rest or len(rest) > 2 or machines.means(rest[0], language) is None:
        return ""
    if len(rest) == 2 and not re.fullmatch(r"[0-9]{1,2}|[a-z]|i{1,3}", rest[1]):
        return ""
    if len(rest) == 1 and not start:
        return ""
    lathe = re.search(rf"(?i){re.escape(rest[0])}.*", fold(text))
    return lathe[0].strip(" .") if lathe else " ".join(rest)


def section_place(text: str) -> str:
    """The place that a section row names: of `--- Chucks (rack A) ---` it is rack A."""
    bare = undecorated(text)
    outside = " ".join(_BRACKETED.sub(" ", bare).split())
    inside = [part.strip() for part in _BRACKETED.findall(bare)]
    for part in (outside, *inside):
        if names_place(part):
            return part
    return outside or bare


def names_place(text: str) -> bool:
    """Whether a text has the word of a place to keep things in."""
    return bool(vocabulary("place").find(tokens_of(fold(text))))


def undecorated(text: str) -> str:
    return _DECORATION.sub("", text).strip()


def is_decorated(text: str) -> bool:
    return undecorated(text) != text.strip() or (text.isupper() and len(text.strip()) > 2)
