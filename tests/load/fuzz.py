"""Hostile requests over a socket to the site as it is served: every address, role and method, forms and files mutated.

`python tests/load/fuzz.py [--requests 100000] [--seed 1] [--fuzzers 3] [--workers 1] [--seconds S] [--site FILE]`.
DATABASE_URL chooses SQLite (a file in a temporary folder where it is not set) or PostgreSQL; a database is made beside
the one that is named and taken away. Several fuzzers, each with a seed of its own, share the one served book.
Ends with 1 where an answer was 500 or none at all, where the server wrote a traceback, or where afterwards the book is
not sound: its keys, its backup, each of its pages. The same seed sends the same requests, as far as what the pages of
the site hold is the same; of several fuzzers each does, but not in the same order among them.
"""

from __future__ import annotations

import argparse
import io
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import msgspec

ROOT = Path(__file__).resolve().parent.parent.parent
CSRF = "x" * 32
SIGN_IN_AGAIN_AFTER = 200
"""Requests of each fuzzer; meanwhile chance signs out, closes sign-ins and takes roles away."""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--requests", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--fuzzers", type=int, default=3)
    parser.add_argument("--workers", type=int, default=1, help="processes that serve")
    parser.add_argument("--seconds", type=float, default=24 * 3600, help="after so many, no further request")
    parser.add_argument("--site", type=Path, help="what there is on the site: the first run writes it, others read it")
    wanted = parser.parse_args()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    os.environ["ALLOWED_HOSTS"] = "127.0.0.1,testserver"
    sys.path.insert(0, str(ROOT))
    sys.path.insert(0, str(Path(__file__).resolve().parent))
    import cribs
    import django

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the database is taken away
    starts: list[str] = []
    try:
        with cribs.made([], fuzz=lambda: starts.extend(_fill())) as made, tempfile.TemporaryFile() as log:
            made.open("fuzz")
            run = Run(made.urls["fuzz"], starts=starts, log=log, workers=wanted.workers, site=wanted.site)
            seeds = [wanted.seed + number * 1_000_003 for number in range(wanted.fuzzers)]
            is_sound = run.tell(wanted.requests, seeds=seeds, seconds=wanted.seconds)
    except cribs.InUse as error:
        sys.exit(str(error))
    sys.exit(0 if is_sound else 1)


def _fill() -> list[str]:
    from tests import walking
    from tests.demo_book import DemoBook

    DemoBook().put_in_place()
    return walking.starts()


@dataclass
class Run:
    url: str
    starts: list[str]
    log: object
    workers: int = 1
    site: Path | None = None
    statuses: Counter = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def tell(self, requests: int, *, seeds: list[int], seconds: float) -> bool:
        from django.db import connection

        chances = self._chances(seeds)
        started = time.monotonic()
        self.port = _free_port()
        server = self._serve()
        try:
            while (left := requests - sum(self.statuses.values())) > 0 and time.monotonic() - started < seconds:
                self._send(min(left, SIGN_IN_AGAIN_AFTER * len(chances)), chances)
                if server.poll() is not None:
                    self.wrong.append("the server ended")
                    break
        finally:
            server.terminate()
            server.wait()
        took = time.monotonic() - started
        self._look_at_the_log()
        self._look_at_the_book()
        sent = sum(self.statuses.values())
        counts = ", ".join(f"{status}: {count}" for status, count in sorted(self.statuses.items()))
        print(f"{connection.vendor}, seeds {seeds}: {sent} requests in {took:.0f} s ({counts})")
        print(f"wrong: {len(self.wrong)}")
        for words in self.wrong[:40]:
            print(words)
        return not self.wrong

    def _send(self, requests: int, chances) -> None:
        """So many, shared out among the fuzzers, who send at the same time."""
        cookies = self._sign_in()
        shares = [requests // len(chances) + (number < requests % len(chances)) for number in range(len(chances))]
        with ThreadPoolExecutor(len(chances)) as at_once:
            for answers in at_once.map(lambda chance, share: self._ask(chance, cookies, share), chances, shares):
                for status, wrong in answers:
                    self.statuses[status] += 1
                    self.wrong += [wrong] if wrong else []

    def _chances(self, seeds: list[int]):
        from hostile import Chance, Site

        if self.site is not None and self.site.exists():
            site = msgspec.json.decode(self.site.read_bytes(), type=Site)
        else:
            site = self._walked()
            if self.site is not None:
                self.site.write_bytes(msgspec.json.encode(site))
        return [Chance(seed, site, CSRF) for seed in seeds]

    def _walked(self):
        """All that an administrator finds by the links of the pages: addresses, and forms with what they send."""
        from django.test import Client
        from hostile import Site, form_of

        from inventory.models import User
        from tests.walking import walk

        browser = Client()
        browser.force_login(User.objects.get(username="administrator"), backend=_BACKEND)
        addresses, forms = [], {}
        for visit in walk(browser, self.starts):
            addresses.append(visit.address)
            for form in visit.page.forms() if visit.page else ():
                files = tuple(part["name"] for part in form.fields if part["type"] == "file")
                forms[form.method, form.action] = form_of(form.action, form.method, form.sent(), files)
        return Site([*addresses, "/admin/", "/admin/inventory/user/"], list(forms.values()))

    def _serve(self) -> subprocess.Popen:
        call = [sys.executable, "manage.py", "serve", "--host", "127.0.0.1", "--port", str(self.port)]
        call += ["--workers", str(self.workers)]
        environment = {**os.environ, "DATABASE_URL": self.url}
        server = subprocess.Popen(call, cwd=ROOT, env=environment, stdout=self.log, stderr=self.log)
        for _ in range(600):
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=1).close()
                return server
            except OSError:
                time.sleep(0.1)
        server.kill()
        sys.exit("the server did not start")

    def _sign_in(self) -> list[str]:
        """The cookies of each role, and of nobody."""
        from django.conf import settings
        from django.test import Client

        from inventory.models import Role, User

        cookies = [""]
        for role in Role:
            person, _ = User.objects.get_or_create(username=role.value)
            person.role, person.is_active = role.value, True
            person.save()
            browser = Client()
            browser.force_login(person, backend=_BACKEND)
            session = browser.cookies[settings.SESSION_COOKIE_NAME].value
            cookies.append(f"{settings.SESSION_COOKIE_NAME}={session}; {settings.CSRF_COOKIE_NAME}={CSRF}")
        return cookies

    def _ask(self, chance, cookies: list[str], requests: int) -> list[tuple[str, str]]:
        """The status of each answer, and what is wrong with it or nothing."""
        host = f"127.0.0.1:{self.port}"
        return [
            self._answer(chance.request(host=host, cookie=chance.chance.choices(cookies, _OFTEN)[0]))
            for _ in range(requests)
        ]

    def _answer(self, request) -> tuple[str, str]:
        try:
            with socket.create_connection(("127.0.0.1", self.port), timeout=60) as line:
                line.sendall(request.on_the_line())
                if request.is_raw:  # it may lack its end, for which the server would wait
                    line.shutdown(socket.SHUT_WR)
                answer = line.recv(64)
                while answer and line.recv(65536):
                    pass
        except OSError as error:
            answer = b"" if request.is_raw else repr(error).encode()
        status = answer[9:12].decode("latin-1") if answer.startswith(b"HTTP/") else "none"
        is_wrong = status >= "500" and not (status == "none" and request.is_raw)
        return status, f"{status}: {request.in_short()}" if is_wrong else ""

    def _look_at_the_log(self) -> None:
        """Of each kind of traceback how often, and its last lines."""
        self.log.seek(0)
        text = self.log.read().decode("utf-8", "replace")
        kinds = Counter()
        for trace in text.split("Traceback (most recent call last)")[1:]:
            lines = trace.splitlines()
            ended = next((n for n, line in enumerate(lines[1:], 1) if not line.startswith(" ")), len(lines) - 1)
            kinds["\n".join(lines[max(ended - 5, 0) : ended + 1])[:1200]] += 1
        self.wrong += [f"{count} tracebacks: {words}" for words, count in kinds.most_common()]

    def _look_at_the_book(self) -> None:
        from django.core.management import call_command
        from django.db import connection
        from django.test import Client

        from inventory.models import CountedStock, Loan, User

        connection.check_constraints()
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                found = cursor.execute("PRAGMA integrity_check").fetchall()
            self.wrong += [f"integrity: {found}"] if found != [("ok",)] else []
        out = list(Loan.objects.open().values_list("tool", flat=True))
        self.wrong += ["a piece is out twice"] if len(out) != len(set(out)) else []
        self.wrong += ["a count below nought"] if CountedStock.objects.filter(count__lt=0).exists() else []
        with tempfile.TemporaryDirectory() as folder:
            call_command("backup", f"{folder}/book.zip", stdout=io.StringIO())
        self._sign_in()
        browser = Client(raise_request_exception=False)
        browser.force_login(User.objects.get(username="administrator"), backend=_BACKEND)
        for address in [*self.starts, *_AFTERWARDS]:
            answer = browser.get(address)
            if answer.status_code >= 500:
                self.wrong.append(f"afterwards {address} answers {answer.status_code}")


_AFTERWARDS = (
    "/desk/", "/tooling/", "/buying/", "/buying/orders/", "/buying/orders/sheet.xlsx", "/buying/orders/sheet.csv",
    "/places/", "/lathes/", "/tooling/counted/", "/desk/export.csv", "/desk/people/", "/buying/demand/",
    "/buying/prices/",
)  # fmt: skip
"""Pages and sheets that show what chance has written into the book."""
_OFTEN = (1, 2, 3, 2, 4)
"""How often nobody, and each role, asks."""
_BACKEND = "django.contrib.auth.backends.ModelBackend"


def _free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


if __name__ == "__main__":
    main()
