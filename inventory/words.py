"""The trade's words for kinds, conditions and shapes, in whatever case, order or punctuation."""

from __future__ import annotations

import re

from inventory.models.sizes import Shape
from inventory.models.tools import Condition, Kind

KINDS_ACCEPTED = (
    "collet, machinable collet, universal or independent chuck, live, dead, bull-nose or extended-point center, "
    "collet chuck, closer, sleeve, drawbar, drill chuck, tool-post holder, faceplate, lathe dog, steady rest, "
    "follow rest or mandrel"
)

# The first row whose words all stand in the text wins: the narrower comes before the wider.
_KIND_WORDS: tuple[tuple[frozenset[str], Kind], ...] = tuple(
    (frozenset(words.split()), kind)
    for words, kind in (
        ("collet chuck", Kind.COLLET_CHUCK),
        ("drill chuck", Kind.DRILL_CHUCK),
        ("collet machinable", Kind.MACHINABLE_COLLET),
        ("collet emergency", Kind.MACHINABLE_COLLET),
        ("collet soft", Kind.MACHINABLE_COLLET),
        ("collet blank", Kind.MACHINABLE_COLLET),
        ("closer", Kind.CLOSER),
        ("collet", Kind.COLLET),
        ("chuck universal", Kind.UNIVERSAL_CHUCK),
        ("chuck scroll", Kind.UNIVERSAL_CHUCK),
        ("chuck self centering", Kind.UNIVERSAL_CHUCK),
        ("chuck independent", Kind.INDEPENDENT_CHUCK),
        ("chuck 3 jaw", Kind.UNIVERSAL_CHUCK),
        ("center extended point", Kind.EXTENDED_POINT_CENTER),
        ("center bull nose", Kind.BULL_NOSE_CENTER),
        ("center live", Kind.LIVE_CENTER),
        ("center dead", Kind.DEAD_CENTER),
        ("sleeve", Kind.SLEEVE),
        ("drawbar", Kind.DRAWBAR),
        ("draw bar", Kind.DRAWBAR),
        ("tool post holder", Kind.TOOL_POST_HOLDER),
        ("toolpost holder", Kind.TOOL_POST_HOLDER),
        ("faceplate", Kind.FACEPLATE),
        ("face plate", Kind.FACEPLATE),
        ("lathe dog", Kind.LATHE_DOG),
        ("steady rest", Kind.STEADY_REST),
        ("follow rest", Kind.FOLLOW_REST),
        ("mandrel", Kind.MANDREL),
    )
)
_SPELLINGS = {
    "centre": "center",
    "centres": "center",
    "centring": "centering",
    "bullnose": "bull nose",
    "3jaw": "3 jaw",
}


def kind_of(text: str) -> Kind | None:
    """The kind that a sheet's text names, or None."""
    said = _words(text)
    return next((kind for words, kind in _KIND_WORDS if words <= said), None)


def condition_of(text: str) -> Condition | None:
    """The condition that a text names; empty is good."""
    said = " ".join(_words(text)) or Condition.GOOD
    return Condition(said) if said in Condition.values else None


def shape_of(text: str) -> Shape | None:
    """The shape that a text names; empty is round."""
    said = " ".join(sorted(_words(text))) or Shape.ROUND
    said = {"hexagon": "hex", "hexagonal": "hex", "rd": "round", "sq": "square"}.get(said, said)
    return Shape(said) if said in Shape.values else None


def _words(text: str) -> set[str]:
    lowered = text.lower()
    for odd, plain in _SPELLINGS.items():
        lowered = re.sub(rf"\b{odd}\b", plain, lowered)
    return {_singular(word) for word in re.findall(r"[a-z0-9]+", lowered)}


def _singular(word: str) -> str:
    is_plural = len(word) > 3 and word.endswith("s") and not word.endswith("ss")
    return word.removesuffix("s") if is_plural else word
