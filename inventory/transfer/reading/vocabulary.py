"""Words of the trade as they stand in sheets, in five languages (`words.csv`), and how texts are compared with them."""

from __future__ import annotations

import csv
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache
from pathlib import Path

from msgspec import Struct

LANGUAGES = ("en", "de", "fr", "es", "it")

_SIGNS = str.maketrans(
    {
        "⁄": "/", "∕": "/", "”": '"', "“": '"', "″": '"', "„": '"', "’": "'", "‘": "'", "`": "'", "´": "'", "–": "-",
        "—": "-", "−": "-", "‐": "-", "‑": "-", "×": "x", "⌀": "ø", "∅": "ø", "µ": "u", "μ": "u",
        "º": "o", "ª": "a", "ß": "ss",
    }
)  # fmt: skip
_VULGAR = re.compile(r"(\d)?\s*([¼½¾⅐-⅞])")
_FALSE_FRIENDS = frozenset(
    {
        "use",
        "uses",
        "point",
        "bout",
        "die",
        "lose",
        "weg",
        "wo",
        "fine",
        "note",
        "gut",
        "art",
        "form",
        "car",
        "pin",
        "am",
    }
)
"""Words of another language that in an English sheet are English."""
_TOKEN = re.compile(r"[a-z0-9ø#]+")
_PLURAL = re.compile(r"[a-z]{3,}[^s]s")


def fold(text: str) -> str:
    """A text in small letters without accents, with plain dashes, quotes and fractions: `1½” Ø` is `1-1/2" ø`."""
    if text.isascii():  # nearly all of them
        return " ".join(text.casefold().translate(_SIGNS).replace("''", '"').split())
    plain = _VULGAR.sub(_fraction, text).translate(_SIGNS).casefold().translate(_SIGNS)
    decomposed = unicodedata.normalize("NFKD", plain)
    bare = "".join(character for character in decomposed if not unicodedata.combining(character))
    return " ".join(bare.translate(_SIGNS).replace("''", '"').split())


def _fraction(vulgar: re.Match[str]) -> str:
    written = unicodedata.normalize("NFKD", vulgar[2]).replace("⁄", "/")
    return f"{vulgar[1]}-{written}" if vulgar[1] else f" {written}"


def tokens_of(text: str) -> tuple[str, ...]:
    """The words and numbers of a folded text."""
    return tuple(_TOKEN.findall(text))


class Phrase(Struct, frozen=True):
    """A phrase of the vocabulary in a text: from which word to before which, and what it means."""

    start: int
    end: int
    meaning: str


class Vocabulary:
    """The words of one sort, by language; those of the sheet's own language count first."""

    def __init__(self, rows: Iterable[tuple[str, str, str]]) -> None:
        self._meanings: dict[tuple[str, ...], dict[str, str]] = {}
        self._endings: list[tuple[str, str]] = []
        for language, words, meaning in rows:
            if words.startswith("*"):
                self._endings.append((words[1:], meaning))
            else:
                self._meanings.setdefault(tokens_of(words), {}).setdefault(language, meaning)
        self._longest = max(map(len, self._meanings), default=0)
        self._words = {word for phrase in self._meanings for word in phrase}

    def means(self, text: str, language: str = "en") -> str | None:
        """What this whole text means; None where it is no phrase of this sort."""
        return self._meaning(self._known(tokens_of(text)), language)

    def languages(self, text: str) -> tuple[str, ...]:
        """The languages of which this text is a phrase."""
        return tuple(self._meanings.get(self._known(tokens_of(text)), ()))

    def find(self, tokens: Sequence[str], language: str = "en") -> list[Phrase]:
        """The phrases in these words, the longest first taken, in their order; none overlaps another."""
        words = self._known(tokens)
        phrases: list[Phrase] = []
        taken: set[int] = set()
        for length in range(min(self._longest, len(words)), 0, -1):
            for start in range(len(words) - length + 1):
                places = range(start, start + length)
                if taken.intersection(places):
                    continue
                meaning = self._meaning(words[start : start + length], language)
                if meaning is not None:
                    phrases.append(Phrase(start, start + length, meaning))
                    taken.update(places)
        return sorted(phrases, key=lambda phrase: phrase.start)

    def _meaning(self, words: tuple[str, ...], language: str) -> str | None:
        by_language = self._meanings.get(words)
        if by_language is not None and language == "en" and "en" not in by_language and words[0] in _FALSE_FRIENDS:
            return None
        if by_language is not None:
            return by_language.get(language) or by_language.get("en") or next(iter(by_language.values()))
        if len(words) == 1:
            return next((meaning for ending, meaning in self._endings if words[0].endswith(ending)), None)
        return None

    def _known(self, tokens: Sequence[str]) -> tuple[str, ...]:
        return tuple(self._spelled(token) for token in tokens)

    def _spelled(self, word: str) -> str:
        """The word as the vocabulary writes it: `ue` may be `ü`, and an English plural its singular."""
        if word in self._words:
            return word
        plain = word.replace("ae", "a").replace("oe", "o").replace("ue", "u")
        if plain in self._words:
            return plain
        return word[:-1] if _PLURAL.fullmatch(word) and word[:-1] in self._words else word


@lru_cache(maxsize=1)
def _rows() -> tuple[tuple[str, str, str, str], ...]:
    with Path(__file__).with_name("words.csv").open(newline="", encoding="utf-8") as file:
        return tuple((row["sort"], row["language"], row["words"], row["meaning"]) for row in csv.DictReader(file))


@lru_cache(maxsize=32)
def vocabulary(sort: str) -> Vocabulary:
    """The words of this sort."""
    return Vocabulary((language, words, meaning) for of, language, words, meaning in _rows() if of == sort)


def language_of(texts: Iterable[str]) -> str:
    """The language that most of these headings or descriptions are words of; English where nothing tells."""
    votes: Counter[str] = Counter()
    for text in texts:
        folded = fold(text)
        for sort, weight in (("field", 1), ("kind", 1), ("base", 1), ("condition", 1)):
            languages = vocabulary(sort).languages(folded)
            if len(languages) == 1:
                votes[languages[0]] += 2 * weight
            else:
                votes.update(dict.fromkeys(languages, weight))
    # On a tie the order of LANGUAGES decides: a word that English has too is English.
    return max(LANGUAGES, key=lambda language: (votes[language], -LANGUAGES.index(language)))
