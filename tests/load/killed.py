"""kill -9 at random points of an import, a count, a bulk issue and a receiving, as served, and of a restore.

Run by hand on a system that can fork: `python tests/load/killed.py [--kills 50] [--seconds 3600]`. DATABASE_URL chooses
SQLite (a file in a temporary folder where it is not set) or PostgreSQL; databases are made beside the one that is named
and taken away. Every eighth kill meets `manage.py restore`, which puts one book in the place of another; the others in
turn the serving process. A kill may come before, while or after the answer is sent. What was answered must be there in
whole; what was not must be there in whole or not at all. Printed are what was lost though it was confirmed, what was
half done, and whether the database finds itself sound.
"""

from __future__ import annotations

import argparse
import http.client
import multiprocessing
import os
import random
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import uuid
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parent.parent.parent
PIECES_AT_ONCE = 60
CSRF = "x" * 32


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=20_260_318)
    parser.add_argument("--seconds", type=float, default=24 * 3600, help="after so many, no further kill")
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
            Run(wanted.kills, random.Random(wanted.seed), ends=time.monotonic() + wanted.seconds).tell()
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
    chance: random.Random
    ends: float
    found: Counter = field(default_factory=Counter)
    took: dict[str, float] = field(default_factory=dict)

    def tell(self) -> None:
        from django.db import connection

        self._sign_in()
        for number, deed_of in enumerate(DEEDS):  # how long each takes, without a kill
            deed = deed_of(1_000_000 + number)
            self._do(deed, kill_after=None)
        with Restores() as restores:
            for number in range(self.kills):
                if time.monotonic() > self.ends:
                    break
                self.found["kills"] += 1
                if number % 8 == 7:
                    self._count(restores.do(self.chance), done=restores.parts(), of=RESTORED_PARTS)
                    continue
                deed = DEEDS[number % len(DEEDS)](number)
                self._do(deed, kill_after=self.chance.uniform(0, 1.25) * self.took[deed.name])
        print(
            f"{connection.vendor}: {self.found['kills']} kills, {self.found['answered']} answered before; "
            f"confirmed lost {self.found['lost']}, half done {self.found['half done']}, done without its answer "
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
        self._count(is_answered, done=done, of=of)

    def _count(self, is_answered: bool, *, done: int, of: int) -> None:
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
    from shop.server import serving, workers

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


def _a_receiving(number: int) -> Deed:
    from inventory.models import Size, Tool, User, Want

    asker = User.objects.get(username="asker")
    size = Size.objects.filter(series__code="5C", shape="round", is_marked=False).order_by("pk")[number % 40]
    Want.objects.filter(size=size, state="ordered").update(state="dropped")  # its receiving was killed before
    want = Want.objects.create(size=size, asked_by=asker, quantity=PIECES_AT_ONCE, state="ordered")
    sends = {"count": PIECES_AT_ONCE, "first_tag": f"R{number}-1001", "location": "", "token": uuid.uuid4()}

    def parts() -> tuple[int, int]:
        tags = [f"R{number}-{1001 + piece}" for piece in range(PIECES_AT_ONCE)]
        entries = Tool.history.filter(tag__in=tags).count()
        received = Want.objects.filter(pk=want.pk, state="received").count()
        return Tool.objects.filter(tag__in=tags).count() + entries + received, 2 * PIECES_AT_ONCE + 1

    return Deed("receive", f"/buying/want/{want.pk}/receive/", sends, parts)


DEEDS = (_an_import, _a_count, _an_issue, _a_receiving)
RESTORED_PARTS = 2


class Restores:
    """`manage.py restore --replace` of a book of two drawers into one of a single drawer, again and again."""

    def __enter__(self) -> Restores:
        import cribs

        self.folder = tempfile.TemporaryDirectory(prefix="gripbook-load-")
        self.one, self.two = Path(self.folder.name, "one.zip"), Path(self.folder.name, "two.zip")
        self.books = cribs.Cribs({"one": f"{os.environ['DATABASE_URL']}_one"})
        self._as_it_is(lambda: self.books.make("one", partial(_drawer_of_five, 0)))
        self._run("backup", str(self.one), kill_after=None)
        self._as_it_is(lambda: (self.books.open("one"), _drawer_of_five(1)))
        self._run("backup", str(self.two), kill_after=None)
        self.took = self._run("restore", str(self.two), "--replace", kill_after=None)[1]
        return self

    def __exit__(self, *_: object) -> None:
        self.books.drop()
        self.folder.cleanup()

    def do(self, chance: random.Random) -> bool:
        """Whether it said that it was done; the book had one drawer before."""
        self._run("restore", str(self.one), "--replace", kill_after=None)
        return self._run("restore", str(self.two), "--replace", kill_after=chance.uniform(0, 1.1) * self.took)[0]

    def parts(self) -> int:
        """How many of the two drawers are there beyond the one; half done is a book that has neither."""
        from inventory.models import Location, Tool

        found: list[int] = []
        self._as_it_is(lambda: (self.books.open("one"), found.extend([Location.objects.count(), Tool.objects.count()])))
        return {(1, 5): 0, (2, 10): RESTORED_PARTS}.get((found[0], found[1]), 1)

    def _as_it_is(self, do: Callable[[], object]) -> None:
        """With another book open, and afterwards that of the run again."""
        from django.db import connections

        open_now, url = connections["default"], os.environ["DATABASE_URL"]
        try:
            do()
        finally:
            connections["default"].close()
            connections["default"], os.environ["DATABASE_URL"] = open_now, url

    def _run(self, command: str, *words: str, kill_after: float | None) -> tuple[bool, float]:
        environment = {**os.environ, "DATABASE_URL": self.books.urls["one"]}
        call = [sys.executable, "manage.py", command, *words]
        begun = time.monotonic()
        process = subprocess.Popen(call, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        try:
            _, told = process.communicate(timeout=kill_after)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()
        else:
            if process.returncode:
                sys.exit(f"{command} does not work without a kill: {told.decode()}")
        return process.returncode == 0, time.monotonic() - begun


def _drawer_of_five(number: int) -> None:
    from inventory.models import Kind, Location, Tool

    place = Location.objects.create(name=f"Drawer {number}")
    Tool.objects.bulk_create(Tool(tag=f"D{number}-{piece}", kind=Kind.LATHE_DOG, location=place) for piece in range(5))


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
