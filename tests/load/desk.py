"""What the desk costs in a large crib: its pages and the command, in milliseconds and queries.

Run by hand: `python tests/load/desk.py [--pieces 20000] [--wearing 2000] [--rounds 5]`. DATABASE_URL chooses SQLite
(a file in a temporary folder where it is not set) or PostgreSQL; a database is made beside the one that is named and
taken away. `--wearing` pieces have six readings each, so that their wear is forecast.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import statistics
import sys
from datetime import timedelta
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parent.parent.parent


def main() -> None:
    wanted = _arguments()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    sys.path.insert(0, str(ROOT))
    sys.path.insert(0, str(Path(__file__).resolve().parent))
    import cribs
    import django

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    try:
        with cribs.made([wanted.pieces]) as made:
            made.open(wanted.pieces)
            _age(wanted.wearing)
            _tell(wanted.rounds)
    except cribs.InUse as error:
        sys.exit(str(error))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--pieces", type=int, default=20_000)
    parser.add_argument("--wearing", type=int, default=2_000)
    parser.add_argument("--rounds", type=int, default=5)
    return parser.parse_args()


def _age(wearing: int) -> None:
    """Six readings over fifteen months for some pieces, of which the newest is at hand; loans of all that year."""
    from django.utils import timezone

    from inventory.measures.lengths import Length
    from inventory.models import Inspection, Loan, Tool, User

    chance, today = random.Random(1), timezone.localdate()
    tools = list(Tool.objects.in_service().exclude(size=None)[:wearing])
    looks, newest = [], {}
    for tool in tools:
        first, rise = chance.randint(1_000, 10_000), chance.randint(0, 1_500)
        for turn in range(6):
            day = today - timedelta(days=30 + 90 * (5 - turn))
            tir = Length(first + rise * turn + chance.randint(0, 800))
            looks.append(Inspection(tool=tool, tir=tir, taken_on=day, is_bare=True))
            newest[tool.pk] = looks[-1]
    Inspection.objects.bulk_create(looks, batch_size=2_000)
    for tool in tools:
        tool.reading = newest[tool.pk]
        tool.tir, tool.inspected_on = tool.reading.tir, tool.reading.taken_on
    Tool.objects.bulk_update(tools, ["reading", "tir", "inspected_on"], batch_size=500)
    taker = User.objects.filter(role="machinist").first()
    ended = [timezone.now() - timedelta(days=chance.randint(1, 400)) for _ in range(len(tools) * 5)]
    Loan.objects.bulk_create(
        (Loan(tool=chance.choice(tools), borrower=taker, issued_at=at, returned_at=at) for at in ended),
        batch_size=2_000,
    )


def _tell(rounds: int) -> None:
    from django.conf import settings
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from inventory.models import User

    settings.ALLOWED_HOSTS = ["testserver"]
    browser = Client()
    browser.force_login(User.objects.get(username="asker"), backend="django.contrib.auth.backends.ModelBackend")
    for address in ("/desk/", "/desk/due/"):
        with CaptureQueriesContext(connection) as queries:
            first = _milliseconds(browser, address)
        later = statistics.median(_milliseconds(browser, address) for _ in range(rounds))
        print(f"{address:<12} first {first:8.1f} ms, then {later:8.1f} ms, {len(queries)} queries", flush=True)


def _milliseconds(browser, address: str) -> float:
    started = perf_counter()
    assert browser.get(address).status_code == 200
    return (perf_counter() - started) * 1000


if __name__ == "__main__":
    main()
