"""What the shop is short of, and why: each with its sentence, its demand, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.short.links import LinkToGet
from inventory.inspections.wear import Forecast
from inventory.measures.lengths import Length

LEAD_DAYS = 21
"""Days from an order to its delivery, until the shop says its own (common practice, no source)."""
USED_DAYS = 90
MUCH_USED = 5
"""Issued so often in `USED_DAYS` days, a size is much used: about every other week (common practice, no source)."""
TOLD = 4


class Need(StrEnum):
    """Why something is short, in the order in which two of the same demand are told."""

    LINK = "part needed to use them"
    SIZE = "size not held"
    WEAR = "wears out soon"
    SINGLE = "only one"
    BLANK = "no blank left"
    COUNTED = "running low"


RemedyKey = tuple[str | int, ...]


class Remedy(Struct, frozen=True, kw_only=True):
    """What to put on the order list: a size of a series, something counted (its key), or a thing in words.

    `kind`, `mount` and `takes` are those of the piece that a thing becomes.
    """

    series: str = ""
    shape: str = ""
    size: Length | None = None
    item: int | None = None
    what: str = ""
    kind: str = ""
    mount: str = ""
    takes: str = ""

    @property
    def key(self) -> RemedyKey:
        """What two remedies share that are one line of the order list."""
        if self.size is not None:
            return self.series, self.shape, self.size.nm
        return ("counted", self.item) if self.item is not None else ("thing", self.what.upper())


class Shortfall(Struct, frozen=True, kw_only=True):
    """One thing that is short. `demand` is the weight of what waits for it, or how often it was used."""

    need: Need
    name: str
    why: str
    remedy: Remedy
    demand: int = 0


class OfSize(Struct, frozen=True, kw_only=True):
    """A collet in service: its tag and size, how often its size was issued lately, how many more of it there are."""

    tag: str
    series: str
    shape: str
    size: Length
    name: str
    loans: int = 0
    others: int = 0

    @property
    def remedy(self) -> Remedy:
        return Remedy(series=self.series, shape=self.shape, size=self.size)


class Wearing(Struct, frozen=True, kw_only=True):
    """A collet that wears: when its limit is forecast; None where it reads over its limit already."""

    piece: OfSize
    forecast: Forecast | None


class KeyFor(Struct, frozen=True, kw_only=True):
    """A piece that a key tightens, and the keys that are named for it, each with why it cannot be used (or empty)."""

    tag: str
    keys: tuple[tuple[str, str], ...] = ()


class BlanksOf(Struct, frozen=True, kw_only=True):
    """The machinable blanks of a series that the shop has or had: how many are left, what became of the rest."""

    series: str
    left: int
    became: str = ""


class LowItem(Struct, frozen=True, kw_only=True):
    """Something counted that is at its low mark or below; `taken` is how often it was taken lately."""

    id: int
    name: str
    left: int
    unit: str
    mark: int
    taken: int = 0


def links_short(links: Iterable[LinkToGet]) -> list[Shortfall]:
    return [_link(link) for link in links]


def _link(link: LinkToGet) -> Shortfall:
    sizes = f"{link.sizes} size{'' if link.sizes == 1 else 's'}, " if link.sizes else ""
    what = f"{sizes}{_pieces(link.pieces)} on hand"
    nowhere = f"; {link.nowhere} of them can be used on no lathe now" if link.nowhere else ""
    why = f"{capital(link.why)}. With one, {' and '.join(link.opens)} can be used: {what}{nowhere}."
    remedy = Remedy(what=link.name, kind=link.kind, mount=link.mount, takes=link.takes)
    return Shortfall(need=Need.LINK, name=link.name, why=why, remedy=remedy, demand=link.pieces)


def keys_short(fits: Sequence[KeyFor]) -> list[Shortfall]:
    """Pieces whose key cannot be used; and, where the shop keeps keys as pieces, those that none is named for."""
    lost = [fit for fit in fits if fit.keys and all(why for _, why in fit.keys)]
    shortfalls = [
        Shortfall(
            need=Need.LINK,
            name=f"Key for {fit.tag}",
            why=f"No key for {fit.tag}: {', '.join(f'{tag} is {why}' for tag, why in fit.keys)}. "
            f"It would open {fit.tag}: 1 piece on hand.",
            remedy=Remedy(what=f"Key for {fit.tag}", kind="key"),
            demand=1,
        )
        for fit in lost
    ]
    without = [fit.tag for fit in fits if not fit.keys]
    if without and len(without) < len(fits):
        tags = _listed(without)
        name = f"Key for {tags}"
        shortfalls.append(
            Shortfall(
                need=Need.LINK,
                name=name,
                why=f"Gripbook names no key for {tags}, and it does for other chucks. "
                "If one hangs there, enter what it tightens.",
                remedy=Remedy(what=name[:80], kind="key"),
            )
        )
    return shortfalls


def wear_short(wearing: Iterable[Wearing], *, today: date, lead_days: int) -> list[Shortfall]:
    """Collets that may reach their limit before a new one is here, by the earliest day of their forecast."""
    until = today + timedelta(days=lead_days)
    return [
        Shortfall(
            need=Need.WEAR,
            name=item.piece.name,
            why=f"{item.piece.tag} {_wears(item, lead_days)}{_others(item.piece)}",
            remedy=item.piece.remedy,
            demand=item.piece.loans,
        )
        for item in wearing
        if item.forecast is None or item.forecast.earliest <= until
    ]


def _wears(item: Wearing, lead_days: int) -> str:
    if item.forecast is None:
        return "reads over its limit already"
    return f"may reach its limit before a new one is here, in {lead_days} days: forecast {item.forecast.words}"


def _others(piece: OfSize) -> str:
    others = f"{piece.others} more of its size {'is' if piece.others == 1 else 'are'} in service"
    return f"; {others if piece.others else 'it is the only one of its size'}{_used(piece)}."


def _used(piece: OfSize) -> str:
    if not piece.loans:
        return ""
    return f"; issued {piece.loans} time{'' if piece.loans == 1 else 's'} in {USED_DAYS} days"


def singles_short(pieces: Iterable[OfSize]) -> list[Shortfall]:
    """Sizes of which a single piece is in service and which are much used."""
    return [
        Shortfall(
            need=Need.SINGLE,
            name=piece.name,
            why=f"{piece.tag} is the only one of its size, and was issued {piece.loans} times in {USED_DAYS} days.",
            remedy=piece.remedy,
            demand=piece.loans,
        )
        for piece in pieces
        if not piece.others and piece.loans >= MUCH_USED
    ]


def blanks_short(blanks: Iterable[BlanksOf], waiting: Mapping[str, int]) -> list[Shortfall]:
    """Series of which the shop had blanks and none is left; `waiting` is the open demand that one could be bored to."""
    return [
        Shortfall(
            need=Need.BLANK,
            name=f"{item.series} machinable blank",
            why=f"No {item.series} blank is left to bore{f': {item.became}' if item.became else ''}."
            + (" It could be bored for what waits." if waiting.get(item.series) else ""),
            remedy=Remedy(what=f"{item.series} machinable blank", kind="machinable collet", mount=item.series),
            demand=waiting.get(item.series, 0),
        )
        for item in blanks
        if not item.left
    ]


def counted_short(items: Iterable[LowItem]) -> list[Shortfall]:
    return [
        Shortfall(
            need=Need.COUNTED,
            name=item.name,
            why=f"{item.left} {item.unit} left, low at {item.mark}"
            + (
                f"; taken {item.taken} time{'' if item.taken == 1 else 's'} in {USED_DAYS} days." if item.taken else "."
            ),
            remedy=Remedy(item=item.id),
            demand=item.taken,
        )
        for item in items
    ]


def in_order(shortfalls: Iterable[Shortfall]) -> list[Shortfall]:
    """Links first, because one opens many pieces; then by demand. What one remedy mends is told once."""
    joined: dict[RemedyKey, Shortfall] = {}
    for item in shortfalls:
        before = joined.get(item.remedy.key)
        joined[item.remedy.key] = item if before is None else _joined(before, item)
    return sorted(joined.values(), key=_rank)


def _rank(item: Shortfall) -> tuple[int, int, int, str]:
    if item.need is Need.LINK:
        return (0, 0, 0, "")  # links come in the order of what they open
    return (1, -item.demand, list(Need).index(item.need), item.name)


def _joined(before: Shortfall, item: Shortfall) -> Shortfall:
    return replace(before, why=f"{before.why} {item.why}", demand=max(before.demand, item.demand))


def _pieces(count: int) -> str:
    return f"{count} piece{'' if count == 1 else 's'}"


def _listed(tags: Sequence[str]) -> str:
    return ", ".join(tags[:TOLD]) + (f" and {len(tags) - TOLD} more" if len(tags) > TOLD else "")


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]
