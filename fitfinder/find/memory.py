"""What is remembered between questions, and only as long as nobody can have written to the database.

The lathes and all that is not a collet are the same for thousands of questions in a row, and a shop asks the same few
questions again and again. What was read is kept with the state of the database that it was read in, and all of it is
forgotten as soon as that is another one. Both databases tell their state exactly, writes of other processes included:

- SQLite: `PRAGMA data_version` changes with each commit of another connection, `total_changes` with each row that this
  one writes.
- PostgreSQL: `pg_current_snapshot()` changes with each transaction that writes, in any table.

The state is asked for before what is kept is read, so that a write between the two is seen at the next question. In
a transaction, which may yet be taken back, nothing is kept or used.

What is kept may depend on nothing but the database, the program and its key.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from weakref import WeakKeyDictionary

MOST_KEPT = 64
"""Things kept of each kind in one state; the one that was kept first makes room. An answer takes some 50 kB."""

_kept: WeakKeyDictionary = WeakKeyDictionary()


class Memory:
    """What was read over one connection in the present state of its database: one object serves a whole question."""

    def __init__(self, connection) -> None:
        self._kinds: dict[str, dict] | None = None
        if connection.in_atomic_block:
            return
        state = _state_of(connection)
        if state is None:
            return
        kept_state, kinds = _kept.get(connection, (None, {}))
        if kept_state != state:
            kinds = {}
            _kept[connection] = (state, kinds)
        self._kinds = kinds

    def of(self, kind: str, key: Hashable, read: Callable[[], object]):
        """What is kept of this kind under `key`, read now where it is not. What `read` raises is not kept."""
        if self._kinds is None:
            return read()
        things = self._kinds.setdefault(kind, {})
        if key not in things:
            found = read()
            if len(things) >= MOST_KEPT:
                del things[next(iter(things))]
            things[key] = found
        return things[key]


def forget(*kinds: str) -> None:
    """Forget what is kept of these kinds, over whatever connection; without any, all there is, as after a write."""
    if not kinds:
        _kept.clear()
    for _, things in list(_kept.values()):
        for kind in kinds:
            things.pop(kind, None)


def _state_of(connection) -> tuple | None:
    """What is another one after every write; None in a transaction that Django did not open."""
    connection.ensure_connection()
    raw = connection.connection
    if not connection.get_autocommit():
        return None
    if connection.vendor == "sqlite":
        # The raw connection itself stands in the state: another one begins to count anew, and an id may be used twice.
        return raw, raw.execute("PRAGMA data_version").fetchone()[0], raw.total_changes
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_current_snapshot()::text")
        return raw, cursor.fetchone()[0]
