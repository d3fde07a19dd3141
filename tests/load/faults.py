"""What a person is told, and what is lost, while something is wrong with the machine: each fault on purpose, as served.

Run by hand on Linux: `python tests/load/faults.py [--only NAME]`. DATABASE_URL chooses SQLite (a file in a temporary
folder where it is not set) or PostgreSQL; a database is made beside the one that is named and taken away. In each,
pieces are issued one after the other while the fault begins and ends. Printed are how many were confirmed, refused with
503 or 507, answered with 500 or not at all, how many of the confirmed are not in the book afterwards, how many are
there though they were refused, and whether the site works again by itself. Ends with 1 where one was lost or answered
with 500.
"""

from __future__ import annotations

import argparse
import os
import shutil
import signal
import socket
import struct
import subprocess
import sys
import tempfile
import threading
import time
import uuid
import zipfile
import zoneinfo
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

ROOT = Path(__file__).resolve().parent.parent.parent
SECONDS = 6.0
SECONDS_TO_THE_CHANGE = 30
"""In which the server starts, and a second's pieces are issued."""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--only", choices=list(FAULTS), action="append")
    wanted = parser.parse_args()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    os.environ["ALLOWED_HOSTS"] = "127.0.0.1"
    sys.path[:0] = [str(ROOT), str(Path(__file__).resolve().parent)]
    import cribs
    import django

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    is_sound = True
    for name in wanted.only or FAULTS:
        try:
            with cribs.made([600]) as made:
                made.open(600)
                is_sound &= Trial(name, made.urls[600]).tell()
        except cribs.InUse as error:
            sys.exit(str(error))
    sys.exit(0 if is_sound else 1)


class Trial:
    def __init__(self, name: str, url: str) -> None:
        from django.db import connection
        from served import cookie_of

        from inventory.models import Tool, User

        self.name, self.url = name, url
        self.tags = list(Tool.objects.in_service().is_here().order_by("pk").values_list("tag", flat=True))
        self.user = User.objects.get(username="machinist0")
        self.cookie = cookie_of(self.user)
        connection.close()  # SQLite moves what was written into the file, which may be copied
        self.counts: Counter = Counter()
        self.confirmed: set[str] = set()
        self.refused: set[str] = set()

    def tell(self) -> bool:
        from django.db import connection

        with ExitStack() as stack:
            fault = stack.enter_context(FAULTS[self.name](self.url))
            if fault is None:
                print(f"{connection.vendor}, {self.name}: cannot be tried here")
                return True
            if fault.is_there_at_the_start:
                fault.begin()
            served = [stack.enter_context(_serving(fault)) for _ in range(fault.hosts)]
            wrong = self._issue([host.port for host in served], fault)
            wrong = wrong or fault.check() or (self._return(served[0].port) if fault.is_of_the_clock else "")
        lost, there = self._compare()
        told = ", ".join(f"{word} {count}" for word, count in sorted(self.counts.items()))
        print(
            f"{connection.vendor}, {self.name}: {told}; confirmed lost {lost}, refused and yet done {there}; "
            f"works again: {'yes' if self.works_again else 'NO'}{'; ' + wrong if wrong else ''}",
            flush=True,
        )
        return self.works_again and not lost and not there and not wrong and not self.counts["500"]

    def _issue(self, ports: list[int], fault: Fault) -> str:
        """Said is what the commands and the pages that only read did wrong meanwhile."""
        from served import Browser

        browsers = [Browser(port, cookie=self.cookie, timeout=60) for port in ports]
        begun, is_on, self.works_again, wrong = time.monotonic(), False, False, ""
        for number, tag in enumerate(self.tags):
            passed = time.monotonic() - begun
            if not is_on and passed > 1:
                if not fault.is_there_at_the_start:
                    fault.begin()
                wrong = self._look(browsers[0], fault) if fault.still_reads else ""
                is_on, begun = True, time.monotonic() - 1
            if passed > SECONDS:
                break
            self._tap(browsers[number % len(browsers)], tag)
        fault.end()
        for tag in reversed(self.tags):
            time.sleep(0.3)
            before = len(self.confirmed)
            self._tap(browsers[0], tag)
            self.works_again = len(self.confirmed) > before
            if self.works_again or time.monotonic() - begun > 60:
                break
        # Each of its threads has a connection of its own, and each of those is to write again.
        before = self.counts["503"] + self.counts["507"]
        for tag in [tag for tag in self.tags if tag not in self.confirmed | self.refused][:12]:
            self._tap(browsers[0], tag)
        stuck = self.counts["503"] + self.counts["507"] - before
        return wrong or (f"{stuck} refused when all was well again" if stuck and self.works_again else "")

    def _look(self, browser, fault: Fault) -> str:
        """Pages that only read, and commands: none with a traceback, and those that would write end with a sentence."""
        pages = [page for page in ("/", "/mine/", "/tooling/") if browser.get(page)[0] != 200]
        with tempfile.TemporaryDirectory() as folder:
            sheet = Path(folder, "sheet.csv")
            sheet.write_text("tag,kind\nZ-1,lathe dog\n")
            calls = {"due": True, f"backup {folder}/book.zip": True, f"import_sheet {sheet}": False}
            calls |= {"demo --no-serve": False, f"restore {folder}/book.zip --replace": False}
            bad = [words for words, reads in calls.items() if not _is_told(fault, words.split(), reads=reads)]
        return "; ".join(
            [*(f"{page} does not open" for page in pages), *(f"{words.split()[0]} fails" for words in bad)]
        )

    def _return(self, port: int) -> str:
        """What was issued comes back, whatever the clock did; said is what did not."""
        from django.db import connection
        from served import Browser

        from inventory.models import Loan

        browser = Browser(port, cookie=self.cookie, timeout=60)
        loans = Loan.objects.open().filter(borrower=self.user, tool__tag__in=self.confirmed)
        back = list(loans.order_by("-pk").values_list("tool__tag", "token")[:20])
        for tag, token in back:
            status, _ = browser.post(f"/t/{tag}/return/", {"token": token})
            self.counts["returned" if status == 302 else str(status)] += 1
        connection.close()
        still_out = Loan.objects.open().filter(tool__tag__in=[tag for tag, _ in back]).count()
        self.confirmed -= {tag for tag, _ in back}
        return f"{still_out} not returned" if still_out else ""

    def _tap(self, browser, tag: str) -> None:
        try:
            status, words = browser.post(f"/t/{tag}/issue/", {"token": uuid.uuid4()})
        except OSError:
            self.counts["no answer"] += 1
            return
        if status == 302 and words.startswith("/t/"):
            self.confirmed.add(tag)
            self.counts["confirmed"] += 1
        else:
            self.refused.add(tag)
            self.counts[str(status)] += 1

    def _compare(self) -> tuple[int, int]:
        from django.db import connection

        from inventory.models import Loan

        connection.close()
        out = set(Loan.objects.open().filter(borrower=self.user).values_list("tool__tag", flat=True))
        return len(self.confirmed - out), len(self.refused & out)


class Fault:
    """Where the site is served from, and how the fault begins and ends."""

    def __init__(self, url: str, begin: Callable[[], object], end: Callable[[], object]) -> None:
        self.url, self.begin, self.end = url, begin, end
        self.hosts = 1
        self.is_there_at_the_start = False
        self.still_reads = False
        """Whether pages and commands that only read go on."""
        self.through: list[str] = []
        self.is_of_the_clock = False
        self.environment: dict[str, str] = {}
        self.check: Callable[[], str] = lambda: ""


@contextmanager
def _serving(fault: Fault) -> Iterator:
    from served import serving

    with serving(fault.url, through=fault.through, **fault.environment) as served:
        yield served


def _is_told(fault: Fault, words: list[str], *, reads: bool) -> bool:
    call = [*fault.through, sys.executable, "manage.py", *words]
    environment = {**os.environ, **fault.environment, "DATABASE_URL": fault.url}
    ended = subprocess.run(call, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    sentence = ended.stderr.strip()
    is_right = ended.returncode == 0 if reads else ended.returncode in (1, 2) and len(sentence.splitlines()) in (1, 2)
    if not is_right or "Traceback" in sentence:
        print(f"    {words[0]} ended with {ended.returncode}: {sentence[-600:]}", flush=True)
        return False
    return True


def _file(url: str) -> Path | None:
    return Path(url.removeprefix("sqlite:///")) if url.startswith("sqlite") else None


@contextmanager
def backup_meanwhile(url: str) -> Iterator[Fault]:
    """A backup is taken again and again while people write; each can be read."""
    with tempfile.TemporaryDirectory() as folder:
        running: list[subprocess.Popen] = []
        environment = {**os.environ, "DATABASE_URL": url}

        def begin() -> None:
            for number in range(3):
                call = [sys.executable, "manage.py", "backup", f"{folder}/{number}.zip"]
                running.append(subprocess.Popen(call, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL))

        def check() -> str:
            bad = [process.wait(timeout=120) for process in running]
            for number in range(len(running)):
                with zipfile.ZipFile(f"{folder}/{number}.zip") as archive:
                    bad.append(0 if archive.testzip() is None else 1)
            return "a backup failed" if any(bad) else ""

        fault = Fault(url, begin, lambda: None)
        fault.check = check
        yield fault


@contextmanager
def disk_full(url: str) -> Iterator[Fault | None]:
    """A book on a small disk of its own, which somebody else fills. Needs the rights to mount one."""
    book = _file(url)
    folder = Path(tempfile.mkdtemp(prefix="gripbook-disk-"))
    size = (book.stat().st_size if book else 0) * 3 + 2**20
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    if book is None or subprocess.run(mount, capture_output=True).returncode:
        folder.rmdir()
        yield None
        return
    try:
        there, filling = folder / book.name, folder / "filling"
        shutil.copy(book, there)

        def fill() -> None:
            with suppress(OSError), filling.open("wb", buffering=0) as file:
                while file.write(b"x" * 4096):
                    pass

        yield Fault(f"sqlite:///{there}", fill, lambda: filling.unlink(missing_ok=True))
        _bring_back(there, book)
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=False)
        with suppress(OSError):
            folder.rmdir()


@contextmanager
def read_only(url: str) -> Iterator[Fault | None]:
    """A book that can only be read from some moment on: its files are made immutable, or its database says so.

    The first needs Linux, ext4 or the like, and its rights. What maps the book's memory is left as it is.
    """
    book = _file(url)
    if book is None:
        yield _database_that_only_reads(url)
        return
    files = [str(book), f"{book}-wal"]
    mark = partial(subprocess.run, capture_output=True, check=False)
    if mark(["chattr", "+i", str(book)]).returncode:
        yield None
        return
    mark(["chattr", "-i", str(book)])
    fault = Fault(url, lambda: mark(["chattr", "+i", *files]), lambda: mark(["chattr", "-i", *files]))
    fault.still_reads = True
    try:
        yield fault
    finally:
        fault.end()


def _database_that_only_reads(url: str) -> Fault:
    """Who is connected already is sent away, as when another server takes over that only reads; nobody afterwards."""
    import cribs
    from django.db import connection

    entry = connection.settings_dict
    name = entry["NAME"]

    def begin() -> None:
        cribs.run_on_server(entry, f'ALTER DATABASE "{name}" SET default_transaction_read_only = on')
        cribs.run_on_server(entry, f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")

    def end() -> None:
        cribs.run_on_server(entry, f'ALTER DATABASE "{name}" RESET default_transaction_read_only')

    fault = Fault(url, begin, end)
    fault.still_reads = True
    return fault


@contextmanager
def no_rights(url: str) -> Iterator[Fault | None]:
    """A file that the user who serves may only read, from before the server is started. Root is made to obey."""
    book = _file(url)
    if book is None or not shutil.which("setpriv"):
        yield None
        return
    fault = Fault(url, lambda: book.chmod(0o400), lambda: book.chmod(0o600))
    fault.is_there_at_the_start = fault.still_reads = True
    dropped = "-dac_override,-dac_read_search,-fowner"
    fault.through = ["setpriv", f"--bounding-set={dropped}", f"--inh-caps={dropped}"]
    yield fault


def _bring_back(there: Path, book: Path) -> None:
    """What was served is what is compared."""
    from django.db import connection

    connection.close()
    for ending in ("", "-wal", "-shm"):
        Path(f"{book}{ending}").unlink(missing_ok=True)
        if Path(f"{there}{ending}").exists():
            shutil.copy(f"{there}{ending}", f"{book}{ending}")


@contextmanager
def database_away(url: str) -> Iterator[Fault | None]:
    """The line to the database is cut, and mended."""
    if _file(url):
        yield None
        return
    parts = urlsplit(url)
    relay = Relay(parts.hostname or "127.0.0.1", parts.port or 5432)
    at = f"{parts.username}:{parts.password}@127.0.0.1:{relay.port}"
    try:
        yield Fault(parts._replace(netloc=at).geturl(), relay.cut, relay.mend)
    finally:
        relay.cut()


class Relay:
    """A line between the site and its database that can be cut."""

    def __init__(self, host: str, port: int) -> None:
        self._to, self._lines, self._is_cut = (host, port), [], False
        self._door = socket.create_server(("127.0.0.1", 0))
        self.port = self._door.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def cut(self) -> None:
        self._is_cut = True
        for line in self._lines:
            with suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)
        self._lines.clear()

    def mend(self) -> None:
        self._is_cut = False

    def _accept(self) -> None:
        while True:
            near, _ = self._door.accept()
            if self._is_cut:
                near.close()
                continue
            far = socket.create_connection(self._to)
            self._lines += [near, far]
            for one, other in ((near, far), (far, near)):
                threading.Thread(target=self._pass_on, args=(one, other), daemon=True).start()

    @staticmethod
    def _pass_on(one: socket.socket, other: socket.socket) -> None:
        with suppress(OSError):
            while data := one.recv(65536):
                other.sendall(data)
        with suppress(OSError):
            other.shutdown(socket.SHUT_RDWR)


@contextmanager
def two_hosts(url: str) -> Iterator[Fault]:
    """Two servers on one book, asked in turn."""
    fault = Fault(url, lambda: None, lambda: None)
    fault.hosts = 2
    yield fault


@contextmanager
def clock_back(url: str, *, hours: int) -> Iterator[Fault]:
    """All that was written was written later than now: what somebody sees whose clock is set back."""
    from datetime import timedelta

    from django.db.models import F

    from inventory.models import Loan, Tool

    Loan.objects.update(issued_at=F("issued_at") + timedelta(hours=hours))
    Tool.history.update(history_date=F("history_date") + timedelta(hours=hours))
    fault = Fault(url, lambda: None, lambda: None)
    fault.is_of_the_clock = True
    yield fault


@contextmanager
def daylight_saving(url: str, *, before: int, after: int) -> Iterator[Fault]:
    """The shop's clocks change while pieces are issued: in a zone of its own, under the name of a known one."""
    with tempfile.TemporaryDirectory() as folder:
        changes_at = time.time() + SECONDS_TO_THE_CHANGE
        Path(folder, "Europe").mkdir()
        Path(folder, "Europe", "Vienna").write_bytes(_zone(int(changes_at), before * 3600, after * 3600))
        fault = Fault(url, lambda: time.sleep(max(0, changes_at - time.time() - 1)), lambda: None)
        fault.is_of_the_clock = True
        known = os.pathsep.join(path for path in zoneinfo.TZPATH if path)
        fault.environment = {"PYTHONTZPATH": f"{folder}{os.pathsep}{known}", "TIME_ZONE": "Europe/Vienna"}
        yield fault


def _zone(changes_at: int, before: int, after: int) -> bytes:
    """A file of a zone as RFC 8536 has it, version 1: one change, two kinds of local time."""
    head = struct.pack(">4sc15x6l", b"TZif", b"\0", 0, 0, 0, 1, 2, 8)
    kinds = struct.pack(">lbB", before, 0, 0) + struct.pack(">lbB", after, 1, 4)
    return head + struct.pack(">lB", changes_at, 1) + kinds + b"ONE\0TWO\0"


FAULTS = {
    "backup": backup_meanwhile, "disk-full": disk_full, "read-only": read_only, "no-rights": no_rights,
    "database-away": database_away, "two-hosts": two_hosts, "an-hour-back": partial(clock_back, hours=1),
    "clock-back": partial(clock_back, hours=24), "spring": partial(daylight_saving, before=1, after=2),
    "autumn": partial(daylight_saving, before=2, after=1),
}  # fmt: skip


if __name__ == "__main__":
    main()
