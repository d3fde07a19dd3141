"""A QR code as the outline of its dark modules, for an SVG that needs no style."""

from __future__ import annotations

from itertools import groupby

import segno
from msgspec import Struct

QUIET = 4
"""Light modules around a code (ISO/IEC 18004)."""
_MASK = 3
"""Which of the eight patterns breaks up even areas; a reader is told by the code itself. To try all eight on each code
took half of the time of a sheet."""


class Code(Struct, frozen=True):
    """`side` counts modules with the quiet ones; `path` is in modules, from the corner of the quiet zone."""

    side: int
    path: str


def code(address: str) -> Code:
    """With error correction M: a seventh of it may be under oil."""
    rows = segno.make(address, error="m", micro=False, boost_error=False, mask=_MASK).matrix
    return Code(side=len(rows) + 2 * QUIET, path="".join(_bars(rows)))


def _bars(rows):
    for y, row in enumerate(rows, start=QUIET):
        x = QUIET
        for is_dark, run in groupby(row):
            length = len(list(run))
            if is_dark:
                yield f"M{x} {y}h{length}v1h-{length}z"
            x += length
