"""Which statements each test sends: a second database is asked each of them, but need not be asked all again and again.

A run with `--note-statements FOLDER` writes down what each test had the book asked: each statement with the line of our
code that it comes from, as a lock is no word of SQLite's, and with how it ended. A run with `--statements-of FOLDER`
leaves out, the slowest first, each test of which every statement is sent by others that stay. What was not noted stays.
"""

from __future__ import annotations

import functools
import hashlib
import json
import os
import re
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import connection

ALWAYS = (
    "tests/inventory/test_constraints.py",
    "tests/inventory/test_migrations.py",
    "tests/fitfinder/test_crib.py",
    "tests/fitfinder/test_every_piece.py",
    "tests/fitfinder/test_query_cost.py",
    "tests/shop/test_backup",
    "tests/shop/test_demo.py",
)
"""They are about values, which one database may take and another not, or about how it finds what it is asked. Hostile
values come to each address of each database from `tests/load/fuzz.py`."""
_ROOT = f"{Path(__file__).resolve().parents[1]}{os.sep}"
_OURS = tuple(f"{_ROOT}{folder}{os.sep}" for folder in ("shop", "fitfinder", "inventory", "templates"))
# How many values a list has is no other statement, and the names of savepoints are made up.
_VALUES = re.compile(r"%s(?:, %s)+")
_ROWS = re.compile(r"\(%s\)(?:, \(%s\))+")
_OF_A_TRANSACTION = ("SAVEPOINT", "RELEASE", "ROLLBACK", "BEGIN", "COMMIT", "PRAGMA")


class Noting:
    """A plugin; between the connection and the database it sees each statement."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / str(os.getpid())
        self.sent: set[str] = set()
        connection.execute_wrappers.append(self.send)

    def send(self, execute, sql, parameters, many, context):
        ended = ""
        try:
            return execute(sql, parameters, many, context)
        except Exception as error:
            ended = f"{type(error).__name__}: {error}"
            raise
        finally:
            if not sql.startswith(_OF_A_TRANSACTION):
                self.sent.add(_digest(_line_of_ours(), sql, ended))

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self.sent.clear()
        began = time.perf_counter()
        try:
            return (yield)
        finally:
            took = round(time.perf_counter() - began, 3)
            if self.sent:
                with self._path.open("a", encoding="utf-8") as file:
                    print(json.dumps([item.nodeid, took, sorted(self.sent)]), file=file)


@functools.cache
def _digest(line: str, sql: str, ended: str) -> str:
    plain = _ROWS.sub("(%s)…", _VALUES.sub("%s", sql))
    return hashlib.blake2b(f"{line} {plain} {ended}".encode(), digest_size=8).hexdigest()


def _line_of_ours() -> str:
    """The innermost one; what the tests themselves ask comes from none."""
    frame = sys._getframe(2)
    while frame is not None:
        if frame.f_code.co_filename.startswith(_OURS):
            return f"{frame.f_code.co_filename.removeprefix(_ROOT)}:{frame.f_lineno}"
        frame = frame.f_back
    return ""


def needed(folder: Path, names: set[str]) -> set[str]:
    """Of the tests of these names, those that have to run for each statement to be sent."""
    noted = {}
    for path in folder.iterdir():
        for line in path.read_text(encoding="utf-8").splitlines():
            name, took, sent = json.loads(line)
            if name in names and not name.startswith(ALWAYS):
                noted[name] = (took, sent)
    sent_by = Counter(statement for _, sent in noted.values() for statement in sent)
    stay = set(names)
    for name in sorted(noted, key=lambda name: (-noted[name][0], name)):
        sent = noted[name][1]
        if all(sent_by[statement] > 1 for statement in sent):
            stay.remove(name)
            sent_by.subtract(sent)
    return stay
