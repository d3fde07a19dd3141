"""A connection that was opened while the book could only be read stays so when the book has long been given back.

Both SQLite and PostgreSQL ask only once, at opening; so after such a failure each request opens the book for itself.
"""

from __future__ import annotations

import time

from django.db import connection

from shop.trouble.failures import DISK_FAILS, NO_RIGHTS, READ_ONLY, Failure

_ASKED_AT_OPENING = {READ_ONLY, DISK_FAILS, NO_RIGHTS}
_SECONDS = 600
"""A thread that was idle for longer, or a process that saw no failure, is refused once and then opens it anew."""
_failed_at = -float(_SECONDS)


def note(failure: Failure) -> None:
    global _failed_at
    if failure in _ASKED_AT_OPENING:
        _failed_at = time.monotonic()


def open_anew(**signal: object) -> None:
    """At the start of a request."""
    if time.monotonic() - _failed_at < _SECONDS and not connection.in_atomic_block:
        connection.close()
