"""The rows of a sheet that are no pieces: a second row of headings, sections, totals; and marks for “as above”."""

from __future__ import annotations

import re
from collections.abc import Sequence
from enum import StrEnum

from inventory.transfer.reading.columns import read_heading
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
    said = vocabulary("total").find(tokens, language)
    if not said or said[0].start != 0 or len(tokens) > said[0].end + 3:
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
    known = [bool(read_heading(text, language).fields) for text in filled]
    units = [_is_unit(text) for text in filled]
    if not all(is_known or is_unit for is_known, is_unit in zip(known, units, strict=True)):
        return None
    width = max(len(top), len(below))
    is_under_group = any(
        place < len(below) and below[place].strip() and not (place < len(top) and top[place].strip())
        for place in range(width)
    )
    if not any(units) and (sum(known) < 2 or not is_under_group):
        return None
    if sum(bool(read_heading(text, language).fields) for text in top if text.strip()) < 2:
        return None
    joined, carried = [], ""
    for place in range(width):
        upper = top[place].strip() if place < len(top) else ""
        lower = below[place].strip() if place < len(below) else ""
        carried = upper or (carried if lower else "")
        joined.append(_joined(upper or carried, lower, language))
    return joined


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
        bare in {'"', "in", "mm", "kg", "lb"}
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
    found: dict[str, str] = {}
    conditions = vocabulary("condition")
    for text in texts:
        for letter, words in _LEGEND.findall(text):
            meaning = conditions.means(words.strip(" ."), language)
            if meaning is not None:
                found.setdefault(fold(letter), meaning.removesuffix("?"))
    return found
