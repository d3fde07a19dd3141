"""Threads that are written where a size is asked for: `3/4-10`, `#10-32`, `M12x1.75`, `1/2 NPT`.

A thread is called by a size that nobody measures on it: what is held are its crests. `1-1/8` is a mixed number and
`3/4-7/8` a range; which of them a dash means is decided here.
"""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec import Struct

from inventory.measures.length_words import measured
from inventory.measures.lengths import LONGEST_TEXT, Length, LengthError, Unit, parse

WIDEST_BAND = Fraction(3, 2)
"""The largest that one bar measures, as a share of its smallest: more are two bars (our own judgement, no source)."""
LARGEST_DIAMETER = 6
"""Inches; a larger whole number before a dash is no thread that is cut in a small shop (our own judgement)."""
FEWEST, MOST = 4, 80
"""Threads to the inch of the unified series, by which a number after a dash is told from the end of a range."""
SCREWS = {
    0: (80,), 1: (64, 72), 2: (56, 64), 3: (48, 56), 4: (36, 40, 48), 5: (40, 44), 6: (32, 40), 8: (32, 36),
    10: (24, 32), 12: (24, 28, 32),
}  # fmt: skip
"""The threads to the inch of the numbered screws, ASME B1.1 from memory."""
_TO_THE_INCH_OF_LARGE = (4, 8)
"""What thick threads have (UNC from 2-1/2 in up, and the eight-pitch series), ASME B1.1 from memory."""

_INCHES = (
    r"(?:[0-9]{1,2}(?:\s*-\s*|\s+)[0-9]{1,2}/[0-9]{1,2}|[0-9]{1,2}/[0-9]{1,2}|[0-9]{0,2}[.,][0-9]{1,5}|[0-9]{1,2})"
)
_SIZE = rf"(?P<size>{_INCHES})(?P<unit>\s*(?:in\b\.?|inch(?:es)?\b|\"|”|″))?"
_SCREW = r"(?:#|no\.?\s*|number\s*)(?P<number>[0-9]{1,2})"
_TO_THE_INCH = r"(?P<tpi>[0-9]{1,2}(?:\.5|(?:\s*-\s*|\s+)1/2)?)"
_FORM = (
    r"(?P<form>unj?r?(?:c|f|ef|s)?|n(?:c|f|ef|s)|bs(?:w|f|c)|whit(?:worth)?|(?:stub\s+)?acme|buttress|ba|cei"
    r"|npt[fr]?|nps[mcflh]?|bsp[pt]?)"
)
_WORD = r"(?:tpi|t\.p\.i\.?|threads?\s+per\s+inch|threads?\s+to\s+the\s+inch)"
_CLASS = r"(?:\s*-?\s*[1-3][ab]?)?(?:\s*-?\s*(?:lh|rh|left[- ]hand|right[- ]hand))?"
_REST = r"(?:\s+(?:threads?|threaded|thd|screw|bolt|stud|rod|bar|stock|round))*"
_BY_THE_INCH = re.compile(
    rf"(?:{_SCREW}|{_SIZE})\s*(?P<between>[-\N{{EN DASH}}x×,]|\s)\s*{_TO_THE_INCH}(?P<word>\s*{_WORD})?"
    rf"(?:\s*-?\s*{_FORM})?{_CLASS}{_REST}",
    re.ASCII | re.IGNORECASE,
)
_BY_ITS_FORM = re.compile(rf"(?:{_SCREW}|{_SIZE})\s*-?\s*{_FORM}{_CLASS}{_REST}", re.ASCII | re.IGNORECASE)
_FORM_FIRST = re.compile(
    rf"(?:{_FORM}|(?P<pipe>g|r[cp]?|pt|pf)|w)\s*-?\s*{_SIZE}(?:\s*-\s*{_TO_THE_INCH})?\s*[ab]?{_CLASS}{_REST}",
    re.ASCII | re.IGNORECASE,
)
_METRIC = re.compile(
    r"(?P<kind>mf|mj|m|tr|pg)\s*(?P<size>[0-9]{1,3}(?:[.,][0-9]{1,2})?)"
    r"(?:(?:\s*[x×*]\s*|\s*-\s*(?![0-9][a-h]))(?P<pitch>[0-9]{1,2}(?:[.,][0-9]{1,3})?))?(?:\s*mm)?(?:\s*\(?p\s*[0-9.,]{1,5}\)?)?"
    rf"(?:\s*-?\s*[3-9][a-h](?:[3-9][a-h])?(?:/[3-9][a-h])?)?(?:\s*-?\s*(?:lh|rh))?{_REST}",
    re.ASCII | re.IGNORECASE,
)
_STOPS = re.compile(r"(?<=[A-Za-z])\.", re.ASCII)
"""`B.S.P.`, `No.`, `in.`"""
_PIPE = re.compile(r"np[ts].*|bsp.*", re.IGNORECASE)


class ThreadWritten(Struct, frozen=True):
    """A thread as it was written, in words; `range_text` is the range that the same text may mean, else empty."""

    words: str
    is_pipe: bool = False
    range_text: str = ""

    @property
    def what_to_measure(self) -> str:
        """Which size is asked for instead."""
        if self.is_pipe:
            why = "It is called by the bore of its pipe, and its outside is larger."
        else:
            why = "It is held on its crests, which are a little under the size that it is called by."
        ask = "Mic the outside diameter over the crests and write that"
        return f"{why} {ask}; a range is written {self.range_text}" if self.range_text else f"{why} {ask}"


def thread_in(text: str, unit: Unit = Unit.INCH) -> ThreadWritten | None:
    """The thread that is written; None where it is a size, a range, or nothing that is known here.

    `unit` is that of bare numbers: in millimetres a narrow range of whole numbers is a range.
    """
    cleaned = _STOPS.sub("", " ".join(text.split()))
    if len(cleaned) > LONGEST_TEXT:
        return None
    if metric := _METRIC.fullmatch(cleaned):
        return _metric(metric)
    by_form = _BY_ITS_FORM.fullmatch(cleaned) or _FORM_FIRST.fullmatch(cleaned)
    if by_form:
        return _by_its_form(by_form)
    by_the_inch = _BY_THE_INCH.fullmatch(cleaned)
    return _by_the_inch(by_the_inch, unit) if by_the_inch else None


def is_too_wide(low: Length, high: Length) -> bool:
    """Whether no one bar measures both."""
    return high.nm > WIDEST_BAND * low.nm


def _metric(parts: re.Match[str]) -> ThreadWritten:
    size = parts["size"].replace(",", ".")
    if parts["kind"].lower() == "pg":
        return ThreadWritten(f"conduit size {size}", is_pipe=True)
    kind = "trapezoidal, " if parts["kind"].lower() == "tr" else ""
    pitch = f", {parts['pitch'].replace(',', '.')} mm pitch" if parts["pitch"] else ""
    return ThreadWritten(f"{kind}{size} mm{pitch}")


def _is_pipe_size(groups: dict[str, str]) -> bool:
    return bool(groups["pipe"]) and groups["size"].isdigit() and int(groups["size"]) <= LARGEST_DIAMETER


def _by_its_form(parts: re.Match[str]) -> ThreadWritten | None:
    groups = parts.groupdict()
    form = groups["form"] or ""
    if not form and "/" not in groups["size"] and not _is_pipe_size(groups):
        return None  # R8 is a seat, W1 a steel
    is_pipe = bool(groups.get("pipe") or _PIPE.fullmatch(form))
    tpi = groups.get("tpi")
    to_the_inch = f", {tpi} to the inch" if tpi else ""
    if form.lower() == "ba":
        return ThreadWritten(f"{groups['number'] or groups['size']} BA")
    name = _named(groups)
    form_word = f" {form.upper()}" if form else ""
    return ThreadWritten(f"pipe {name}{form_word}" if is_pipe else f"{name}{form_word}{to_the_inch}", is_pipe=is_pipe)


def _named(groups: dict[str, str]) -> str:
    return _screw(int(groups["number"])) if groups.get("number") else f"{groups['size']} in"


def _screw(number: int) -> str:
    """A numbered screw is 0.060 in and 0.013 in more for each number, ASME B1.1."""
    return f"number {number} ({measured(Length.inches(Fraction(60 + 13 * number, 1000)))})"


def _by_the_inch(parts: re.Match[str], unit: Unit) -> ThreadWritten | None:
    tpi = _in_inches(parts["tpi"])
    number = parts["number"] or (parts["size"] if parts["size"].isdigit() else "")
    if parts["number"] or (number and tpi in SCREWS.get(int(number), ())):
        return ThreadWritten(f"{_screw(int(number))}, {parts['tpi']} to the inch")
    size = _in_inches(parts["size"])
    thread = ThreadWritten(f"{parts['size']} in, {parts['tpi']} to the inch")
    if parts["form"] or parts["word"]:
        is_pipe = bool(_PIPE.fullmatch(parts["form"] or ""))
        return ThreadWritten(f"pipe {parts['size']} in", is_pipe=True) if is_pipe else thread
    if parts["between"] not in "-\N{EN DASH}" or size is None or tpi is None:
        return None
    if size > LARGEST_DIAMETER or not FEWEST <= tpi <= MOST:
        return None
    if tpi > size * WIDEST_BAND:
        return thread
    # As a range it would be one bar too.
    is_whole = "." not in parts["size"] and "," not in parts["size"]
    if unit is Unit.MM or not is_whole or tpi not in _TO_THE_INCH_OF_LARGE or size < 1:
        return None
    return ThreadWritten(thread.words, range_text=f"{parts['size']} to {parts['tpi']}" if tpi > size else "")


def _in_inches(text: str) -> Fraction | None:
    try:
        return Fraction(parse(f"{text} in").nm, Length.inches(1).nm)
    except LengthError:
        return None
