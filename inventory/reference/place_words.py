"""How a place is called in a sentence: a drawer by its code is called one, so that no code reads as a spindle nose.

What a shop calls in words of its own, `Top shelf` or `Lathe 2 tray`, says itself what it is and stays as it is.
"""

import re

_CALLED_DRAWER = re.compile(r"drawer\s+(?P<code>\S.*)", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]{3,}")
"""A code has letters, but no word: `Rack7` says itself that it is no drawer."""
_SPACED = re.compile(r"[A-Z]{1,2} \d{1,3}")


def drawer_code(place: str) -> str:
    """What stands on the drawer, `E2`, `12`, `B 4`, also of one called `Drawer 12`; empty for what is no drawer."""
    name = place.strip()
    called = _CALLED_DRAWER.fullmatch(name)
    if called:
        return called["code"]
    is_code = any(sign.isdigit() for sign in name) and not _WORD.search(name)
    return name if is_code and (" " not in name or _SPACED.fullmatch(name)) else ""


def place_words(place: str) -> str:
    """The place as a sentence has it: `drawer E2`, `Top shelf`."""
    code = drawer_code(place)
    return f"drawer {code}" if code else place
