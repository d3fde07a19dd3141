"""What the note of a piece says of where it is: people write `lost` there, and the sheets of a shop do too."""

from __future__ import annotations

import re

_GONE = r"(?:lost|missing|disappeared|stolen|gone missing|went missing|nowhere to be found|not found|never found)"
_LEADS_IN = (
    r"(?:(?:it|this|piece|tool|collet|chuck|now|still|is|was|has|been|got|reported|marked|presumed|probably|maybe)\s+)*"
)
# After the word comes nothing, or when and where: `lost motion` and `missing a screw` speak of something else.
_GOES_ON = (
    r"(?=\s*$|\s*[?!(\d–-]|\s+(?:since|at|in|on|during|when|somewhere|before|after|behind|under|last|from|again)\b)"
)
_LOST = re.compile(rf"^\W*{_LEADS_IN}{_GONE}{_GOES_ON}", re.IGNORECASE)
_NOT_FOUND = re.compile(
    r"\b(?:cannot|can't|can’t|can not|could not|couldn't|couldn’t) (?:be found|find it)\b", re.IGNORECASE
)
_BACK = re.compile(
    r"^\W*(?:(?:it|was|now|and|but|since)\s+)*(?:found|turned up|is back|came back|back in)\b", re.IGNORECASE
)


def says_lost(note: str) -> bool:
    """Whether a note says that the piece is lost, and does not go on to say that it was found.

    A part of a sentence counts by its beginning: `stop screw missing` and `lost motion in the scroll` say nothing of
    where the piece is.
    """
    is_lost = False
    for clause in re.split(r"[.;,:\n/]+", note):
        if _BACK.search(clause):
            is_lost = False
        elif _LOST.search(clause) or _NOT_FOUND.search(clause):
            is_lost = True
    return is_lost
