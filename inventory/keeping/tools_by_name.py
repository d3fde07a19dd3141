"""The tools of a setup sheet that have no tag: which counted item each is, by what it is called."""

from __future__ import annotations

import re
from collections.abc import Iterable

from msgspec import Struct

from inventory.models import CountedItem, SetupSheet

_NUMBER_SIGNS = re.compile(r"#|№|\b(?:no|nr|number|size)\b\.?|(?<=[a-z])-(?=[a-z])")
_TOKENS = re.compile(r"[^\s,;()]+")


class NameKey(Struct, frozen=True):
    """What two names of one thing have in common: its words in any order, and its figures in theirs."""

    words: tuple[str, ...]
    figures: tuple[str, ...]


def name_key(name: str) -> NameKey:
    """`Center drill No. 3`, `No. 3 center drill` and `centre drills #3` have one; `2 x 10` and `10 x 2` have not."""
    plain = re.sub(r"(?<=\d),(?=\d)", ".", name.casefold()).replace("centre", "center")
    plain = re.sub(r"\b(no|nr)\.?(?=\d)", r"\1 ", plain)
    tokens = [token.strip(".:") for token in _TOKENS.findall(_NUMBER_SIGNS.sub(" ", plain))]
    figures = tuple(token for token in tokens if any(sign.isdigit() for sign in token))
    words = sorted(_singular(token) for token in tokens if token and token not in figures)
    return NameKey(tuple(words), figures)


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


class ToolsWithoutTag(Struct, frozen=True, kw_only=True):
    counted: tuple[CountedItem, ...] = ()
    """Those that are counted, some left or none."""
    not_here: tuple[tuple[str, str], ...] = ()
    """What nothing counted is called, and the operation that it is for."""

    @property
    def lacking(self) -> list[str]:
        """What cannot be fetched, by its name."""
        none_left = [item.name for item in self.counted if not any(stock.count for stock in item.stocks.all())]
        return [*none_left, *(words for words, _ in self.not_here)]


def tools_without_tag(sheet: SetupSheet) -> ToolsWithoutTag:
    called = {operation.tool_words: operation.does for operation in sheet.operations.all() if operation.tool_words}
    if not called:
        return ToolsWithoutTag()
    item_of = _by_name(called)
    items = CountedItem.objects.with_places().in_bulk(set(item_of.values()))
    return ToolsWithoutTag(
        counted=tuple(items[pk] for pk in dict.fromkeys(item_of.values())),
        not_here=tuple((words, does) for words, does in called.items() if words not in item_of),
    )


def _by_name(called: Iterable[str]) -> dict[str, int]:
    """The item that is called so, letter for letter where one is."""
    names = dict(CountedItem.objects.in_book().order_by("name").values_list("pk", "name"))
    exact = {name.casefold(): pk for pk, name in names.items()}
    alike: dict[NameKey, int] = {}
    for pk, name in names.items():
        alike.setdefault(name_key(name), pk)
    item_of = {words: exact.get(words.casefold()) or alike.get(name_key(words)) for words in called}
    return {words: pk for words, pk in item_of.items() if pk is not None}
