"""What a cell of the column of conditions says, and which finding a piece of a kind can have."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from inventory.measures.lengths import shorten
from inventory.reference.kinds import Kind
from inventory.transfer.asked import RowDoubt
from inventory.transfer.reading.context import KnownCodes, SheetContext
from inventory.transfer.reading.remarks import RemarkRead, read_remark
from inventory.transfer.reading.vocabulary import fold, tokens_of, vocabulary

_CONDITIONS = ("good", "worn", "damaged", "scrapped")
_IN_OTHER_WORDS = {
    "chipped": ("jaws chipped", "point worn"),
    "bell-mouthed": ("jaws bell-mouthed",),
    "jaws bell-mouthed": ("bell-mouthed",),
    "cracked": ("jaws chipped",),
}
"""What is meant by a word on a piece that cannot have it: a chipped center has a worn point."""
SPOILED = {"cracked", "bent", "sprung", "thread damaged", "bell-mouthed", "jaws bell-mouthed", "chipped"}


class ConditionRead(Struct, frozen=True, kw_only=True):
    """`condition` as the form takes it; `remark` what else the cell says; `doubt` where it could mean several things,
    of which one is `likely`.
    """

    condition: str = ""
    remark: RemarkRead | None = None
    doubt: RowDoubt | None = None
    likely: str = ""


def read_condition(text: str, sheet: SheetContext) -> ConditionRead:
    """What stands in the column of conditions: a word, a letter of the sheet's legend, or a remark."""
    folded = fold(text).strip(" .!-_/")
    if not folded:
        return ConditionRead()
    legend = sheet.legend.get(folded)
    if legend:
        folded = fold(legend)
    if not tokens_of(folded):
        return _ask_condition(text, "good", sheet)
    plain = sheet.known.plain_condition(folded)
    if plain:
        return ConditionRead(condition=plain)
    words = vocabulary("condition")
    meaning = words.means(folded, sheet.language)
    remark = read_remark(folded, sheet.language)
    if meaning is None and remark.says_something:
        return ConditionRead(remark=remark)
    if meaning is None:
        inside = {phrase.meaning for phrase in words.find(tokens_of(folded), sheet.language)}
        if len(inside) != 1:
            return ConditionRead(condition=text)
        meaning = inside.pop()
    if meaning.endswith("?"):
        return _ask_condition(text, meaning.removesuffix("?"), sheet)
    return ConditionRead(condition=meaning, remark=remark if remark.findings else None)


def _ask_condition(text: str, likely: str, sheet: SheetContext) -> ConditionRead:
    choices = (likely, *(word for word in _CONDITIONS if word != likely), "leave out")
    about = f"What does “{shorten(text.strip())}” say of the condition of a piece?"
    return ConditionRead(likely=likely, doubt=RowDoubt(key=f"condition:{fold(text)}", about=about, choices=choices))


def finding_of(findings: Sequence[str], kind: Kind | None, known: KnownCodes) -> tuple[str, str]:
    """The first finding that such a piece can have; else the condition that it is in by what was said of it."""
    if not findings:
        return "", ""
    possible = known.findings.get(kind, frozenset()) if kind is not None else frozenset()
    for finding in findings:
        for word in (finding, *_IN_OTHER_WORDS.get(finding, ())):
            if word in possible:
                return word, ""
    return "", "damaged" if SPOILED.intersection(findings) else "worn"
