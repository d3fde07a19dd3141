"""Self-holding tapers: Morse (ASME B5.10, ISO 296), Brown & Sharpe, Jarno, and the Jacobs tapers of drill chucks."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference import tables
from inventory.reference.codes import spelling_key


class MorseTaper(Struct, frozen=True, kw_only=True):
    """A Morse taper, `MT3`. `large_end` is at the gauge line, `small_end` at `plug_depth` from it.

    `taper_per_foot` is inches on diameter. `large_end_metric` and `one_in` (the taper as 1 : one_in) are
    those of ISO 296, None where that standard lacks the size. The rest is for shanks and sockets.
    """

    code: str
    large_end: Length
    large_end_metric: Length | None
    small_end: Length
    plug_depth: Length
    taper_per_foot: Fraction
    one_in: Fraction | None
    tang_shank_length: Length | None
    tang_shank_depth: Length | None
    socket_depth: Length | None
    plain_shank_length: Length | None
    source: str
    basis: str


class TaperByEnds(Struct, frozen=True, kw_only=True):
    """A taper between its two ends: of a drill chuck (`JT33`), Brown & Sharpe (`BS7`) or Jarno (`JARNO6`).

    `taper_per_foot` is inches on diameter, as listed: that of a drill chuck to four places.
    """

    code: str
    large_end: Length
    small_end: Length
    length: Length
    taper_per_foot: Fraction
    source: str
    basis: str


@cache
def morse_tapers() -> tuple[MorseTaper, ...]:
    """The Morse tapers from 0 to 7, with the half size 4-1/2."""
    return tables.read("morse_tapers", MorseTaper)


@cache
def jacobs_tapers() -> tuple[TaperByEnds, ...]:
    """The Jacobs tapers from 0 to 6, with the short No. 2 and No. 33."""
    return tables.read("jacobs_tapers", TaperByEnds)


@cache
def brown_sharpe_tapers() -> tuple[TaperByEnds, ...]:
    """The Brown & Sharpe tapers from 1 to 12."""
    return tables.read("brown_sharpe_tapers", TaperByEnds)


@cache
def jarno_tapers() -> tuple[TaperByEnds, ...]:
    """The Jarno tapers from 2 to 20."""
    return tables.read("jarno_tapers", TaperByEnds)


MORSE_NAMED = re.compile(r"(?:morse(?: taper)?|m\.?t\.?)\s*(?:no\.?|#)?\s*-?(?P<number>[0-9](?:[- ]1/2)?)?")
"""In small letters with single spaces: `morse`, `morse taper no. 2`, `mt2`, `m.t. 4-1/2`."""


def _code(text: str, prefix: str) -> str:
    """In whatever spelling; the number alone will do."""
    key = spelling_key(text)
    return key if key.startswith(prefix) else f"{prefix}{key}"


def morse(code: str) -> MorseTaper | None:
    """The Morse taper of a code, `MT3` or `3`; None where there is none."""
    wanted = _code(code, "MT")
    return next((taper for taper in morse_tapers() if taper.code == wanted), None)


def jacobs(code: str) -> TaperByEnds | None:
    """The Jacobs taper of a code, `JT33` or `33`; None where there is none."""
    wanted = _code(code, "JT")
    return next((taper for taper in jacobs_tapers() if taper.code == wanted), None)
