"""Several people take the same piece at the same instant, thousands of times, over a socket from the site as served.

Run by hand: `python tests/load/takers.py [--trials 2000] [--takers 2] [--hosts 1] [--workers 1] [--seconds 3600]`;
each host is a `manage.py serve` of its own on the one database. DATABASE_URL chooses SQLite (a file in a
temporary folder where it is not set) or PostgreSQL; a database is made beside the one that is named and taken away.
Each taker is a process of its own that taps Issue on the page of the piece; every fourth trial each tap is sent twice,
and every fourth the one who got it returns the piece. Printed are pieces that more than one was told to have, taps that
were answered by neither a piece nor a name, loans that one tap made twice, errors, and how long a tap waited.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import time
import uuid
from collections.abc import Callable, Iterable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from itertools import takewhile
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parent.parent.parent
SETTINGS = {"DJANGO_SETTINGS_MODULE": "shop.settings", "PYTHONWARNINGS": "ignore"}


def main() -> None:
    wanted = _arguments()
    os.environ.update(SETTINGS, SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    sys.path.insert(0, str(ROOT))
    if wanted.taker:
        _take_as(wanted.taker, wanted.port)
        return
    sys.path.insert(0, str(Path(__file__).resolve().parent))
    import cribs
    import django
    from served import serving

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    try:
        with cribs.made([wanted.trials * 2]) as made:
            made.open(wanted.trials * 2)
            tags = _to_take(wanted.trials, wanted.takers)
            url = made.urls[wanted.trials * 2]
            with ExitStack() as hosts:
                served = [hosts.enter_context(serving(url, workers=wanted.workers)) for _ in range(wanted.hosts)]
                ends = time.monotonic() + wanted.seconds
                in_time = takewhile(lambda _: time.monotonic() < ends, tags)
                found = contest(in_time, makes=url, takers=wanted.takers, ports=[host.port for host in served])
            print(
                f"{len(found.waits) // wanted.takers} pieces, {wanted.takers} takers each, {wanted.hosts} hosts with "
                f"{wanted.workers} workers, {_vendor()}"
            )
            print(found.told)
    except cribs.InUse as error:
        sys.exit(str(error))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--trials", type=int, default=2000)
    parser.add_argument("--takers", type=int, default=2)
    parser.add_argument("--hosts", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=24 * 3600, help="after so many, no further trial")
    parser.add_argument("--taker", help=argparse.SUPPRESS)
    parser.add_argument("--port", type=int, help=argparse.SUPPRESS)
    return parser.parse_args()


def _vendor() -> str:
    from django.db import connection

    return connection.vendor


def _to_take(trials: int, takers: int) -> list[str]:
    """Tags of so many pieces that can be issued, after the takers are entered."""
    from inventory.models import Tool, User

    for number in range(takers):
        User.objects.create_user(f"taker{number}", role="machinist")
    return list(Tool.objects.in_service().is_here().order_by("pk").values_list("tag", flat=True)[:trials])


@dataclass
class Contest:
    """What came of it; all but `waits` should be nought."""

    doubly_issued: int = 0
    issued_to_nobody: int = 0
    not_told_who: int = 0
    loans_too_many: int = 0
    errors: list[str] = field(default_factory=list)
    waits: list[float] = field(default_factory=list)

    @property
    def told(self) -> str:
        waits = sorted(self.waits)
        p50, p99, worst = (waits[min(int(len(waits) * part), len(waits) - 1)] * 1000 for part in (0.5, 0.99, 1))
        return (
            f"issued doubly {self.doubly_issued}, to nobody {self.issued_to_nobody}; not told who has it "
            f"{self.not_told_who}; loans too many {self.loans_too_many}; errors {len(self.errors)}\n"
            f"a tap waited p50 {p50:.1f} ms, p99 {p99:.1f} ms, at most {worst:.1f} ms"
            + "".join(f"\n{error}" for error in self.errors[:5])
        )


def contest(tags: Iterable[str], *, makes: str, takers: int = 2, ports: Sequence[int] = ()) -> Contest:
    """Let `taker0`, `taker1` … of the database at the address `makes` tap Issue on each of these pieces at once.

    They ask the servers at these ports in turn; without any, the site within their own process.
    """
    environment = {**os.environ, **SETTINGS, "DATABASE_URL": makes, "SECRET_KEY": os.environ.get("SECRET_KEY", "x")}
    calls = [[sys.executable, str(Path(__file__).resolve()), "--taker", f"taker{number}"] for number in range(takers)]
    for number, call in enumerate(calls if ports else []):
        call += ["--port", str(ports[number % len(ports)])]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "env": environment, "cwd": ROOT}
    processes = [subprocess.Popen(call, **pipes) for call in calls]
    found = Contest()
    try:
        for process in processes:
            assert process.stdout.readline() == "ready\n", "a taker did not start"
        for number, tag in enumerate(tags):
            _trial(found, processes, tag, resent=number % 4 == 1, returned=number % 4 == 3)
    finally:
        for process in processes:
            process.stdin.close()
            process.wait(timeout=60)
            process.stdout.close()
    return found


def _trial(found: Contest, processes, tag: str, *, resent: bool, returned: bool) -> None:
    order = json.dumps({"tag": tag, "resent": resent, "returned": returned}) + "\n"
    for process in processes:
        process.stdin.write(order)
        process.stdin.flush()
    answers = [json.loads(process.stdout.readline()) for process in processes]
    found.waits += [answer["seconds"] for answer in answers]
    found.errors += [answer["error"] for answer in answers if answer["error"]]
    holders = sum(answer["issued"] for answer in answers)
    # Where it is returned at once, a second one may rightly have it after the first.
    found.doubly_issued += holders > 1 and not returned
    found.issued_to_nobody += holders == 0
    found.not_told_who += sum(not (answer["issued"] or answer["told"] or answer["error"]) for answer in answers)
    found.loans_too_many += sum(answer["loans"] > 1 for answer in answers)


def _take_as(name: str, port: int | None) -> None:
    """A taker: each line that comes in is one tap on one piece."""
    import django

    django.setup()
    from django.conf import settings

    from inventory.models import User

    settings.ALLOWED_HOSTS = ["testserver", "127.0.0.1"]
    user = User.objects.get(username=name)
    browser = _over_a_line(port, user) if port else _within(user)
    print("ready", flush=True)
    for line in sys.stdin:
        print(json.dumps(_tapped(browser, user, **json.loads(line))), flush=True)


def _tapped(tap: Callable[[str, str], str], user, *, tag: str, resent: bool, returned: bool) -> dict:
    from inventory.models import Loan

    answer = {"issued": False, "told": False, "error": "", "loans": 0}
    token, begun = str(uuid.uuid4()), perf_counter()
    try:
        words = tap(f"/t/{tag}/issue/", token)
        answer["seconds"] = perf_counter() - begun
        if resent:
            tap(f"/t/{tag}/issue/", token)
        answer["issued"] = f"{tag} is issued to you" in words
        answer["told"] = f"{tag} is out to " in words
        answer["loans"] = Loan.objects.filter(tool__tag=tag, borrower=user).count()
        if returned and answer["issued"]:
            tap(f"/t/{tag}/return/", token)
    except Exception as error:  # whatever it is, it is counted and told
        answer["error"] = f"{type(error).__name__}: {error}"
        answer.setdefault("seconds", perf_counter() - begun)
    return answer


def _within(user) -> Callable[[str, str], str]:
    """Taps of this person, and what they are told; asked of the site in this process."""
    from django.contrib.messages import get_messages
    from django.test import Client

    browser = Client()
    browser.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    browser.get("/mine/")

    def tap(address: str, token: str) -> str:
        answer = browser.post(address, {"token": token})
        if answer.status_code != 302:
            raise RuntimeError(f"{address} answered {answer.status_code}")
        return " ".join(str(message) for message in get_messages(answer.wsgi_request))

    return tap


def _over_a_line(port: int, user) -> Callable[[str, str], str]:
    """The same, asked of a server; what they are told stands on the page that they come to."""
    from served import Browser

    browser = Browser(port, user)
    browser.get("/mine/")

    def tap(address: str, token: str) -> str:
        status, words = browser.post(address, {"token": token}, follow=True)
        if status != 200:
            raise RuntimeError(f"{address} led to {status}")
        return words

    return tap


if __name__ == "__main__":
    main()
