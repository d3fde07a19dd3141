"""What each address may be sent, and in which lane it is answered: plain pages never wait for the others."""

from __future__ import annotations

from functools import lru_cache

from django.urls import Resolver404, resolve
from msgspec import Struct


class Lane(Struct, frozen=True):
    """Answers of one kind: how many are worked on at a time in one process, and how many of those for one device."""

    name: str
    threads: int
    for_one_device: int
    most_waiting: int
    most_waiting_for_one_device: int


PAGES = Lane("pages", threads=4, for_one_device=3, most_waiting=1000, most_waiting_for_one_device=200)
ACTS = Lane("acts", threads=4, for_one_device=3, most_waiting=400, most_waiting_for_one_device=100)
"""What writes waits for whoever writes just now; whoever only looks does not."""
HASHES = Lane("hashes", threads=1, for_one_device=1, most_waiting=100, most_waiting_for_one_device=4)
"""A password is hashed slowly on purpose: one at a time, or guessing would take the machine from everybody."""
HEAVY = Lane("heavy", threads=1, for_one_device=1, most_waiting=40, most_waiting_for_one_device=8)
"""Sheets, pictures and the whole book: seconds of computing, and megabytes that they are read into."""
LANES = (PAGES, ACTS, HASHES, HEAVY)

_HASHES = {"sign_in", "confirm", "password", "person_add", "person_edit"}
_HEAVY = {
    "import_sheet", "import_preview", "import_match", "import_headings", "import_ask", "import_row", "import_refused",
    "inspect", "inspection_correct", "backup",
}  # fmt: skip
_LOOKS_HEAVY = {"import_preview", "import_match", "import_refused", "export_sheet", "card_open", "card_download"}
"""Of which looking is as much work as sending."""
_BEFORE_THE_DOOR = {"sign_in", "sign_in_code", "sign_out"}
MOST, MOST_BEFORE_THE_DOOR = 32 * 1024**2, 64 * 1024
"""Bytes of one request; and of one that brings a name and its password."""


@lru_cache(maxsize=1024)
def _name_of(path: str) -> str:
    try:
        return resolve(path).view_name
    except Resolver404:
        return ""


def lane_of(method: str, path: str) -> Lane:
    name = _name_of(path[:200])
    if method != "POST":
        return HEAVY if name in _LOOKS_HEAVY else PAGES
    return HEAVY if name in _HEAVY else HASHES if name in _HASHES else ACTS


def most_bytes_to(path: str) -> int:
    """How much may be sent to this address; forms and files have narrower limits of their own."""
    name = _name_of(path[:200])
    return MOST_BEFORE_THE_DOOR if not name or name in _BEFORE_THE_DOOR else MOST
