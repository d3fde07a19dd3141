"""Which signs a text may have, wherever it comes from: an address, a form, a header, a cell, a command's words."""

from __future__ import annotations

import re
import unicodedata

# What is no letter, figure, mark or space: control characters but the tab and the ends of lines, halves of surrogate
# pairs, and the two that Unicode keeps from being signs. A database, a spreadsheet or a terminal fails at each.
_BAD = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def bad_sign(text: str) -> str:
    """The first sign that no text may have, in words; empty where there is none."""
    bad = _BAD.search(text)
    if not bad:
        return ""
    sign = bad[0]
    if sign == "\0":
        return "a NUL"
    if unicodedata.category(sign) == "Cs":
        return f"half of a surrogate pair (U+{ord(sign):04X})"
    return f"a control character (U+{ord(sign):04X})"


def trouble_with(text: str, *, most: int) -> str:
    """What is wrong with a text, to be said behind the name of where it stands; empty where nothing is."""
    if len(text) > most:
        return f"is {len(text):,} characters long; at most {most:,} are read."
    if sign := bad_sign(text):
        return f"holds {sign}. Write it anew, with letters, figures and characters that can be seen."
    return ""


def plain_signs(text: str) -> str:
    """The text with the one sign that each of a keyboard's many stands for: `1½` is 1-1/2, `3⁄4”` is 3/4".

    A fraction that is one sign gets a dash before it where a figure stands there, so that `1½` is no eleven halves.
    """
    if text.isascii():
        return text.replace("''", '"').replace("``", '"') if "''" in text or "``" in text else text
    text = _FRACTION_BEHIND.sub("-", text)
    return text.translate(_PLAIN).replace("''", '"').replace("``", '"')


_FRACTIONS = {
    sign: unicodedata.normalize("NFKD", sign).replace("\N{FRACTION SLASH}", "/") for sign in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
}
_FRACTION_BEHIND = re.compile(f"(?<=[0-9])(?=[{''.join(_FRACTIONS)}])")
_PLAIN = str.maketrans(
    {
        **_FRACTIONS,
        **dict.fromkeys("\N{FRACTION SLASH}\N{DIVISION SLASH}\N{FULLWIDTH SOLIDUS}", "/"),
        **dict.fromkeys("“”„‟″‶˝〃＂", '"'),
        **dict.fromkeys("‘’‚‛′‵´ʹʼ＇", "'"),
        **dict.fromkeys("\N{HYPHEN}\N{NON-BREAKING HYPHEN}", "-"),
        **dict.fromkeys("\N{ZERO WIDTH SPACE}\N{ZERO WIDTH NO-BREAK SPACE}\N{SOFT HYPHEN}", ""),
    }
)


def how_many_bad(text: str) -> int:
    return len(_BAD.findall(text))


def shown(text: str) -> str:
    """The text with a mark in the place of each bad sign."""
    return _BAD.sub("\N{REPLACEMENT CHARACTER}", text)
