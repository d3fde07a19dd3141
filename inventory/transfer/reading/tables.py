"""The rows of a sheet that are no pieces: a second row of headings, sections, totals; and marks for “as above”."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from enum import StrEnum

from inventory.transfer.reading.columns import CURRENCIES, read_heading
from inventory.transfer.reading.kinds import named_kind
from inventory.transfer.reading.places import is_decorated, undecorated
from inventory.transfer.reading.sizes import prepared
from inventory.transfer.reading.vocabulary import fold, tokens_of, vocabulary

_DITTO = re.compile(
    r"\s*(?:[\"”″〃]|''|-\s?[\"”]\s?-|do\.|dto\.?|ditto|dito|idem|id\.|as above|wie oben)\s*", re.IGNORECASE
)
_LEGEND = re.compile(
    r"(?<![\w=])([A-Za-z]{1,3})\s*=\s*([A-Za-zÀ-ÿ][^=;,|]*?)(?=\s*(?:[;,|.]|\s{2,}|$)|\s+[A-Za-z]{1,3}\s*=)"
)
_TAG_LIKE = re.compile(r"[A-Za-z]{0,5}[-. ]?\d+[A-Za-z]?")


class RowRole(StrEnum):
    PIECE = "piece"
    SECTION = "section"
    TOTAL = "total"
    HEADINGS = "headings"


def role_of(texts: Sequence[str], headings: Sequence[str], *, kind_place: int | None, language: str) -> RowRole:
    """What a row below the headings is."""
    filled = [(place, text.strip()) for place, text in enumerate(texts) if text.strip()]
    if not filled:
        return RowRole.PIECE
    if len(filled) > 1 and all(place < len(headings) and fold(text) == fold(headings[place]) for place, text in filled):
        return RowRole.HEADINGS
    if _is_total(filled, language):
        return RowRole.TOTAL
    if len(filled) == 1 and _is_section(*filled[0], kind_place=kind_place, language=language):
        return RowRole.SECTION
    return RowRole.PIECE


def _is_total(filled: list[tuple[int, str]], language: str) -> bool:
    words = [text for _, text in filled if re.search(r"[^\W\d_]{2}", text)]
    if not words:
        return False
    tokens = tokens_of(fold(words[0]))
    totals = vocabulary("total").find(tokens, language)
    if not totals or totals[0].start != 0 or len(tokens) > totals[0].end + 3:
        return False
    return len(words) == 1 or words[0] is filled[0][1]


def _is_section(place: int, text: str, *, kind_place: int | None, language: str) -> bool:
    if undecorated(text) != text:
        return bool(undecorated(text)) or len(text) > 2
    if _TAG_LIKE.fullmatch(text):
        return False
    named = named_kind(prepared(fold(text)), language)
    names_one = named.kind is not None or bool(named.doubt)
    if place == kind_place and names_one:
        return _is_plural(text, language) and (is_decorated(text) or len(tokens_of(fold(text))) == 1)
    return place != kind_place or not names_one


def _is_plural(text: str, language: str) -> bool:
    folded = fold(text)
    return folded.endswith("s") and not folded.endswith("ss") or folded.endswith(("zangen", "futter", "spitzen", "etc"))


def second_headings(top: Sequence[str], below: Sequence[str], language: str) -> list[str] | None:
    """The headings of two rows as one; None where the row below is no row of headings."""
    filled = [text for text in below if text.strip()]
    if not filled or any(re.search(r"\d", text) and not _is_unit(text) for text in filled):
        return None
    if sum(bool(read_heading(text, language).fields) for text in top if text.strip()) < 2:
        return None
    pairs = _under_each_other(top, below)
    lowers = [(upper, lower) for upper, lower in pairs if lower]
    units = [_is_unit(lower) for _, lower in lowers]
    known = [_is_heading(upper, lower, language) for upper, lower in lowers]
    is_under_group = any(
        place < len(below) and below[place].strip() and not (place < len(top) and top[place].strip())
        for place in range(len(pairs))
    )
    unknown = sum(not (is_known or is_unit) for is_known, is_unit in zip(known, units, strict=True))
    if unknown and not (is_under_group and sum(known) > 3 * unknown):
        return None
    if not any(units) and (sum(known) < 2 or not is_under_group):
        return None
    return [_joined(upper, lower, language) for upper, lower in pairs]


def _under_each_other(top: Sequence[str], below: Sequence[str]) -> list[tuple[str, str]]:
    """What stands above and below in each column; a group stands above all columns up to the next."""
    pairs, carried = [], ""
    for place in range(max(len(top), len(below))):
        upper = top[place].strip() if place < len(top) else ""
        lower = below[place].strip() if place < len(below) else ""
        carried = upper or (carried if lower else "")
        pairs.append((upper or carried, lower))
    return pairs


def _is_heading(upper: str, lower: str, language: str) -> bool:
    """By itself or below its group: `from` below `holds`."""
    return bool(read_heading(lower, language).fields or read_heading(f"{upper} {lower}", language).fields)


_UNIT_BEHIND = re.compile(r"[(\[{].*")
_LARGER = re.compile(
    "cab(inet)?|cupboard|rack|room|bay|schrank|regal|raum|armoire|etagere|armario|estanteria|armadio|scaffale"
)
_SMALLER = re.compile("drawer|drw?|shelf|bin|slot|box|tray|fach|lade|schub(lade|l)|tiroir|casier|cajon|cassetto")
_FROM = re.compile("from|mini?|smallest|low|von|de|desde|da")
_UP_TO = re.compile("to|maxi?|largest|high|bis|a|hasta")


def joined_columns(
    headings: Sequence[str], lines: Sequence[Sequence[str]], language: str, *, but: Callable[[str], bool]
) -> tuple[list[str], list[list[str]]]:
    """Two columns beside each other that say one thing as one: a cabinet and its drawer, the ends of a range.

    The second of them is left empty. What is `but` a field of its own stays alone.
    """
    named, rows = list(headings), [list(line) for line in lines]
    for place in range(len(named) - 1, 0, -1):
        first, second = named[place - 1], named[place]
        is_place = _says(first, "location", _LARGER, language) and _says(second, "location", _SMALLER, language)
        is_range = _says(first, "holds", _FROM, language) and _says(second, "holds", _UP_TO, language)
        if not (is_place or is_range) or but(first) or but(second):
            continue
        named[place - 1], named[place] = f"{_UNIT_BEHIND.sub('', first).strip()} / {second}", ""
        for row in rows:
            upper, lower = row[place - 1].strip(), row[place].strip()
            both = (_in_words(first, upper), _in_words(second, lower)) if is_place else (upper, lower)
            if lower:
                row[place - 1], row[place] = (" / " if is_place else " to ").join(filter(None, both)), ""
            elif upper and is_place:
                row[place - 1] = both[0]
    return named, rows


def _says(heading: str, field: str, words: re.Pattern[str], language: str) -> bool:
    tokens = tokens_of(_UNIT_BEHIND.sub("", fold(heading)))
    return (
        bool(tokens)
        and words.fullmatch(tokens[-1]) is not None
        and read_heading(heading, language).fields[:1] == (field,)
    )


def _in_words(heading: str, text: str) -> str:
    """`3` below `Cabinet` is `Cabinet 3`; what is longer says by itself which one it is."""
    bare = _UNIT_BEHIND.sub("", heading).split()
    return f"{bare[-1]} {text}" if 0 < len(text) <= 3 and bare else text


def under_groups(above: Sequence[str], headings: Sequence[str], language: str) -> list[str]:
    """Headings that mean nothing by themselves with the group above them: `holds` over `from` and `to`."""
    filled = [text for text in above if text.strip()]
    if len(filled) < 2:
        return list(headings)
    named, carried = [], ""
    for place, heading in enumerate(headings):
        group = above[place].strip() if place < len(above) else ""
        carried = group or carried
        is_known = bool(read_heading(heading, language).fields)
        both = f"{carried} {heading}".strip()
        helps = carried and not is_known and (_is_unit(heading) or bool(read_heading(both, language).fields))
        if helps:
            named.append(f"{carried} ({heading})" if _is_unit(heading) else both)
        else:
            named.append(heading or group)
    return named


def _joined(upper: str, lower: str, language: str) -> str:
    if not lower or not upper:
        return upper or lower
    if _is_unit(lower):
        return f"{upper} ({lower.strip('()[] ')})"
    both = f"{upper} {lower}"
    if read_heading(lower, language).fields and not read_heading(both, language).fields:
        return lower
    return both if not read_heading(lower, language).fields or _is_narrower(both, lower, language) else lower


def _is_narrower(both: str, lower: str, language: str) -> bool:
    return vocabulary("field").means(fold(both), language) is not None


def _is_unit(text: str) -> bool:
    bare = fold(text).strip("()[]{} .")
    return (
        bare in {'"', "in", "mm", "kg", "lb", "$", "€", "£", *CURRENCIES}
        or vocabulary("unit").means(bare) is not None
        or (bool(read_heading(f"x {bare}").unit) and not read_heading(bare).fields and len(tokens_of(bare)) <= 3)
    )


def without_dittos(lines: Sequence[Sequence[str]]) -> list[list[str]]:
    """The rows with what stands above in the place of a mark that says so."""
    filled: list[list[str]] = []
    for line in lines:
        row = list(line)
        for place, text in enumerate(row):
            if text and _DITTO.fullmatch(text) and filled and place < len(filled[-1]):
                row[place] = filled[-1][place]
        filled.append(row if any(text.strip() for text in row) or not filled else [*row])
    return filled


def legend_in(texts: Sequence[str], language: str) -> dict[str, str]:
    """What letters stand for, where a line says so: `G = good  W = worn`."""
    legend: dict[str, str] = {}
    conditions = vocabulary("condition")
    for text in texts:
        for letter, words in _LEGEND.findall(text):
            meaning = conditions.means(words.strip(" ."), language)
            if meaning is not None:
                legend.setdefault(fold(letter), meaning.removesuffix("?"))
    return legend
