"""The rows of an answer page, as HTML.

An answer has some forty rows of a few words each. A template takes longer over them than the finder over the whole
question, so they are put together here; all that is not ours is escaped.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from html import escape

from django.utils.safestring import SafeString, mark_safe

from fitfinder.find.collets import LeftOut, Nearest
from fitfinder.holding.cautions import Caution
from fitfinder.holding.grips import Grip
from inventory.measures.lengths import named
from inventory.web.addresses import addresses_of_tags


class Rows:
    """The rows of one page. What a caution rests on is told the first time that it is needed."""

    def __init__(self) -> None:
        self._told: set[str] = set()
        self._address = addresses_of_tags()

    def also_holds(self, grips: Iterable[Grip]) -> SafeString:
        """A row for each size by each way; the further pieces of it stand in the row of the best."""
        alike: dict[tuple, list[Grip]] = {}
        for grip in grips:
            size = grip.piece.size
            # What has a caution of its own keeps a row of its own.
            key = (size.id, grip.verdict, id(grip.chain), grip.cautions) if size is not None else grip.tags
            alike.setdefault(key, []).append(grip)
        return self._ways(alike.values(), _of_collet)

    def without_collet(self, grips: Iterable[Grip]) -> SafeString:
        return self._ways([[grip] for grip in grips], _of_other_way)

    def in_a_pinch(self, grips: Iterable[Grip]) -> SafeString:
        return self._ways([[grip] for grip in grips], _of_make_do)

    def left_out(self, items: Iterable[LeftOut]) -> SafeString:
        return self._list(items, self._of_left_out)

    def nearest(self, sizes: Iterable[Nearest]) -> SafeString:
        return self._list(sizes, self._of_nearest)

    def _ways(self, alike: Collection[list[Grip]], small: Callable[[Grip], str]) -> SafeString:
        """A row for the first of each list; a name that two of them have is told apart by the tag."""
        names = [best.name for best, *_ in alike]
        rows = [
            self._of_grip(best, f"{name}, {best.piece.tag}" if names.count(name) > 1 else name, small, twins)
            for (best, *twins), name in zip(alike, names, strict=True)
        ]
        return mark_safe("".join(rows))

    def _list(self, things: Iterable, row: Callable[..., str]) -> SafeString:
        return mark_safe("".join([row(thing) for thing in things]))

    def _row(self, tag: str, name: str, where: str, small: str, below: str = "") -> str:
        return (
            f'<li><span><a href="{self._address(tag)}">{escape(name)}</a></span><span>{escape(where)}</span>'
            f"<small>{small}</small>{below}</li>"
        )

    def _of_grip(self, grip: Grip, name: str, small: Callable[[Grip], str], twins: list[Grip]) -> str:
        below = [f"<small>or {self._twin(twin)}</small>" for twin in twins]
        below += [self._caution(caution) for caution in grip.cautions]
        return self._row(grip.piece.tag, name, grip.where, escape(small(grip)), "".join(below))

    def _caution(self, caution: Caution) -> str:
        source = "" if caution.source in self._told else f" ({escape(caution.source)})"
        self._told.add(caution.source)
        return f'<small class="brass">{escape(caution.text)}{source}</small>'

    def _twin(self, grip: Grip) -> str:
        """Another piece of the same size by the same way: its tag, where it is, and how true."""
        tag = grip.piece.tag
        words = [grip.where] if grip.where else []
        if grip.piece.condition == "worn":
            words.append("worn")
        words.append(grip.tir_words)
        link = f'<a href="{self._address(tag)}">{escape(tag)}</a>'
        return f"{link} · {escape(' · '.join(words))}"

    def _of_left_out(self, item: LeftOut) -> str:
        small = f'{escape(item.tag)} · <span class="out">{escape(item.why)}</span>'
        return self._row(item.tag, item.name, item.location, small)

    def _of_nearest(self, near: Nearest) -> str:
        misses = abs(near.misses_by).inch_text
        small = f"the stock is {misses} in too {'big' if near.misses_by.nm > 0 else 'small'}"
        return self._row(near.tag, f"{named(near.nominal)} {near.series}", near.tag, small)


def _of_collet(grip: Grip) -> str:
    # A way of several pieces is no use with only the last one named.
    words = [" → ".join(grip.tags) if grip.method == "between centers" else grip.piece.tag, grip.verdict.value]
    if grip.piece.condition == "worn":
        words.append("worn")
    words.append(grip.tir_words)
    if grip.chain.lathe is not None:
        words.append(grip.chain.lathe.name)
    if not grip.chain.is_checked:
        words.append("not checked")
    return " · ".join(words)


def _of_other_way(grip: Grip) -> str:
    return f"{' → '.join(grip.tags)} · {grip.tir_words} · {'; '.join(grip.reasons[1:])}"


def _of_make_do(grip: Grip) -> str:
    return f"{grip.piece.tag} · {'; '.join(grip.reasons)}"
