"""Which kind of piece a description names, from the words for what it is and for how it is made."""

from __future__ import annotations

import re
from functools import lru_cache

from msgspec import Struct

from inventory.reference.kinds import Kind
from inventory.transfer.reading.vocabulary import Phrase, Vocabulary, _rows, vocabulary

ROMANCE = frozenset({"fr", "es", "it"})
"""Languages in which what a thing is stands before how it is."""

_BREAK = re.compile(r"[,;(:]|(?<=\w)\s-\s|\bw/")
_TOKEN = re.compile(r"[a-z0-9ø#]+")
_CENTERS = frozenset({Kind.LIVE_CENTER, Kind.DEAD_CENTER, Kind.EXTENDED_POINT_CENTER})


class NamedKind(Struct, frozen=True, kw_only=True):
    """`kind` where the text tells it; else `doubt` names what is open about it. Both None: nothing was understood.

    `likely` are the kinds that it can be, the likeliest first. `words` is how much of the text was understood.
    """

    kind: Kind | None = None
    doubt: str = ""
    likely: tuple[Kind, ...] = ()
    jaws: int | None = None
    understood: frozenset[int] = frozenset()


@lru_cache(maxsize=1)
def _things() -> Vocabulary:
    sorts = {"kind", "base", "none", "ask"}
    return Vocabulary((language, words, f"{of}:{meaning}") for of, language, words, meaning in _rows() if of in sorts)


def named_kind(text: str, language: str) -> NamedKind:
    """What a folded description names."""
    spots = list(_TOKEN.finditer(text))
    tokens = [spot[0] for spot in spots]
    things = _things().find(tokens, language)
    traits = vocabulary("trait").find(tokens, language)
    jaw_counts = vocabulary("jaws").find(tokens, language)
    jaws = int(jaw_counts[0].meaning) if jaw_counts else None
    end = _head_end(text, [spot.start() for spot in spots], tokens, things, language)
    head = [thing for thing in things if thing.start < end]
    chosen = _longest_name(head, tokens, language)
    if chosen is None and jaws is None:
        chosen = _longest_name(things, tokens, language)
    understood = {place for phrase in (*things, *traits, *jaw_counts) for place in range(phrase.start, phrase.end)}
    is_chuck_by_jaws = chosen is None or (jaws is not None and chosen.meaning.startswith("none"))
    meaning = ("base:chuck" if jaws is not None else "") if is_chuck_by_jaws or chosen is None else chosen.meaning
    resolved = _kind_of_meaning(meaning, frozenset(phrase.meaning for phrase in traits), jaws)
    return NamedKind(
        kind=resolved.kind, doubt=resolved.doubt, likely=resolved.likely, jaws=jaws, understood=frozenset(understood)
    )


def _head_end(text: str, starts: list[int], tokens: list[str], things: list[Phrase], language: str) -> int:
    """Before which word what comes is said beside the thing itself: behind a comma, or behind `with` and `for`."""
    inside = {place for thing in things for place in range(thing.start + 1, thing.end)}
    broken = _BREAK.search(text, 1)
    ends = [len(tokens)]
    if broken:
        ends += [place for place, start in enumerate(starts) if start >= broken.start()][:1]
    cuts = vocabulary("cut")
    ends += [
        place
        for place, token in enumerate(tokens)
        if place and place not in inside and cuts.means(token, language) is not None
    ]
    return min(end for end in ends if end)


def _longest_name(things: list[Phrase], tokens: list[str], language: str) -> Phrase | None:
    """The longest name; of two alike, the one that stands where this language has what a thing is."""
    if not things:
        return None
    order = -1 if language in ROMANCE else 1

    def weight(thing: Phrase) -> tuple[int, int]:
        return len(" ".join(tokens[thing.start : thing.end])), order * thing.start

    named = [thing for thing in things if not thing.meaning.startswith("none")]
    return max(named or things, key=weight)


def _kind_of_meaning(meaning: str, traits: frozenset[str], jaws: int | None) -> NamedKind:
    sort, _, name = meaning.partition(":")
    if sort == "none":
        return NamedKind(doubt="none")
    if sort == "ask":
        kinds = (Kind.DRILL_CHUCK, Kind.MANDREL) if name == "mandrel or drill chuck" else ()
        if "expanding" in traits:
            return NamedKind(kind=Kind.EXPANDING_ARBOR)
        return NamedKind(doubt=name, likely=kinds)
    if sort == "base":
        return _kind_of_base(name, traits, jaws)
    if sort == "kind":
        return _kind_of_name(name, traits, jaws)
    return NamedKind()


def _kind_of_base(base: str, traits: frozenset[str], jaws: int | None) -> NamedKind:
    if base == "collet":
        return _collet(traits)
    if base == "chuck":
        return _chuck(traits, jaws)
    if base == "center":
        return _center(traits)
    if base == "rest":
        is_follow = traits & {"follow", "turning"}
        return NamedKind(kind=Kind.FOLLOW_REST if is_follow else Kind.STEADY_REST)
    if "expanding" in traits:
        return NamedKind(kind=Kind.EXPANDING_ARBOR)
    return NamedKind(kind=Kind.MANDREL) if base == "mandrel" else NamedKind(doubt="ask none")


def _kind_of_name(name: str, traits: frozenset[str], jaws: int | None) -> NamedKind:
    """A kind by its own name, with what is said beside it: a `mitlaufende Zentrierspitze` is a live center."""
    if name in {"tapping", "driving plate"}:
        likely = (Kind.FACEPLATE,) if name == "driving plate" else ()
        return NamedKind(doubt=name, likely=likely)
    kind = Kind(name)
    if kind in _CENTERS:
        live = traits & {"live", "turning"}
        if "bull" in traits:
            return NamedKind(kind=Kind.BULL_NOSE_CENTER)
        if "extended" in traits and kind != Kind.DEAD_CENTER:
            return NamedKind(kind=Kind.EXTENDED_POINT_CENTER)
        return NamedKind(kind=Kind.LIVE_CENTER if kind == Kind.DEAD_CENTER and live else kind)
    if kind == Kind.FACEPLATE and jaws is not None:
        return _chuck(traits or frozenset({"independent"}), jaws)
    if kind == Kind.MANDREL and "expanding" in traits:
        return NamedKind(kind=Kind.EXPANDING_ARBOR)
    if kind == Kind.STEADY_REST and "follow" in traits:
        return NamedKind(kind=Kind.FOLLOW_REST)
    return NamedKind(kind=kind)


def _collet(traits: frozenset[str]) -> NamedKind:
    if "tapping" in traits:
        return NamedKind(doubt="tapping")
    if "soft" in traits:
        return NamedKind(kind=Kind.MACHINABLE_COLLET)
    return NamedKind(kind=Kind.STEP_COLLET if "step" in traits else Kind.COLLET)


def _chuck(traits: frozenset[str], jaws: int | None) -> NamedKind:
    if "expanding" in traits:
        return NamedKind(kind=Kind.EXPANDING_ARBOR)
    kinds = {"universal": Kind.UNIVERSAL_CHUCK, "independent": Kind.INDEPENDENT_CHUCK}
    named = [kind for trait, kind in kinds.items() if trait in traits]
    if len(named) == 1:
        return NamedKind(kind=named[0])
    if jaws == 3 and not named:
        return NamedKind(kind=Kind.UNIVERSAL_CHUCK)
    likely = (Kind.INDEPENDENT_CHUCK, Kind.UNIVERSAL_CHUCK) if jaws == 4 else (*kinds.values(),)
    return NamedKind(doubt=f"{jaws} jaw chuck" if jaws else "chuck", likely=likely)


def _center(traits: frozenset[str]) -> NamedKind:
    live, dead = traits & {"live", "turning"}, traits & {"dead", "fixed", "soft"}
    if "bull" in traits:
        return NamedKind(kind=Kind.BULL_NOSE_CENTER)
    if "extended" in traits and not dead:
        return NamedKind(kind=Kind.EXTENDED_POINT_CENTER)
    if bool(live) != bool(dead):
        return NamedKind(kind=Kind.LIVE_CENTER if live else Kind.DEAD_CENTER)
    if "carbide" in traits:
        return NamedKind(kind=Kind.LIVE_CENTER if live else Kind.DEAD_CENTER)
    return NamedKind(doubt="center", likely=(Kind.LIVE_CENTER, Kind.DEAD_CENTER))
