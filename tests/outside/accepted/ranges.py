"""What the trade would accept of a figure that no standard gives: a range, or one value where a print gives one.

Each row of the CSV files here has the names and columns of a table of ours, and why: `0.002..0.004` with both ends
included, or `1/16`; an empty cell is a figure that nobody has.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

from inventory.reference.tables import as_number


def accepted(table: str) -> list[dict[str, str]]:
    with (Path(__file__).parent / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def takes(text: str, value: Fraction | int | None) -> bool:
    """Whether this value is in the range, or both are missing."""
    if not text or value is None:
        return not text and value is None
    least, _, most = text.partition("..")
    return as_number(least) <= value <= as_number(most or least)
