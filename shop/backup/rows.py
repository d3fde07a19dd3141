"""A row of a table as a line of JSON, the same from either database, and back.

Values pass through their fields, so that a length is its nanometres and a day its ISO date. Nothing runs that a
saved model would set off: no signal, no history, no time of the last change.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from itertools import chain, islice
from typing import Any
from uuid import UUID

from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Field
from django.utils.duration import duration_string

from shop.backup.tables import BookTable

AT_ONCE = 500
"""Rows that are held in memory together."""
MOST_VALUES = 30_000
"""In one statement; SQLite takes 32 766 (its SQLITE_MAX_VARIABLE_NUMBER)."""


def lines(table: BookTable, *, using: str) -> Iterator[bytes]:
    """Every row in the order of its key, each ended by a newline."""
    prepared = [field.get_prep_value for field in table.fields]
    stored_rows = table.model._base_manager.using(using).order_by("pk").values_list(*table.columns)
    for row in stored_rows.iterator(chunk_size=AT_ONCE):
        values = [None if value is None else prepare(value) for prepare, value in zip(prepared, row, strict=True)]
        yield _json(values).encode() + b"\n"


def _json(values: list[Any]) -> str:
    # Sorted, because PostgreSQL does not keep the order of an object's keys.
    return json.dumps(
        values, default=_as_text, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")
    )


def _as_text(value: object) -> str:
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, bytes | bytearray | memoryview):
        return base64.b64encode(value).decode()
    if isinstance(value, timedelta):
        return duration_string(value)
    if isinstance(value, Decimal | UUID):
        return str(value)
    raise TypeError(f"a value of the type {type(value).__name__} cannot be written down")


def insert(table: BookTable, columns: list[str], row_lines: Iterable[bytes], *, using: str) -> int:
    """Put the lines into the table and return how many they were.

    `columns` says in which order they stand. Raises ValueError, and what a field or database raises, at a line that
    is no row of this table.
    """
    connection = connections[using]
    fields = [next(field for field in table.fields if field.attname == column) for column in columns]
    quote = connection.ops.quote_name
    names = ", ".join(quote(field.column or "") for field in fields)
    one = f"({', '.join(['%s'] * len(fields))})"
    statement = f"INSERT INTO {quote(table.in_database)} ({names}) VALUES "
    rows, count = (_values(line, fields, connection) for line in row_lines), 0
    with connection.cursor() as cursor:
        while batch := list(islice(rows, min(AT_ONCE, MOST_VALUES // len(fields)))):
            cursor.execute(statement + ", ".join([one] * len(batch)), list(chain.from_iterable(batch)))
            count += len(batch)
    return count


def _values(line: bytes, fields: list[Field], connection: BaseDatabaseWrapper) -> list[Any]:
    values = json.loads(line)
    if not isinstance(values, list) or len(values) != len(fields):
        raise ValueError("a line has not as many values as the table has columns")
    return [
        field.get_db_prep_save(None if value is None else field.to_python(value), connection)
        for field, value in zip(fields, values, strict=True)
    ]
