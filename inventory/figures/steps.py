"""The sizes that a series is made in, as a person says them: by 64ths, by 1 mm, by 0.5 to 10 then by 1, or a list."""

from __future__ import annotations

import re

from msgspec import Struct

from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length, LengthError, Unit, exact, parse, shorten

MOST_SIZES = 400
"""More is no series that anybody makes: a step was mistyped (our own judgement, no source)."""
ACCEPTED = "by 64ths, by 1 mm, by 0.5 mm to 10 mm then by 1 mm, or a list like 6; 8; 10 mm"

_NTHS = re.compile(
    r"(?:1\s*/\s*)?(?P<n>[0-9]{1,3})\s*(?:ths?|nds?|rds?)\b\.?(?:\s*(?:in\b\.?|inch(?:es)?|of an inch))?", re.I
)
_LEAD = re.compile(r"^(?:(?:made|in)\s+)?(?:by|every|each|(?:in\s+)?steps?\s+of)\s+", re.I)
_THEN = re.compile(r"\s*[,;]?\s*\bthen\b\s*|\s*;\s*(?=by\b|every\b)", re.I)
_UPTO = re.compile(r"(?P<step>.+?)\s+(?:up\s*)?to\s+(?P<limit>.+)", re.I)
_LIST = re.compile(r"\s*;\s*|\s*,\s+|\s+and\s+", re.I)
_UNIT_AT_THE_END = re.compile(r"(?:mm|in|inch|inches|\")\.?$", re.I)


class Steps(Struct, frozen=True, kw_only=True):
    """One step over the whole series, or the sizes themselves; neither where nobody knows."""

    step: Length | None = None
    sizes: tuple[Length, ...] = ()

    @property
    def words(self) -> str:
        """As it is asked, so that it is read back the same."""
        return f"by {exact(self.step)}" if self.step is not None else "; ".join(exact(size) for size in self.sizes)


def read_steps(text: str, unit: Unit, *, smallest: Length, largest: Length) -> Steps:
    """Raises LengthError with a sentence for what cannot be a way to say it."""
    plain = " ".join(text.split())
    if not plain:
        return Steps()
    if not _is_by_steps(plain):
        return Steps(sizes=_listed(plain, unit, smallest, largest))
    parts = [part for part in _THEN.split(plain) if part]
    if len(parts) == 1 and not _UPTO.fullmatch(_LEAD.sub("", parts[0])):
        step = _step(parts[0], unit)
        _count(smallest, largest, step)
        return Steps(step=step)
    return Steps(sizes=_in_stretches(parts, unit, smallest, largest))


def gaps_between(sizes: tuple[Length, ...], *, closes_by: Length, opens_by: Length) -> str:
    """The first stretch between two of these sizes that neither holds, in words; empty where there is none."""
    for below, above in zip(sizes, sizes[1:], strict=False):
        if above - closes_by > below + opens_by:
            ends = f"{exact(below + opens_by)}, {nominal(above)} from {exact(above - closes_by)}"
            return f"{nominal(below)} holds up to {ends}"
    return ""


def _is_by_steps(text: str) -> bool:
    return bool(_LEAD.match(text) or _NTHS.fullmatch(text) or (not _LIST.search(text) and _THEN.search(text) is None))


def _step(text: str, unit: Unit) -> Length:
    text = _LEAD.sub("", text.strip()).strip()
    nths = _NTHS.fullmatch(text)
    if nths and int(nths["n"]):
        return Length.inches(f"1/{int(nths['n'])}")
    try:
        return parse(text, unit)
    except LengthError:
        raise LengthError(
            f"“{shorten(text)}” cannot be read as a step. Write {ACCEPTED}.", read=shorten(text)
        ) from None


def _count(first: Length, last: Length, step: Length) -> int:
    span = last - first
    if span.nm and step > span:
        way = f"the whole way from {exact(first)} to {exact(last)}"
        raise LengthError(f"A step of {exact(step)} is more than {way}. Write {ACCEPTED}.", read=exact(step))
    count = span.nm // step.nm + 1
    if count > MOST_SIZES:
        raise LengthError(
            f"By {exact(step)} it would be {count:,} sizes; at most {MOST_SIZES}. Write a larger step.",
            read=exact(step),
        )
    return count


def _listed(listed: str, unit: Unit, smallest: Length, largest: Length) -> tuple[Length, ...]:
    texts = [text for text in _LIST.split(listed) if text]
    of_all = _UNIT_AT_THE_END.search(texts[-1])
    sizes = []
    for text in texts:
        bare = of_all is not None and not re.search(r"[a-z\"]", text, re.I)
        sizes.append(parse(f"{text} {of_all[0]}" if bare and of_all else text, unit))
    outside = next((size for size in sizes if not smallest <= size <= largest), None)
    if outside is not None:
        raise LengthError(
            f"{exact(outside)} is in the list, and the series goes from {exact(smallest)} to {exact(largest)}.",
            read=exact(outside),
        )
    if len(sizes) > MOST_SIZES:
        raise LengthError(f"{len(sizes):,} sizes were read; at most {MOST_SIZES}.", read=shorten(listed))
    return tuple(sorted(set(sizes)))


def _in_stretches(parts: list[str], unit: Unit, smallest: Length, largest: Length) -> tuple[Length, ...]:
    """`by 0.5 to 10`, then `by 1`: from where the last one ended."""
    sizes, at = [smallest], smallest
    for part in parts:
        stretch = _UPTO.fullmatch(_LEAD.sub("", part.strip()))
        step = _step(stretch["step"] if stretch else part, unit)
        end = min(parse(stretch["limit"], unit), largest) if stretch else largest
        if end <= at:
            raise LengthError(
                f"“{shorten(part)}” ends at {exact(end)}, and the sizes before it reach {exact(at)}.",
                read=shorten(part),
            )
        for number in range(1, _count(at, end, step)):
            sizes.append(at + step * number)
        at = sizes[-1] if stretch is None else end
        if sizes[-1] != end and stretch is not None:
            sizes.append(end)
    if len(sizes) > MOST_SIZES:
        raise LengthError(f"That would be {len(sizes):,} sizes; at most {MOST_SIZES}.", read="; ".join(parts)[:40])
    return tuple(sizes)
