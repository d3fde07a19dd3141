"""What stands in remarks and in the column of conditions: findings, who has it, that it is lost, how many."""

from __future__ import annotations

import re

from msgspec import Struct

from inventory.transfer.reading.vocabulary import Phrase, fold, tokens_of, vocabulary

_CLAUSE = re.compile(r"[.;,:\n()!?]|\s-\s|\bbut\b|\baber\b|\bmais\b|\bpero\b|\bma\b")
_SAFE_DENIAL = re.compile(
    r"\b(?:do not|don'?t|not to be) use[d]?\b"
    r"|\b(?:nicht|no|non|ne pas) (?:verwenden|benutzen|usar|usare|utilizar|utilizzare|utiliser)\b"
)
_QUANTITY = re.compile(
    r"(?:\bqty\.?|\bquantity|\bmenge|\banzahl|\bcant\.?|\bqte|\bq ?ta)\s*:?\s*(\d{1,3})\b"
    r"|\b(\d{1,3})\s*(?:off|pcs?|pces|stuck|stk|piezas|pieces|pezzi|pz|uds|of (?:them|these))\b"
    r"|\bx\s?(\d{1,2})$|^\((\d{1,2})\)$"
)
_PAIR = re.compile(r"\b(?:a )?pair\b|\bpaar\b|\bpaire\b|\bpar de\b|\bpaio\b")
_TIR = re.compile(
    r"(?:\btir\b|\brun[- ]?out\b|\brundlauf\b|\bsalto\b|\bfaux[- ]rond\b|\bbattement\b)"
    r"\s*:?=?\s*([.,\d]+)\s*(\"|mm|in|thou|um)?"
    r"|([.,]\d{3,5}|\d[.,]\d+)\s*(\"|mm|in|thou|um)?\s*(?:tir|run[- ]?out)\b"
)
_NAME_BEHIND = re.compile(
    r"(?:loaned|lent|out|issued|signed out|on loan|borrowed|geliehen|ausgegeben|verliehen|prete[e]?|pr\u00eat\u00e9e?"
    r"|sorti[e]?|prestad[ao]|in prestito|prestat[ao]|chez|bei|by)"
    r"\s*(?:to|an|a|\u00e0|al|by|par|de|da|il|with)?\s*(?:the|den|dem|la|le|el|los)?\s*"
    r"(?:(?:kolleg(?:e|en|in)|herrn?|frau|colleague|collegue|colleg[ao]|companer[ao]|mrs?|ms)\b\.?\s*)?"
    r"(?P<name>[^\W\d_][\w.'-]*(?:\s+[A-Z]?\d{1,2}\b)?)",
    re.IGNORECASE,
)
_NAME_BEFORE = re.compile(
    r"(?P<name>[^\W\d_][\w'-]*)\s*(?:has (?:it|this|got)|'s got|hat (?:es|sie)|la tiene|lo tiene|ce l'ha|lo ha|la ha"
    r"|took it|l'a)",
    re.IGNORECASE,
)
_WITH_SOMEBODY = re.compile(
    r"\b(?i:with|mit|bei|chez|avec|con)\s+(?P<name>[^\W\d_a-z][\w'-]+)\s+(?i:since|until|till|seit|bis|depuis|desde|dal)\b"
)
_DAY = re.compile(r"\b\d{1,2}[/.-]\d{1,2}[/.-](?:\d{4}|\d{2})\b|\b\d{4}-\d{2}-\d{2}\b")
_CANNOT = re.compile(
    r"\b(?:not|won'?t|doesn'?t|does not|cannot|can'?t|hardly|barely)\s+(?:\w+\s+){0,2}"
    r"(?:close|release|grip|hold|run|turn|fit|work|lock|open|clamp|tighten|usable|safe|straight|concentric|sharp)"
    r"|\b(?:nicht|kein\w*|kaum)\s+(?:\w+\s+){0,2}(?:rund|fest|spann\w+|schlie\w+|offnet|brauchbar|gerade|scharf|los)"
    r"|\b(?:ne|n)\s+(?:\w+\s+){0,2}(?:pas|plus)\b|\bpas (?:droit|rond|bon|serre)"
    r"|\bno (?:cierra|suelta|aprieta|gira|sujeta|abre|corta|funciona|sirve)"
    r"|\bnon (?:chiude|stringe|gira|apre|tiene|funziona|serve|molla)"
)
_FINDING_OF_PART = {
    "scroll": "scroll worn",
    "bearing": "bearing rough",
    "point": "point worn",
    "thread": "thread damaged",
    "seat": "seat bruised",
    "key": "worn key",
}
_PARTS = frozenset(
    {"key", "screw", "schlussel", "schraube", "cle", "llave", "chiave", "jaw", "nut", "drawbar", "box", "lid"}
)
"""What is missing beside one of these is not the piece."""


class RemarkRead(Struct, frozen=True, kw_only=True):
    """What a text says about a piece beside what it is.

    `borrower` is who has it where it is out; `day` is the date beside a reading. `troubles` are parts of the text that
    speak of trouble, and of which no more was understood.
    """

    findings: tuple[str, ...] = ()
    is_missing: bool = False
    is_out: bool = False
    borrower: str = ""
    is_unfit: bool = False
    is_worn: bool = False
    quantity: int | None = None
    tir: str = ""
    day: str = ""
    troubles: tuple[str, ...] = ()

    @property
    def says_something(self) -> bool:
        return bool(self.findings or self.is_missing or self.is_out or self.is_unfit or self.is_worn)


def read_remark(text: str, language: str) -> RemarkRead:
    """What these remarks say, leaving out what they deny."""
    folded = fold(text)
    findings: list[str] = []
    states: set[str] = set()
    troubles: list[str] = []
    for clause in _CLAUSE.split(folded):
        before = len(findings), len(states)
        _read_clause(clause, language, findings, states)
        if (len(findings), len(states)) == before and _is_trouble(clause, language):
            troubles.append(clause.strip())
    with_somebody = _WITH_SOMEBODY.search(text)
    if with_somebody:
        states.add("out")
    borrower = with_somebody or _NAME_BEHIND.search(text) or _NAME_BEFORE.search(text)
    count = next(
        (int(number) for quantity in _QUANTITY.finditer(folded) for number in quantity.groups() if number), None
    )
    reading = _TIR.search(folded)
    return RemarkRead(
        findings=tuple(dict.fromkeys(findings)),
        is_missing="missing" in states,
        is_out="out" in states and "missing" not in states,
        borrower=borrower["name"] if borrower and "out" in states else "",
        is_unfit="unfit" in states or _SAFE_DENIAL.search(folded) is not None,
        is_worn="worn" in states,
        quantity=2 if count is None and _PAIR.search(folded) else count,
        troubles=tuple(troubles),
        day=_day_beside(reading, text),
        tir=f"{reading[1] or reading[3]} {reading[2] or reading[4] or ''}".strip() if reading else "",
    )


def _read_clause(clause: str, language: str, findings: list[str], states: set[str]) -> None:
    tokens = tokens_of(clause)
    phrases = vocabulary("finding").find(tokens, language)
    taken = {place for phrase in phrases for place in range(phrase.start, phrase.end)}
    stated = [phrase.meaning for phrase in phrases if not _is_denied(phrase, tokens, language)]
    findings += stated
    if not phrases:
        _read_parts(tokens, language, findings, states)
    for phrase in vocabulary("remark").find(tokens, language):
        if taken.intersection(range(phrase.start, phrase.end)):
            continue
        if phrase.meaning == "unfit":
            states.add("unfit")
        elif not _is_denied(phrase, tokens, language) and _is_about_the_piece(phrase, tokens, language):
            states.add(phrase.meaning)


def _read_parts(tokens: tuple[str, ...], language: str, findings: list[str], states: set[str]) -> None:
    """A part of a piece with a word for what is wrong with it: `scroll is sloppy`, `Lager laut`, `mors ébréchés`."""
    bad = [phrase for phrase in vocabulary("bad").find(tokens, language) if not _is_denied(phrase, tokens, language)]
    parts = [phrase.meaning for phrase in vocabulary("part").find(tokens, language)]
    if not bad or not parts:
        return
    how = bad[0].meaning
    if parts[0] == "jaws":
        if how == "broken":
            findings.append("jaws chipped")
        else:
            states.add("worn")
    else:
        findings.append(_FINDING_OF_PART[parts[0]])


def _is_trouble(clause: str, language: str) -> bool:
    """Whether words of trouble stand in a clause that was not understood, and are not denied there."""
    tokens = tokens_of(clause)
    if any(phrase.meaning == "missing" for phrase in vocabulary("remark").find(tokens, language)):
        return False  # what is missing beside the piece
    troubles = [*vocabulary("trouble").find(tokens, language), *vocabulary("bad").find(tokens, language)]
    return _CANNOT.search(clause) is not None or any(not _is_denied(trouble, tokens, language) for trouble in troubles)


def _day_beside(reading: re.Match[str] | None, text: str) -> str:
    day = _DAY.search(text) if reading else None
    return day[0] if day else ""


def _is_denied(phrase: Phrase, tokens: tuple[str, ...], language: str) -> bool:
    """Whether one of the three words before it denies it: `not cracked`, `no sign of a crack`."""
    deny = vocabulary("deny")
    before = tokens[max(0, phrase.start - 3) : phrase.start]
    behind = tokens[phrase.end : phrase.end + 1]
    is_cleared = behind in {("free",), ("test",), ("tested",), ("frei",)}
    return is_cleared or any(deny.means(word, language) for word in before)


def _is_about_the_piece(phrase: Phrase, tokens: tuple[str, ...], language: str) -> bool:
    """`key missing` says that the key is lost, not the chuck; `out of true` lends it to nobody."""
    before, behind = tokens[: phrase.start], tokens[phrase.end :]
    if phrase.meaning == "missing":
        near = set(before[-2:]) | set(behind[:2])
        return not near & _PARTS
    if phrase.meaning == "out":
        words = tokens[phrase.start : phrase.end]
        if words == ("out",):
            return phrase.start == 0 and (not behind or behind[0] in {"to", "with", "at"})
        if words in {("bei",), ("chez",), ("sortie",), ("sorti",)}:
            return phrase.start == 0
    return True
