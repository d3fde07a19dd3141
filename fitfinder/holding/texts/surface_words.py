"""Words for a surface that no size of the bar under it tells: knurled, threaded, plated, painted, ground."""

from __future__ import annotations

import re

from msgspec import Struct


class Surface(Struct, frozen=True):
    """What such stock is called, the words that say so, and what to measure on it (common practice, no source)."""

    called: str
    words: str
    measure: str
    asks_for_a_size: bool = True


SURFACES = (
    Surface(
        "Knurled stock",
        r"(?:diamond|straight|spiral)?[- ]?knurl(?:ed|ing|s)?",
        "Its crests stand above the bar that it was rolled on. Mic over the crests, which are what is held and marked",
    ),
    Surface(
        "Threaded stock",
        r"all[- ]?thread|thread(?:ed|s)?|studding",
        "It is held on its crests, which are under the size that the thread is called by. Mic over the crests",
    ),
    Surface(
        "Plated or coated stock",
        r"(?:(?:hard[- ]?)?chrome|chromium|zinc|nickel|copper|cadmium)?[- ]?plated|hard[- ]?chromed?|chromed"
        r"|galvani[sz]ed|anodi[sz]ed|coated|clad",
        "The bar's own size does not count what lies on it. Mic over the plating, as it will be held",
    ),
    Surface(
        "Painted stock",
        r"(?:powder[- ]?coat(?:ed)?|painted|lacquered|primed|varnished)",
        "Paint makes it larger, uneven, and slips in the jaws. Scrape it off where it is held and mic the bare bar",
    ),
    Surface(
        "Ground stock",
        r"(?:center(?:less)?|centre(?:less)?|precision|cylindrically)?[- ]?ground",
        "It is ground to whatever was ordered. Mic it, or choose a grade: ground and polished, drill rod, or h6 to h8",
        asks_for_a_size=False,
    ),
    Surface(
        "Splined or fluted stock",
        r"splined?|fluted|serrated|gear[- ]?stock|pinion[- ]?(?:wire|stock)",
        "It is held on its crests. Mic over them, from one to the one across",
    ),
    Surface(
        "Tapered stock",
        r"tapered",
        "It has another size at each end. Mic both ends of what will be gripped and write both, as .748 to .750",
        asks_for_a_size=False,
    ),
)
_FOUND = {surface: re.compile(rf"(?<![a-z])(?:{surface.words})(?![a-z])", re.IGNORECASE) for surface in SURFACES}
_DECIMAL = re.compile(r"[0-9]*[.,][0-9]{2,}(?:\s*(?:mm|in\b|\"))?", re.ASCII | re.IGNORECASE)


def surface_in(text: str) -> Surface | None:
    """The surface that is named beside a size. Powder coating is paint to whoever holds it."""
    named = [surface for surface, pattern in _FOUND.items() if pattern.search(text)]
    return next((surface for surface in named if surface.called == "Painted stock"), named[0] if named else None)


def measured_in(text: str) -> str:
    """The size in the text that was plainly measured, a decimal; empty where it may be what the bar is called."""
    decimal = _DECIMAL.search(text)
    return decimal[0] if decimal else ""
