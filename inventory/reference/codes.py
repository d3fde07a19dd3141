"""How a shop spells the code of a series, a taper or a nose."""

from __future__ import annotations

import re
from collections.abc import Container

_TAPER_WORDS = (
    (re.compile(r"^(?:DIN|ISO)[ -]?(?=55027)"), ""),
    (re.compile(r"^(?:MORSE(?: TAPER)?|M\.? ?T\.?)(?: NO\.?)?[ #-]*(?=[0-9])"), "MT"),
    (re.compile(r"^(?:JACOBS(?: TAPER)?|J\.? ?T\.?)(?: NO\.?)?[ #-]*(?=[0-9])"), "JT"),
    (re.compile(r"^(?:BROWN (?:&|AND) SHARPE(?: TAPER)?|B ?[&.] ?S\.?)(?: NO\.?)?[ #-]*(?=[0-9])"), "BS"),
    (re.compile(r"^JARNO(?: TAPER)?(?: NO\.?)?[ #-]*(?=[0-9])"), "JARNO"),
    (re.compile(r"^(?:NO\.? ?|#)?([0-9])[ -]?(?:MORSE(?: TAPER)?|M\.? ?T\.?)$"), r"MT\1"),
)


def known_code(text: str, known: Container[str]) -> str | None:
    """The code among `known` (upper case) that a shop's spelling means, or None.

    `Morse 3`, `M.T. 3` and `mt-3` are MT3, `5-C` is 5C, `B&S 7` is BS7, `d1 4` is D1-4, `1 1/2 - 8` is 1-1/2-8.
    """
    written = " ".join(text.upper().split())
    for pattern, code in _TAPER_WORDS:
        written = written if written in known else pattern.sub(code, written)
    spellings = (written, re.sub(r"[ -]+", "-", written), re.sub(r"[ -]+", "", written))
    return next((code for code in spellings if code in known), None)
