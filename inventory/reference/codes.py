"""How a shop spells the code of a series, a taper or a nose: two spellings with one key are one seat.

Only what the standards themselves make one is one here. A1-5 and A2-5 are both of ISO 702-1 and DIN 55026, and differ
in their bolts: the number of either standard names neither. Of the 7:24 tapers NT, NMTB, INT and ISO are the spindle
taper of ISO 297 and DIN 2080; BT and CAT have another flange and another stud to be drawn by, and SK may mean either:
they keep their own names. B tapers (DIN 238) are no Jacobs tapers, though both carry drill chucks.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Collection
from fractions import Fraction
from functools import lru_cache

from inventory.measures.signs import plain_signs

LONGEST = 60
"""No name of a seat is written longer."""

_NO = r"[ .,:#-]*(?:(?:NO|NR|N|NUMBER|NUMMER|SIZE|GR|GROSSE|GROESSE|TAILLE|KK)\b[ .,:#-]*)?"
_BEHIND = r"(?:[ -]*(?:TAPER|SHANK|SOCKET|ARBOR|NOSE|SPINDLE))?"
_STANDARD = r"(?:(?:ASME|ANSI)(?: B ?5\.9)?[ ,:-]*|TYPE[ -]*)*"
_OF_THREADS = (
    r"(?:[ ,-]*(?:T\.?P\.?I\.?|THREADS?|THD|PER INCH|/ ?IN(?:CH)?|UN[CFS]?|UNEF|NS|BSW|BSF|WHIT(?:WORTH)?|RH|NOSE))*"
)
_MORSE_WORD = r"(?:MORSE(?:[ -]?(?:TAPER|KEGEL|KONUS|CONE))?|CON[EO][ -]MORSE|M\.? ?T\.?|M\.? ?K\.?|C\.? ?M\.?)"
_MORSE_SIZE = r"(?P<n>4[ -]1/2|4[.,]5|[0-9])"
_JACOBS_SIZE = r"(?P<n>2 ?S(?:HORT)?|[0-9]{1,2})"
_OTHER_TAPERS = r"(?:NMTB|NT|INT|ISO|DIN ?2080|ISO ?297)"
_ER_STANDARD = r"(?:DIN[ /ISO-]*6499|ISO ?15488)"


def _morse(taper: re.Match[str]) -> str:
    return f"MT{'4-1/2' if taper['n'].startswith('4') and len(taper['n']) > 1 else taper['n']}"


def _long_taper(taper: re.Match[str]) -> str:
    return f"L{taper['n'].replace('O', '0')}"


def _inch_thread(thread: re.Match[str]) -> str | None:
    """`1-1/2-8`; None for what is no thread of a nose."""
    inches, over, under = thread["whole"] or "0", thread["over"], thread["under"]
    if thread["decimal"]:
        size = Fraction(thread["decimal"].replace(",", "."))
    elif over and int(under):
        size = int(inches) + Fraction(int(over), int(under))
    else:
        size = Fraction(int(inches))
    if not Fraction(1, 4) <= size <= 8 or not 3 <= int(thread["pitch"]) <= 40 or 64 % size.denominator:
        return None
    full, rest = divmod(size.numerator, size.denominator)
    part = f"{rest}/{size.denominator}" if rest else ""
    return f"{'-'.join(text for text in (str(full) if full else '', part) if text)}-{int(thread['pitch'])}"


def _metric_thread(thread: re.Match[str]) -> str:
    return f"M{_short(thread['size'])}x{_short(thread['pitch'])}"


def _short(number: str) -> str:
    number = number.replace(",", ".")
    return number.rstrip("0").rstrip(".") if "." in number else number


_CAMLOCK_STANDARD = r"(?:DIN ?55029|(?:DIN )?ISO ?702[ /-](?:2|II))[ ,:-]*(?:TYPE )?(?:D ?1?(?=[ -]))?"
_SHORT_TAPER = r"(?:(?:DIN ?55026|ISO ?702[ /-](?:1|I))[ ,:-]*)?A ?(?P<form>[12])"
_INCH = r"(?:\"|IN\.?|INCH)? *"
_BEFORE_THREADS = r"(?: (?=[0-9]+ ?(?:T\.?P\.?I|THREADS)))"
_PITCH = rf"(?P<pitch>[0-9]{{1,2}}){_OF_THREADS}"
_DECIMAL = r"(?P<decimal>[0-9]{0,2}[.,][0-9]{1,5})"
_FRACTION = r"(?:(?P<whole>[0-9]{1,2})[ .-]+)?(?P<over>[0-9]{1,2})/(?P<under>[0-9]{1,2})"
_WHOLE_INCHES = r"(?P<decimal>)(?P<whole>[0-9]{1,2})(?P<over>)(?P<under>)"
_SPELLINGS: tuple[tuple[str, str | Callable[[re.Match[str]], str | None]], ...] = (
    (rf"(?:(?:DIN ?228|ISO ?296)[ ,:-]*)?{_MORSE_WORD}{_NO}{_MORSE_SIZE}{_BEHIND}", _morse),
    (rf"(?:NO\.? ?|#)?{_MORSE_SIZE}[ -]?(?:MORSE(?: TAPER| CONE)?|M\.? ?T\.?|MK){_BEHIND}", _morse),
    (rf"(?:JACOBS(?: TAPER)?|J\.? ?T\.?|J){_NO}{_JACOBS_SIZE}{_BEHIND}", r"JT\g<n>"),
    (rf"(?:NO\.? ?|#)?{_JACOBS_SIZE}[ -]?(?:JACOBS(?: TAPER)?|J\.? ?T\.?){_BEHIND}", r"JT\g<n>"),
    (rf"(?:BROWN ?(?:&|\+|AND) ?SHARPE(?: TAPER)?|B ?[&.+]? ?S\.?){_NO}(?P<n>[0-9]{{1,2}}){_BEHIND}", r"BS\g<n>"),
    (rf"(?:NO\.? ?|#)?(?P<n>[0-9]{{1,2}}) ?(?:BROWN ?(?:&|AND) ?SHARPE(?: TAPER)?|B ?& ?S){_BEHIND}", r"BS\g<n>"),
    (rf"JARNO(?: TAPER)?{_NO}(?P<n>[0-9]{{1,2}}){_BEHIND}", r"JARNO\g<n>"),
    (
        rf"{_STANDARD}(?:CAM[ -]?LOCK[ ,:-]*)?D ?1[ .,-]{_NO}(?P<n>[0-9]{{1,2}})(?:[ -]*CAM[ -]?LOCK)?{_BEHIND}",
        r"D1-\g<n>",
    ),
    (rf"CAM[ -]?LOCK{_NO}(?P<n>[0-9]{{1,2}}){_BEHIND}", r"D1-\g<n>"),
    (
        rf"{_CAMLOCK_STANDARD}{_NO}(?P<n>[0-9]{{1,2}}){_BEHIND}",
        r"D1-\g<n>",
    ),
    (
        rf"{_STANDARD}{_SHORT_TAPER}[ .,-]{_NO}(?P<n>[0-9]{{1,2}}){_BEHIND}",
        r"A\g<form>-\g<n>",
    ),
    (rf"(?:(?:DIN ?)?55027|(?:DIN )?ISO ?702[ /-](?:3|III)){_NO}(?P<n>[0-9]{{1,2}}){_BEHIND}", r"55027-\g<n>"),
    (rf"{_STANDARD}(?:LONG TAPER[ ,:-]*)?L[ -]?(?P<n>00|OO|[0-3]|O){_BEHIND}", _long_taper),
    (rf"{_OTHER_TAPERS}{_NO}(?P<n>30|35|40|45|50|60){_BEHIND}", r"NT\g<n>"),
    (rf"#?(?P<n>30|35|40|45|50|60)[ -]?(?:NMTB|NT|INT){_BEHIND}", r"NT\g<n>"),
    (rf"(?:DIN ?238[ ,:-]*)?B[ -]?(?P<n>6|10|12|16|18|22|24){_BEHIND}", r"B\g<n>"),
    (rf"(?:{_ER_STANDARD}[ ,:-]*)?ER[ -]?(?P<n>[0-9]{{1,2}})", r"ER\g<n>"),
    (rf"{_ER_STANDARD}{_NO}(?:[A-Z][ -]?)?(?P<n>[0-9]{{1,2}})", r"ER\g<n>"),
    (r"(?P<n>[0-9]{1,2})[ -]?ER", r"ER\g<n>"),
    (rf"(?:{_DECIMAL}|{_FRACTION}) ?{_INCH}(?:[X*,-] *|{_BEFORE_THREADS}|(?<= )(?=[0-9]+ ?T)){_PITCH}", _inch_thread),
    (rf"{_WHOLE_INCHES} ?{_INCH}[X*-] *{_PITCH}", _inch_thread),
    (
        r"M ?(?P<size>[0-9]{1,3}(?:[.,][0-9]+)?) ?(?:MM)? ?[X*-] ?(?P<pitch>[0-9](?:[.,][0-9]+)?) ?(?:MM)?",
        _metric_thread,
    ),
)
"""What is written in full, and the code that it means, the first that fits."""
_COMPILED = tuple((re.compile(pattern, re.ASCII), code) for pattern, code in _SPELLINGS)
_BETWEEN_FIGURES = re.compile(r"(?<=[0-9])[ -]+(?=[0-9])", re.ASCII)
_BETWEEN_OTHERS = re.compile(r"(?<![0-9])[ -]+|[ -]+(?![0-9])", re.ASCII)


@lru_cache(maxsize=8192)
def spelling_key(text: str) -> str:
    """The code that a spelling of a seat or series comes to: what has the same one is the same seat.

    `Morse 3`, `MK 3`, `CM3` and `3 MT` come to MT3, `DIN 55029 Gr. 4` and `d1 4` to D1-4, `1.5-8 TPI` to 1-1/2-8. A
    name that no standard has comes to itself in capitals, without the spaces and dashes that people set as they please;
    a dash between two figures stays one. Empty for an empty text.
    """
    written = _in_capitals(text)
    if len(written) > LONGEST:
        return written
    for pattern, code in _COMPILED:
        spelled = pattern.fullmatch(written)
        if spelled and (meant := spelled.expand(code) if isinstance(code, str) else code(spelled)):
            return meant.replace(" ", "").replace("SHORT", "S")
    return _BETWEEN_OTHERS.sub("", _BETWEEN_FIGURES.sub("-", written))


def _in_capitals(text: str) -> str:
    """Capitals of plain Latin letters, with one sort of dash, of quotation mark and of times."""
    plain = unicodedata.normalize("NFKD", plain_signs(text))
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    plain = re.sub("[\N{MULTIPLICATION SIGN}]", "X", re.sub("[\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}_]", "-", plain))
    plain = re.sub(r"(?<=[Nn])[\N{DEGREE SIGN}o](?=[ .0-9])", "O", plain)
    return " ".join(plain.upper().split()).strip(" .,-")


def known_code(text: str, known: Collection[str]) -> str | None:
    """The code among `known` (upper case) that a shop's spelling means, or None."""
    written = " ".join(text.upper().split())
    if not written or written in known:
        return written or None
    key = spelling_key(text)
    if key in known:
        return key
    return next((code for code in known if spelling_key(code) == key), None)
