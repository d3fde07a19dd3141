"""What is remembered between questions, and only as long as nobody can have written to the database.

The lathes and all that is not a collet are the same for thousands of questions in a row. They are kept with the
state of the database that they were read in, and read again whenever that is another one. Both databases tell their
state exactly, writes of other processes included:

- SQLite: `PRAGMA data_version` changes with each commit of another connection, `total_changes` with each row that this
  one writes.
- PostgreSQL: `pg_current_snapshot()` changes with each transaction that writes, in any table.

The state is asked for before what is kept is read, so that a write between the two is seen at the next question. In
a transaction, which may yet be taken back, nothing is kept or used.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from weakref import WeakKeyDictionary

MOST_KEPT = 64
"""Things kept of one state: askers, lathes and shapes of stock; above that all are forgotten."""

_kept: WeakKeyDictionary = WeakKeyDictionary()


class Memory:
    """What was read over one connection in the present state of its database."""

    def __init__(self, connection) -> None:
        self._things: dict | None = None
        if connection.in_atomic_block:
            return
        state = _state_of(connection)
        kept_state, things = _kept.get(connection, (None, {}))
        if kept_state != state or len(things) > MOST_KEPT:
            things = {}
            _kept[connection] = (state, things)
        self._things = things

    def of(self, key: Hashable, read: Callable[[], object]):
        """What is kept under `key`, read now where it is not."""
        if self._things is None:
            return read()
        if key not in self._things:
            self._things[key] = read()
        return self._things[key]


def _state_of(connection) -> tuple:
    connection.ensure_connection()
    raw = connection.connection
    if connection.vendor == "sqlite":
        # The raw connection itself stands in the state: another one begins to count anew, and an id may be used twice.
        return raw, raw.execute("PRAGMA data_version").fetchone()[0], raw.total_changes
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_current_snapshot()::text")
        return raw, cursor.fetchone()[0]
