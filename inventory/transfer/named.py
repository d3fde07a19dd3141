"""What stands in one cell of a sheet though it has a column of its own: `5C hex collet`, or the size `7/16 hex`."""

from __future__ import annotations

import re
from collections.abc import Container

from inventory.models import Kind
from inventory.pieces.words import shape_of

_WORD = re.compile(r"[a-z0-9]+", re.ASCII | re.IGNORECASE)
_SIZE_AND_SHAPE = re.compile(r"(.*[0-9].*?) +([a-z]+)\.?", re.ASCII | re.IGNORECASE)


def spread_out(kind: Kind, texts: dict[str, str], series: Container[str]) -> dict[str, str]:
    """The texts of a collet's row, with series and shape where its kind or size says them and no cell of their own.

    `series` are the codes of the book in capitals. What a cell of its own says always stands, and of two series in
    one name neither is taken.
    """
    said = [word.upper() for word in _WORD.findall(texts.get("kind", ""))]
    codes = {word for word in said if word in series}
    found = {"series": codes.pop()} if len(codes) == 1 else {}
    if kind != Kind.COLLET:
        return found | texts
    shapes = {shape for word in said if (shape := shape_of(word))}
    size = _SIZE_AND_SHAPE.fullmatch(texts.get("size", "").strip())
    if size and (shape := shape_of(size[2])):
        texts = {**texts, "size": size[1]}
        shapes = {shape}
    return found | ({"shape": shapes.pop()} if len(shapes) == 1 else {}) | texts
