"""The command: tries the figures, and reports."""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from time import monotonic

import tests.witness
from inventory.reference.catalog import why_unwitnessed
from tests.witness.checks import Checks, UselessCheck, collect
from tests.witness.constants import CHECKED_IN, constants
from tests.witness.figures import Figure, figures_of, table_names
from tests.witness.lies import Lie


def main() -> int:
    asked = _asked()
    began = monotonic()
    try:
        checks = collect()
    except UselessCheck as useless:
        print(useless, file=sys.stderr)
        return 2
    tried = _chosen(asked.table, asked.sample)
    unnoticed = {figure: missed for figure in tried if (missed := checks.unnoticed(figure))}
    wrong = _report_unnoticed(unnoticed)
    if asked.sample is None:
        wrong += _report_listed_for_nothing(tried, unnoticed)
    _report_tables(tried, unnoticed, checks)
    print(f"{len(tried)} figures, {len(tried) - len(unnoticed)} noticed, {monotonic() - began:.0f} s")
    return 1 if wrong else 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="python -m tests.witness",
        description=tests.witness.__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--sample", type=int, metavar="N", help="so many figures, the same at each run")
    parser.add_argument(
        "--table", choices=[*table_names(), *sorted({module for module, _ in CHECKED_IN})], help="one table only"
    )
    return parser.parse_args()


def _chosen(table: str | None, sample: int | None) -> list[Figure]:
    found = [figure for name in table_names() for figure in figures_of(name)] + list(constants())
    found = [figure for figure in found if table in (None, figure.table)]
    if sample is None:
        return found
    return random.Random("witness").sample(found, min(sample, len(found)))


def _report_unnoticed(unnoticed: dict[Figure, list[Lie]]) -> int:
    """One line for each that no check notices, and how many of them are not listed."""
    wrong = 0
    for figure, missed in unnoticed.items():
        why = why_unwitnessed(figure.table, figure.name, figure.column)
        wrong += not why
        told = why or ", ".join(f"{lie.kind} ({lie.text})" for lie in missed)
        print(f"{'unwitnessed' if why else 'unnoticed'}  {figure}: {told}")
    return wrong


def _report_listed_for_nothing(tried: list[Figure], unnoticed: dict[Figure, list[Lie]]) -> int:
    """Cells that are listed although every figure in them is noticed, and how many."""
    cells = {(figure.table, figure.name, figure.column) for figure in tried}
    needed = {(figure.table, figure.name, figure.column) for figure in unnoticed}
    found = [cell for cell in sorted(cells - needed) if why_unwitnessed(*cell)]
    for cell in found:
        print(f"listed as unwitnessed, but noticed  {': '.join(cell)}")
    return len(found)


def _report_tables(tried: list[Figure], unnoticed: dict[Figure, list[Lie]], checks: Checks) -> None:
    figures, missed = Counter(figure.table for figure in tried), Counter(figure.table for figure in unnoticed)
    for table, count in sorted(figures.items()):
        noticed = count - missed[table]
        print(f"{table:40} {count:5} figures, {noticed:5} noticed, {len(checks.by_table[table]):4} checks")


if __name__ == "__main__":
    sys.exit(main())
