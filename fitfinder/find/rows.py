"""The rows of an answer's page: each way or piece in a few words."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from fitfinder.find.way_grips import Grip
from fitfinder.holding.collets.collet_choice import LeftOut, Nearest
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.rules.cautions import Caution
from inventory.measures.length_words import measured, nominal, runout_text


class Twin(Struct, frozen=True):
    """Another piece of the same size by the same way; `words` say where it is and how true."""

    tag: str
    words: str


class Row(Struct, frozen=True, kw_only=True):
    """One row of a list: what it is called, where the piece is, and a line of small print.

    `out` says why a piece cannot be used now. What was told above on the page is not told again: a caution stands with
    its source where that is new, and `care_as_above` says that one of those above holds for this row too.
    """

    tag: str
    name: str
    where: str
    small: str
    out: str = ""
    twins: tuple[Twin, ...] = ()
    cautions: tuple[Caution, ...] = ()
    care_as_above: bool = False


class Rows:
    """Makes rows from the top of the page down: a caution, and what it rests on, is told the first time that it is
    needed. `above` are those of the way that leads."""

    def __init__(self, above: Iterable[Caution] = ()) -> None:
        cautions = tuple(above)
        self._texts_above = {caution.text for caution in cautions}
        self._sources = {caution.source for caution in cautions}

    def also_holds(self, grips: Iterable[Grip]) -> tuple[Row, ...]:
        """A row for each size by each way; the further pieces of it stand in the row of the best."""
        alike: dict[tuple[object, ...], list[Grip]] = {}
        for grip in grips:
            # What has a caution of its own keeps a row of its own.
            key: tuple[object, ...] = (grip.method, *grip.tags)
            if isinstance(grip, ColletGrip):
                key = (grip.size.id, grip.verdict, grip.chain, grip.cautions)
            alike.setdefault(key, []).append(grip)
        return self._rows(list(alike.values()), _small_of_collet)

    def without_collet(self, grips: Iterable[Grip]) -> tuple[Row, ...]:
        return self._rows([[grip] for grip in grips], _small_of_other_way)

    def in_a_pinch(self, grips: Iterable[Grip]) -> tuple[Row, ...]:
        return self._rows([[grip] for grip in grips], _small_of_make_do)

    def _rows(self, alike: list[list[Grip]], small: Callable[[Grip], str]) -> tuple[Row, ...]:
        """A row for the first of each list; a name that two of them have is told apart by the tag."""
        names = [best.name for best, *_ in alike]
        return tuple(
            self._row(best, twins, f"{name}, {best.piece.tag}" if names.count(name) > 1 else name, small(best))
            for (best, *twins), name in zip(alike, names, strict=True)
        )

    def _row(self, best: Grip, twins: list[Grip], name: str, small: str) -> Row:
        new = [caution for caution in best.cautions if caution.text not in self._texts_above]
        self._texts_above.update(caution.text for caution in new)
        return Row(
            tag=best.piece.tag,
            name=name,
            where=best.where,
            small=small,
            twins=tuple(_twin(twin) for twin in twins),
            cautions=tuple(self._with_new_source(caution) for caution in new),
            care_as_above=len(new) < len(best.cautions),
        )

    def _with_new_source(self, caution: Caution) -> Caution:
        source = "" if caution.source in self._sources else caution.source
        self._sources.add(caution.source)
        return Caution(caution.text, source)


def left_out_row(item: LeftOut) -> Row:
    return Row(tag=item.tag, name=item.name, where=item.location, small=item.tag, out=item.why)


def nearest_row(near: Nearest) -> Row:
    misses = f"{measured(abs(near.misses_by))} too {'big' if near.misses_by.nm > 0 else 'small'}"
    return Row(
        tag=near.tag, name=f"{nominal(near.nominal)} {near.series}", where=near.tag, small=f"the stock is {misses}"
    )


def _small_of_collet(grip: Grip) -> str:
    # A way of several pieces is no use with only the last one named.
    words = [_tags(grip) if grip.method.is_on_centers else grip.piece.tag, grip.verdict.value]
    if grip.piece.is_worn:
        words.append("worn")
    words.append(_tir(grip))
    if grip.chain.lathe is not None:
        words.append(grip.chain.lathe.name)
    if not grip.chain.is_checked:
        words.append("not checked")
    words += wanted_pieces(grip.pieces)
    return " · ".join(words)


def _small_of_other_way(grip: Grip) -> str:
    return " · ".join(filter(None, (_tags(grip), _tir(grip), "; ".join(grip.reasons[1:]))))


def _small_of_make_do(grip: Grip) -> str:
    return f"{grip.piece.tag} · {'; '.join(grip.reasons)}"


def _twin(grip: Grip) -> Twin:
    words = [grip.where] if grip.where else []
    if grip.piece.is_worn:
        words.append("worn")
    return Twin(grip.piece.tag, " · ".join([*words, _tir(grip), *wanted_pieces([grip.piece])]))


def _tags(grip: Grip) -> str:
    return " → ".join(grip.tags)


def _tir(grip: Grip) -> str:
    """How truly it runs; the number is not given where it is not promised."""
    if grip.runout.total is None:
        words = "TIR not known"
    elif not grip.in_true_zone:
        words = "TIR not promised at this size"
    else:
        words = f"{runout_text(grip.runout.total)} TIR, {grip.runout.basis}"
    if grip.meets_tir is None:
        return words
    return f"{words}, {'meets' if grip.meets_tir else 'misses'} what you asked"
