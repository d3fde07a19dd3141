"""Long work on a sheet gives way to the pages that are asked meanwhile in the same process.

Threads of one process share one interpreter: beside a sheet that is read without a pause, each step of a page waits for
it. So the reading pauses while a page is being answered, though for four times as long as it worked, at the most.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic, sleep

from django.db import connection

_MOST_WORK = 0.02
_SHARE = 4
_LOOKS_AGAIN_AFTER = 0.0005
PAUSE = 0.15
"""Who waits to write into a SQLite book looks every tenth of a second whether it may; there is no queue."""


class _Others:
    answering = 0


class _Own(threading.local):
    works_since = 0.0
    works_on_a_copy = False


_own = _Own()


@contextmanager
def others_first() -> Iterator[None]:
    """While this lasts, an answer is being made; to be called from one thread alone, that of the server's loop."""
    _Others.answering += 1
    try:
        yield
    finally:
        _Others.answering -= 1


@contextmanager
def working_on_a_copy() -> Iterator[None]:
    """While this lasts, nobody waits for the end of a transaction of this thread."""
    _own.works_on_a_copy = True
    try:
        yield
    finally:
        _own.works_on_a_copy = False


def give_way() -> None:
    """Pause for the others, but not within a transaction, for the end of which they may be waiting."""
    if not _Others.answering or (connection.in_atomic_block and not _own.works_on_a_copy):
        return
    started = monotonic()
    ends = started + _SHARE * min(started - _own.works_since, _MOST_WORK)
    while _Others.answering and monotonic() < ends:
        sleep(_LOOKS_AGAIN_AFTER)
    _own.works_since = monotonic()


def let_others_write() -> None:
    """Between two transactions of many: without a pause nobody else would find the moment between them."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        sleep(PAUSE)
