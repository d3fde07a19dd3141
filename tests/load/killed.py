"""kill -9 of the serving process at random points of an import, a count and a bulk issue.

Run by hand on a system that can fork: `python tests/load/killed.py [--kills 50]`. DATABASE_URL chooses SQLite (a
file in a temporary folder where it is not set) or PostgreSQL; a database is made beside the one that is named and
taken away.
A kill may come before, while or after the answer is sent. What was answered must be there in whole; what was not must
be there in whole or not at all. Printed are what was lost though it was confirmed, what was half done, and whether the
database finds itself sound.
"""

from __future__ import annotations

import argparse
import http.client
import multiprocessing
import os
import random
import signal
import socket
import sys
import threading
import time
import uuid
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parent.parent.parent
PIECES_AT_ONCE = 60
CSRF = "x" * 32


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--kills", type=int, default=50)
    wanted = parser.parse_args()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    os.environ["ALLOWED_HOSTS"] = "127.0.0.1"
    sys.path.insert(0, str(ROOT))
    sys.path.insert(0, str(Path(__file__).resolve().parent))
    import cribs
    import django
    from django.db import connections

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    try:
        with cribs.made([1000]) as made:
            made.open(1000)
            # Threads of the serving process open connections of their own.
            connections.databases["default"] = dict(connections["default"].settings_dict)
            Run(wanted.kills).tell()
    except cribs.InUse as error:
        sys.exit(str(error))


@dataclass(frozen=True)
class Deed:
    """One thing to do over the site; `parts` says of how many parts how many are done."""

    name: str
    address: str
    sends: dict
    parts: Callable[[], tuple[int, int]]


@dataclass
class Run:
    kills: int
    chance: random.Random = field(default_factory=lambda: random.Random(20_260_318))
    found: Counter = field(default_factory=Counter)
    took: dict[str, float] = field(default_factory=dict)

    def tell(self) -> None:
        from django.db import connection

        self._sign_in()
        for number, deed_of in enumerate((_an_import, _a_count, _an_issue)):  # how long each takes, without a kill
            deed = deed_of(1_000_000 + number)
            self._do(deed, kill_after=None)
        for number in range(self.kills):
            deed = (_an_import, _a_count, _an_issue)[number % 3](number)
            self._do(deed, kill_after=self.chance.uniform(0, 1.25) * self.took[deed.name])
        print(
            f"{connection.vendor}: {self.kills} kills, {self.found['answered']} answered before; confirmed lost "
            f"{self.found['lost']}, half done {self.found['half done']}, done without its answer "
            f"{self.found['done unanswered']}; {_integrity()}"
        )

    def _sign_in(self) -> None:
        from django.conf import settings
        from django.test import Client

        from inventory.models import User

        browser = Client(SERVER_NAME="127.0.0.1")
        browser.force_login(User.objects.get(username="asker"), backend="django.contrib.auth.backends.ModelBackend")
        browser.get("/desk/")  # all is loaded before the fork, so that a kill meets the work and not its preparation
        session = browser.cookies[settings.SESSION_COOKIE_NAME].value
        self.cookie = f"{settings.SESSION_COOKIE_NAME}={session}; {settings.CSRF_COOKIE_NAME}={CSRF}"

    def _do(self, deed: Deed, *, kill_after: float | None) -> None:
        from django.db import connection

        connection.close()  # a child must not share it
        port = _free_port()
        server = multiprocessing.get_context("fork").Process(target=_serve, args=(port,))
        server.start()
        _wait_for(port)
        answers: list[int] = []
        asking = threading.Thread(target=self._ask, args=(port, deed, answers))
        begun = time.perf_counter()
        asking.start()
        asking.join(kill_after)
        os.killpg(server.pid, signal.SIGKILL)  # with the processes that it started
        server.join()
        asking.join()
        if kill_after is None:
            self.took[deed.name] = time.perf_counter() - begun
        done, of = deed.parts()
        is_answered = answers == [302]
        if kill_after is None and (not is_answered or done != of):
            sys.exit(f"{deed.name} does not work without a kill: {answers}, {done} of {of}")
        self.found["answered"] += is_answered
        self.found["lost"] += is_answered and done != of
        self.found["half done"] += done not in (0, of)
        self.found["done unanswered"] += not is_answered and done == of

    def _ask(self, port: int, deed: Deed, answers: list[int]) -> None:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        sends = urlencode({**deed.sends, "csrfmiddlewaretoken": CSRF}, doseq=True)
        headers = {"Cookie": self.cookie, "Content-Type": "application/x-www-form-urlencoded"}
        try:
            line.request("POST", deed.address, sends, headers)
            answers.append(line.getresponse().status)
        except (OSError, http.client.HTTPException):
            pass  # it was killed before it answered
        finally:
            line.close()


def _serve(port: int) -> None:
    from shop import serving
    from shop.server import workers

    os.setsid()
    workers.serve(serving.place_of("127.0.0.1", port), address=f"http://127.0.0.1:{port}", workers=1)


def _free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


def _wait_for(port: int) -> None:
    for _ in range(600):
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
        try:
            line.request("GET", "/health")
            line.getresponse().read()
            return
        except (OSError, http.client.HTTPException):
            time.sleep(0.02)
        finally:
            line.close()
    sys.exit("the serving process did not start")


def _drawer(number: int):
    """A drawer with pieces that nobody has."""
    from inventory.models import Kind, Location, Tool

    place = Location.objects.create(name=f"Kill {number}")
    Tool.objects.bulk_create(
        Tool(tag=f"X{number}-{piece}", kind=Kind.LATHE_DOG, location=place) for piece in range(PIECES_AT_ONCE)
    )
    for tool in place.tools.all():
        tool.save()
    return place


def _an_issue(number: int) -> Deed:
    from inventory.models import Loan

    place = _drawer(number)
    sends = {"token": uuid.uuid4(), "piece": list(place.tools.values_list("pk", flat=True))}
    return Deed(
        "issue",
        f"/places/{place.pk}/issue/",
        sends,
        lambda: (Loan.objects.open().filter(tool__location=place).count(), PIECES_AT_ONCE),
    )


def _a_count(number: int) -> Deed:
    from django.utils import timezone

    from inventory.keeping import counting
    from inventory.models import Count, User

    place = _drawer(number)
    count = counting.begin(place, by=User.objects.get(username="asker"), at=timezone.now())

    def parts() -> tuple[int, int]:
        missing = place.tools.exclude(missing_since=None).count()
        ended = Count.objects.exclude(ended_at=None).filter(pk=count.pk).count()
        return missing + ended + count.lines.exclude(outcome="").count(), 2 * PIECES_AT_ONCE + 1

    return Deed("count", f"/counts/{count.pk}/close/", {"unsaid": [tool.pk for tool in place.tools.all()]}, parts)


def _an_import(number: int) -> Deed:
    from inventory.models import SheetImport, Tool, User
    from tests import factories

    tags = [f"Y{number}-{row}" for row in range(PIECES_AT_ONCE)]
    text = "".join(f"{tag},lathe dog,Yard {number}\n" for tag in tags)
    begun = factories.sheet_read(f"tag,kind,location\n{text}", by=User.objects.get(username="asker"))

    def parts() -> tuple[int, int]:
        tools = Tool.objects.filter(tag__in=[tag.upper() for tag in tags])
        entries = Tool.history.filter(tag__in=[tag.upper() for tag in tags]).count()
        taken = SheetImport.objects.exclude(taken_at=None).filter(pk=begun.sent.pk).count()
        return tools.count() + entries + taken, 2 * PIECES_AT_ONCE + 1

    return Deed("import", f"/desk/import/{begun.sent.pk}/", {"shown": begun.digest()}, parts)


def _integrity() -> str:
    from django.db import connection

    if connection.vendor != "sqlite":
        return "the server started no recovery, and its constraints hold"
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        found = cursor.fetchall()
        cursor.execute("PRAGMA foreign_key_check")
        dangling = cursor.fetchall()
    return f"integrity {found[0][0]}, {len(dangling)} keys that lead nowhere"


if __name__ == "__main__":
    main()
