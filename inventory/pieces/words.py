"""The trade's words for kinds, conditions and shapes, in whatever case, order or punctuation."""

from __future__ import annotations

import re

from django.utils.text import slugify

from inventory.models.kinds import COLLETS, GROUPS, DrivenBy, Kind, Operation, ShankShape, Tail
from inventory.models.sizes import Shape
from inventory.models.wear import Condition

KIND_OF_SLUG: dict[str, Kind] = {slugify(kind): kind for kind in Kind}
"""As a kind stands in an address."""
KINDS_ACCEPTED = (
    "collet, machinable collet, step collet, universal or independent chuck, live, dead, bull-nose or extended-point "
    "center, collet chuck, closer, sleeve, drawbar, collet nut, backplate, stop, drill chuck, tool-post holder, "
    "faceplate, lathe dog, steady rest, follow rest, mandrel, expanding arbor, key, taper-shank drill, reamer, "
    "counterbore, turning tool, boring bar, parting blade or knurling head"
)

# The first row whose words all stand in the text wins: the narrower comes before the wider.
_KIND_WORDS: tuple[tuple[frozenset[str], Kind], ...] = tuple(
    (frozenset(words.split()), kind)
    for words, kind in (
        ("chuck key", Kind.KEY),
        ("cam key", Kind.KEY),
        ("nut wrench", Kind.KEY),
        ("collet wrench", Kind.KEY),
        ("chuck wrench", Kind.KEY),
        ("collet nut", Kind.COLLET_NUT),
        ("er nut", Kind.COLLET_NUT),
        ("chuck nut", Kind.COLLET_NUT),
        ("clamping nut", Kind.COLLET_NUT),
        ("backplate", Kind.BACKPLATE),
        ("back plate", Kind.BACKPLATE),
        ("collet stop", Kind.STOP),
        ("spindle stop", Kind.STOP),
        ("work stop", Kind.STOP),
        ("collet chuck", Kind.COLLET_CHUCK),
        ("drill chuck", Kind.DRILL_CHUCK),
        ("collet step", Kind.STEP_COLLET),
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
        ("turning tool holder", Kind.TOOL_POST_HOLDER),
        ("boring bar holder", Kind.TOOL_POST_HOLDER),
        ("parting blade holder", Kind.TOOL_POST_HOLDER),
        ("faceplate", Kind.FACEPLATE),
        ("face plate", Kind.FACEPLATE),
        ("lathe dog", Kind.LATHE_DOG),
        ("steady rest", Kind.STEADY_REST),
        ("follow rest", Kind.FOLLOW_REST),
        ("expanding arbor", Kind.EXPANDING_ARBOR),
        ("expanding mandrel", Kind.EXPANDING_ARBOR),
        ("mandrel", Kind.MANDREL),
        ("drill shank taper", Kind.TAPER_SHANK_DRILL),
        ("drill morse taper", Kind.TAPER_SHANK_DRILL),
        ("reamer", Kind.REAMER),
        ("counterbore", Kind.COUNTERBORE),
        ("counter bore", Kind.COUNTERBORE),
        ("boring bar", Kind.BORING_BAR),
        ("blade parting", Kind.PARTING_BLADE),
        ("blade cut off", Kind.PARTING_BLADE),
        ("blade cutoff", Kind.PARTING_BLADE),
        ("head knurling", Kind.KNURLING_HEAD),
        ("head knurl", Kind.KNURLING_HEAD),
        ("tool turning", Kind.TURNING_TOOL),
        ("key", Kind.KEY),
        ("stop", Kind.STOP),
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
    # A drill chuck “with key” is the chuck.
    name_words = _words(re.split(r"\bwith\b", text.lower())[0])
    return next((kind for words, kind in _KIND_WORDS if words <= name_words), None)


def kinds_called(text: str) -> tuple[Kind, ...]:
    """The kinds that a text of nothing else calls so: of `center` four, of `dead centre` one, of `5C collet` none."""
    name_words = _words(text)
    if text.lower() in GROUPS:
        return GROUPS[text.lower()]
    if name_words == {"collet"}:
        return COLLETS
    if name_words in ({"blank"}, {"emergency"}):
        return (Kind.MACHINABLE_COLLET,)
    if named := tuple(kind for kind in Kind if name_words and name_words <= _words(kind)):
        return named
    return tuple({kind: None for words, kind in _KIND_WORDS if words == name_words})


def condition_of(text: str) -> Condition | None:
    """The condition that a text names; empty is good."""
    word = " ".join(_words(text)) or Condition.GOOD
    word = {"ok": "good", "okay": "good", "new": "good", "scrap": "scrapped"}.get(word, word)
    return Condition(word) if word in Condition.values else None


def shape_of(text: str) -> Shape | None:
    """The shape that a text names; empty is round."""
    name = " ".join(sorted(_words(text))) or Shape.ROUND
    name = {"hexagon": "hex", "hexagonal": "hex", "rd": "round", "sq": "square"}.get(name, name)
    return Shape(name) if name in Shape.values else None


def shank_shape_of(text: str) -> ShankShape | None:
    """The shape of a shank that a text names."""
    name = {"rd": "round", "sq": "square"}.get(word := _one(text), word)
    return ShankShape(name) if name in ShankShape.values else None


def tail_of(text: str) -> Tail | None:
    """The tail of a lathe dog that a text names."""
    name = _one(text, but="tail")
    return Tail(name) if name in Tail.values else None


def driven_by_of(text: str) -> DrivenBy | None:
    """Whether a text says hand or machine."""
    name = {"chucking": "machine"}.get(word := _one(text, but="reamer"), word)
    return DrivenBy(name) if name in DrivenBy.values else None


def yes_or_no(text: str) -> bool | None:
    """What a text answers; None where it answers nothing."""
    return {"yes": True, "y": True, "true": True, "no": False, "n": False, "none": False, "false": False}.get(
        _one(text)
    )


def operations_of(text: str) -> tuple[list[Operation], list[str]]:
    """The operations that a text names, in the order of the trade's list, and the words that are none."""
    operation_words = [word for word in re.split(r"[^a-z]+", text.lower()) if word and word != "and"]
    named = {_OPERATION_WORDS.get(word, word) for word in operation_words}
    return [one for one in Operation if one in named], [
        word for word in operation_words if _OPERATION_WORDS.get(word, word) not in Operation.values
    ]


_OPERATION_WORDS = {
    "turn": "turning", "face": "facing", "bore": "boring", "thread": "threading", "knurl": "knurling",
    "groove": "grooving", "part": "parting", "cutoff": "parting",
}  # fmt: skip


def _one(text: str, *, but: str = "") -> str:
    """The text as one word in small letters, without the word that goes without saying."""
    return " ".join(word for word in re.findall(r"[a-z]+", text.lower()) if word != but)


def _words(text: str) -> set[str]:
    lowered = text.lower()
    for odd, plain in _SPELLINGS.items():
        lowered = re.sub(rf"\b{odd}\b", plain, lowered)
    return {_singular(word) for word in re.findall(r"[a-z0-9]+", lowered)}


def _singular(word: str) -> str:
    is_plural = len(word) > 3 and word.endswith("s") and not word.endswith("ss")
    return word.removesuffix("s") if is_plural else word
