"""What was measured on a collet without a mark, read from what was typed."""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec import Struct

from fitfinder.questions import QuestionError
from inventory.measures.display import now
from inventory.measures.lengths import NM_PER_MM, Length, LengthError, parse, shorten
from inventory.reference.bodies import Angle, Closing, Dimension, Pitch, Value, angle_of
from inventory.reference.tapers import MORSE_NAMED, morse

LARGEST_DIAMETER = Length.inches(4)
"""A larger bare number is asked back: no collet here is as thick in inches."""
LARGEST_LENGTH = Length.inches(8)

THREADS_ACCEPTED = "its diameter and pitch like 1.238-20, M40 x 1.5 or 1.875 x 1.75 mm, or the diameter alone"
TAPERS_ACCEPTED = (
    "the angle a side in degrees like 10 or 8°25', an included one like 16.85 included, or Morse, MT3, Jarno"
)
MORSE, JARNO = "MT", "Jarno"
_NOMINAL_MORSE = angle_of(Fraction(5, 8))
_JARNO = angle_of(Fraction(6, 10))


class Taper(Struct, frozen=True):
    """A closing angle. `shank` is `MT3`, `MT` where its number is not known, or empty where only degrees are."""

    angle: Angle
    shank: str = ""

    @property
    def words(self) -> str:
        number = self.shank.removeprefix(MORSE)
        if self.shank.startswith(MORSE):
            return f"Morse {number}".strip() + " taper"
        return f"Jarno taper, {self.angle.words}" if self.shank == JARNO else self.angle.words


class Measured(Struct, frozen=True, kw_only=True):
    """What is known of the collet in the hand; None was not measured."""

    body: Length | None = None
    head: Length | None = None
    length: Length | None = None
    closing: Closing | None = None
    thread: Length | None = None
    pitch: Pitch | None = None
    taper: Taper | None = None

    def value(self, dimension: Dimension) -> Value | Taper | None:
        values: dict[Dimension, Value | Taper | None] = {
            Dimension.BODY: self.body,
            Dimension.HEAD: self.head,
            Dimension.LENGTH: self.length,
            Dimension.CLOSING: self.closing,
            Dimension.THREAD: self.thread,
            Dimension.PITCH: self.pitch,
            Dimension.ANGLE: self.taper,
        }
        return values[dimension]

    @property
    def is_empty(self) -> bool:
        return self == Measured()


_PER_INCH = re.compile(
    r"(?P<diameter>.*[0-9.,\"]|.*in\.?)(?:\s*-\s*|\s+)(?P<threads>[0-9]{1,2}(?:\.5)?)(?:\s*(?:tpi|to the inch))?"
)
_METRIC = re.compile(r"(?P<m>m?)\s*(?P<diameter>[^x×*]+?)\s*[x×*]\s*(?P<pitch>[0-9]*[.,]?[0-9]+)\s*(?:mm)?")
_FORM = re.compile(r"\s*\b(?:un[a-z]{0,2}|rh|lh|right hand|left hand)\b\.?\s*")


def read_thread(text: str) -> tuple[Length, Pitch | None]:
    """Diameter and pitch of `1.238-20`, `7/16-20 UNF`, `M40 x 1.5`, `1.875 x 1.75 mm`; the pitch may be missing.

    A pitch after × is in millimetres, one after a dash in threads to the inch. Raises QuestionError.
    """
    cleaned = _FORM.sub(" ", " ".join(text.lower().split())[:60]).strip()
    thread = _METRIC.fullmatch(cleaned)
    if thread:
        return _diameter(thread["diameter"], text, is_metric=bool(thread["m"])), _metric_pitch(thread["pitch"], text)
    if re.fullmatch(r"m\s*[0-9.,]+", cleaned):
        return _diameter(cleaned[1:].strip(), text, is_metric=True), None
    thread = _PER_INCH.fullmatch(cleaned)
    if thread:
        return _diameter(thread["diameter"], text), _inch_pitch(thread["threads"], text)
    return _diameter(cleaned, text), None


def _diameter(part: str, text: str, *, is_metric: bool = False) -> Length:
    try:
        return parse(f"{part} mm" if is_metric else part, now().bare, bare_limit=LARGEST_DIAMETER)
    except LengthError as error:
        if error.readings:
            raise QuestionError(error.message, field="thread", read=error.read, readings=error.readings) from None
        raise _no_thread(text, f"is no thread. Write {THREADS_ACCEPTED}.") from None


def _metric_pitch(number: str, text: str) -> Pitch:
    pitch = Fraction(number.replace(",", "."))
    if not Fraction(1, 5) <= pitch <= 8:
        raise _no_thread(
            text,
            f"has a pitch of {number} mm; accepted are 0.2 to 8 mm. Threads to the inch stand after a dash: 1.238-20.",
        )
    return Pitch(pitch * NM_PER_MM)


def _inch_pitch(number: str, text: str) -> Pitch:
    threads = Fraction(number)
    if not 3 <= threads <= 80:
        raise _no_thread(text, f"has {number} threads to the inch; accepted are 3 to 80.")
    return Pitch.per_inch(threads)


def _no_thread(text: str, why: str) -> QuestionError:
    return QuestionError(f"“{shorten(text)}” {why}", field="thread", read=shorten(text))


_ANGLE = re.compile(
    r"(?P<degrees>[0-9]{1,2}(?:[.,][0-9]{1,6})?)\s*(?:°|deg\.?|degrees?)?\s*"
    r"(?:(?P<minutes>[0-9]{1,2})\s*(?:['′’]|min\.?|minutes?)\s*)?(?:(?P<seconds>[0-9]{1,2})\s*(?:[\"″”]|sec\.?)\s*)?"
    r"(?P<how>included|incl\.?|per side|a side|each side)?"
)


def read_taper(text: str) -> Taper:
    """A closing angle a side, or a self-holding taper by its name. Raises QuestionError."""
    cleaned = " ".join(text.lower().split())[:60]
    if cleaned in {"jarno", "jarno taper"}:
        return Taper(_JARNO, JARNO)
    named = MORSE_NAMED.fullmatch(cleaned)
    if named:
        return _morse(named["number"], text)
    angle = _ANGLE.fullmatch(cleaned)
    if not angle:
        raise _no_taper(text, f"is no angle or taper. Write {TAPERS_ACCEPTED}.")
    degrees = Fraction(angle["degrees"].replace(",", "."))
    degrees += Fraction(int(angle["minutes"] or 0), 60) + Fraction(int(angle["seconds"] or 0), 3600)
    if (angle["how"] or "").startswith("incl"):
        degrees /= 2
    if not 0 < degrees <= 45:
        raise _no_taper(text, f"is outside 0 to 45 degrees a side. Write {TAPERS_ACCEPTED}.")
    return Taper(Angle(degrees))


def _morse(number: str | None, text: str) -> Taper:
    if number is None:
        return Taper(_NOMINAL_MORSE, MORSE)
    taper = morse(number.replace(" ", "-"))
    if taper is None:
        raise _no_taper(text, "is no Morse taper: they go from 0 to 7, with a 4-1/2.")
    return Taper(angle_of(taper.taper_per_foot), taper.code)


def _no_taper(text: str, why: str) -> QuestionError:
    return QuestionError(f"“{shorten(text)}” {why}", field="taper", read=shorten(text))
