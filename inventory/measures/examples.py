"""Examples beside a field and in an error, as the reader would type them: `like [8|200]`, `[TIR]`, `[DAY]`."""

from __future__ import annotations

import re

from inventory.measures import day_words, money
from inventory.measures.display import now
from inventory.measures.lengths import RunoutUnit

_EITHER = re.compile(r"\[([^\[\]|]*)\|([^\[\]|]*)\]")
LIKE_A_RUNOUT = {RunoutUnit.INCH: ".0005", RunoutUnit.THOU: ".5", RunoutUnit.MM: "0.012", RunoutUnit.MICRON: "12"}
_LARGEST_RUNOUT = {False: "1/4 in", True: "6.35 mm"}


def by_unit(text: str) -> str:
    """Of each `[inches|millimetres]` the one that the reader types; of `[TIR]` an example in their unit of run-out."""
    runout, kind = now().runout, type(text)
    text = text.replace("[TIR]", LIKE_A_RUNOUT[runout]).replace("[MOST TIR]", _LARGEST_RUNOUT[runout.is_metric])
    text = text.replace("[DAY]", day_words.shown(day_words.LIKE)).replace("[MONEY]", money.example())
    # A hint that is marked up, as the rules for passwords are, stays so.
    return kind(_EITHER.sub(r"\2" if now().is_metric else r"\1", text))
