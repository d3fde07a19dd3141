"""The checks, each with the tables that it reads, run against figures that are falsified one after the other."""

from __future__ import annotations

import gc
import inspect
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from inventory.reference import tables
from tests.witness.constants import CHECKED_IN, falsified_in_code
from tests.witness.figures import Figure, falsified, keepers, lies, reading_by
from tests.witness.lies import Lie

OUTSIDE = Path(__file__).parent.parent / "outside"


class UselessCheck(Exception):
    """A check that fails on the tables as they are, or that reads them before it is run, is no witness."""


class Checks:
    """What the checks in `tests/outside/` notice."""

    def __init__(self, checks: list[tuple[str, Callable[[], None]]]) -> None:
        self.by_table: dict[str, list[Callable[[], None]]] = defaultdict(list)
        for name, check in checks:
            file = Path(name.partition("::")[0]).stem
            in_code = {module for (module, _), where in CHECKED_IN.items() if where == file}
            for table in _tables_read_by(name, check) | in_code:
                self.by_table[table].append(check)

    def unnoticed(self, figure: Figure) -> list[Lie]:
        return [lie for lie in lies(figure) if not self._notice(figure, lie)]

    def _notice(self, figure: Figure, lie: Lie) -> bool:
        checks = self.by_table[figure.table]
        with (falsified_in_code if figure.table.startswith("fitfinder.") else falsified)(figure, lie):
            for check in checks:
                if not _passes(check):
                    # Whoever noticed this one is likely to notice the next.
                    checks.remove(check)
                    checks.insert(0, check)
                    return True
        return False


class _Collected:
    """A plugin that takes the tests and runs none; `too_early` are the files that read a table as they were taken."""

    def __init__(self, read: set[str]) -> None:
        self.items: list[pytest.Function] = []
        self.too_early: list[str] = []
        self._read = read

    @pytest.hookimpl(wrapper=True)
    def pytest_make_collect_report(self, collector: pytest.Collector):
        self._read.clear()
        report = yield
        if self._read:
            self.too_early.append(collector.nodeid)
        return report

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.items = [item for item in session.items if isinstance(item, pytest.Function)]
        return True


def collect() -> Checks:
    """All tests there that ask for nothing but their parameters. Raises UselessCheck."""
    read: set[str] = set()
    collected = _Collected(read)
    with _watched(read):
        quiet = ("-p", "no:cacheprovider", "-p", "no:terminal", "-p", "no:warnings")
        pytest.main([*quiet, str(OUTSIDE)], plugins=[collected])
    gc.unfreeze()  # What was collected: keepers looks among all objects for those that are to be falsified.
    keepers.cache_clear()  # The checks have brought further ones.
    if collected.too_early:
        raise UselessCheck(f"{', '.join(collected.too_early)}: a table is read before the check is run.")
    return Checks(
        [(item.nodeid, partial(item.function, **_parameters(item))) for item in collected.items if _is_plain(item)]
    )


def _parameters(item: pytest.Function) -> dict[str, object]:
    return dict(item.callspec.params) if hasattr(item, "callspec") else {}


def _is_plain(item: pytest.Function) -> bool:
    """A test over made-up values is none: it knows no figure, and takes long."""
    if hasattr(item.function, "hypothesis"):
        return False
    wanted = inspect.signature(item.function).parameters
    return set(wanted) <= set(_parameters(item))


def _tables_read_by(name: str, check: Callable[[], None]) -> set[str]:
    read: set[str] = set()
    with _watched(read):
        if not _passes(check):
            raise UselessCheck(f"{name} fails on the tables as they are.")
    return read


def _watched(read: set[str]):
    honest = tables.rows

    def rows(table: str) -> Iterator[tables.TableRow]:
        read.add(table)
        return honest(table)

    return reading_by(rows)


def _passes(check: Callable[[], None]) -> bool:
    try:
        check()
    except Exception:
        return False
    return True
