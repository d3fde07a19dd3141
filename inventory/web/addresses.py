"""Addresses of pages that are written again and again: each is worked out once.

An answer links to forty pieces and every page to ten fixed places; to reverse an address takes longer than to write it.
"""

import re
from collections.abc import Callable
from functools import lru_cache
from urllib.parse import quote

from django.urls import get_script_prefix, get_urlconf, reverse

_SOME_TAG = "SOME.TAG"
"""Stands in no address of a page."""
_NEEDS_NO_QUOTING = re.compile(r"[A-Za-z0-9_.~-]*").fullmatch


def address_of_page(name: str) -> str:
    """The page of this name, which takes no parameters."""
    return _fixed(name, get_urlconf(), get_script_prefix())


def address_of_tag(tag: str, name: str = "tool") -> str:
    """The page of a piece, or another of its addresses."""
    return addresses_of_tags(name)(tag)


def addresses_of_tags(name: str = "tool") -> Callable[[str], str]:
    """From a tag to its address, for a page with many."""
    return _of_tags(name, get_urlconf(), get_script_prefix())


# `urlconf` and `prefix` are what Django's `reverse` goes by besides the name.


@lru_cache(maxsize=256)
def _fixed(name: str, urlconf: str | None, prefix: str) -> str:
    return reverse(name, urlconf=urlconf)


@lru_cache(maxsize=16)
def _of_tags(name: str, urlconf: str | None, prefix: str) -> Callable[[str], str]:
    before, _, after = reverse(name, urlconf=urlconf, args=[_SOME_TAG]).partition(_SOME_TAG)

    def address(tag: str) -> str:
        return f"{before}{tag if _NEEDS_NO_QUOTING(tag) else quote(tag)}{after}"

    return address
