"""Several people take the same piece at the same instant, thousands of times, over a socket from the site as served.

Run by hand: `python tests/load/takers.py [--trials 2000] [--takers 2] [--groups 2] [--hosts 1] [--workers 1]
[--seconds 3600]`; each host is a `manage.py serve` of its own on the one database. DATABASE_URL chooses SQLite (a
file in a temporary folder where it is not set) or PostgreSQL; a database is made beside the one that is named and
taken away. Each taker is a process of its own, at an address of its own, that taps Issue on a piece; every fourth
trial each tap is sent twice, every fourth the one who got it returns the piece, and at every twenty-fifth the page is
read that the tap leads to: else what it will say is read from the answer itself. Several groups fight at once, each
over pieces of its own. Printed are pieces that more than one was told to have, taps that were answered by neither a
piece nor a name, loans that one tap made twice, taps of which the book says otherwise afterwards, errors, and how
long a tap waited.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
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
        _take_as(wanted.taker, wanted.port, wanted.address)
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
            tags = _to_take(wanted.trials, wanted.takers * wanted.groups)
            url = made.urls[wanted.trials * 2]
            with ExitStack() as hosts:
                served = [hosts.enter_context(serving(url, workers=wanted.workers)) for _ in range(wanted.hosts)]
                ends = time.monotonic() + wanted.seconds
                in_time = takewhile(lambda _: time.monotonic() < ends, tags)
                begun = perf_counter()
                ports = [host.port for host in served]
                found = contest(in_time, makes=url, takers=wanted.takers, groups=wanted.groups, ports=ports)
                took = perf_counter() - begun
            pieces = len(found.waits) // wanted.takers
            print(
                f"{pieces} pieces, {wanted.takers} takers each, {wanted.groups} groups at once, {wanted.hosts} hosts "
                f"with {wanted.workers} workers, {_vendor()}; {pieces / took:.1f} pieces a second"
            )
            print(found.summary)
    except cribs.InUse as error:
        sys.exit(str(error))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--trials", type=int, default=2000)
    parser.add_argument("--takers", type=int, default=2)
    parser.add_argument("--groups", type=int, default=2, help="of takers, that fight at the same time")
    parser.add_argument("--hosts", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=24 * 3600, help="after so many, no further trial")
    parser.add_argument("--taker", help=argparse.SUPPRESS)
    parser.add_argument("--port", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--address", default="127.0.0.1", help=argparse.SUPPRESS)
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
    book_says_otherwise: int = 0
    errors: list[str] = field(default_factory=list)
    waits: list[float] = field(default_factory=list)

    @property
    def summary(self) -> str:
        waits = sorted(self.waits)
        p50, p99, worst = (waits[min(int(len(waits) * part), len(waits) - 1)] * 1000 for part in (0.5, 0.99, 1))
        return (
            f"issued doubly {self.doubly_issued}, to nobody {self.issued_to_nobody}; not told who has it "
            f"{self.not_told_who}; loans too many {self.loans_too_many}; the book says otherwise "
            f"{self.book_says_otherwise}; errors {len(self.errors)}\n"
            f"a tap waited p50 {p50:.1f} ms, p99 {p99:.1f} ms, at most {worst:.1f} ms"
            + "".join(f"\n{error}" for error in self.errors[:5])
        )


def contest(tags: Iterable[str], *, makes: str, takers: int = 2, groups: int = 1, ports: Sequence[int] = ()) -> Contest:
    """Let `taker0`, `taker1` … of the database at the address `makes` tap Issue on each of these pieces at once.

    So many of them are a group, which takes one piece after the other; they ask the servers at these ports in turn;
    without any, the site within their own process.
    """
    found, fights = Contest(), enumerate(tags)
    hands = [_Taker(number, makes=makes, ports=ports) for number in range(takers * groups)]
    try:
        for hand in hands:
            hand.wait_for()
        with ThreadPoolExecutor(groups) as at_once:
            list(at_once.map(lambda group: _fights(found, fights, group), zip(*[iter(hands)] * takers, strict=True)))
        _compare_with_the_book(found, hands)
    finally:
        for hand in hands:
            hand.end()
    return found


class _Taker:
    """A process that taps when it is told to, and what came of its taps."""

    def __init__(self, number: int, *, makes: str, ports: Sequence[int]) -> None:
        self.name = f"taker{number}"
        self.was_issued: dict[str, bool] = {}
        call = [sys.executable, str(Path(__file__).resolve()), "--taker", self.name]
        if ports:
            call += ["--port", str(ports[number % len(ports)]), "--address", f"127.0.0.{number + 2}"]
        environment = {**os.environ, **SETTINGS, "DATABASE_URL": makes, "SECRET_KEY": os.environ.get("SECRET_KEY", "x")}
        pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
        self._process = subprocess.Popen(call, env=environment, cwd=ROOT, **pipes)

    def wait_for(self) -> None:
        assert self._process.stdout.readline() == "ready\n", "a taker did not start"

    def tell(self, order: dict) -> None:
        self._process.stdin.write(json.dumps(order) + "\n")
        self._process.stdin.flush()

    def answer(self):
        return json.loads(self._process.stdout.readline())

    def end(self) -> None:
        self._process.stdin.close()
        self._process.wait(timeout=60)
        self._process.stdout.close()


_ONE_AT_A_TIME = threading.Lock()


def _fights(found: Contest, fights: Iterator[tuple[int, str]], group: Sequence[_Taker]) -> None:
    while True:
        with _ONE_AT_A_TIME:
            number, tag = next(fights, (0, ""))
        if not tag:
            return
        order = {"tag": tag, "resent": number % 4 == 1, "returned": number % 4 == 3, "page": number % 25 == 0}
        for hand in group:
            hand.tell(order)
        answers = [hand.answer() for hand in group]
        with _ONE_AT_A_TIME:
            _note(found, answers, returned=order["returned"])
        for hand, answer in zip(group, answers, strict=True):
            if not answer["error"]:
                hand.was_issued[tag] = answer["issued"]


def _note(found: Contest, answers: Sequence[dict], *, returned: bool) -> None:
    found.waits += [answer["seconds"] for answer in answers]
    found.errors += [answer["error"] for answer in answers if answer["error"]]
    holders = sum(answer["issued"] for answer in answers)
    # Where it is returned at once, a second one may rightly have it after the first.
    found.doubly_issued += holders > 1 and not returned
    found.issued_to_nobody += holders == 0
    found.not_told_who += sum(not (answer["issued"] or answer["told"] or answer["error"]) for answer in answers)


def _compare_with_the_book(found: Contest, hands: Sequence[_Taker]) -> None:
    """Whoever was told to have got a piece has one loan of it, and whoever was told another's name has none."""
    for hand in hands:
        hand.tell({})
        loans = dict(hand.answer())
        found.loans_too_many += sum(count > 1 for count in loans.values())
        found.book_says_otherwise += sum((tag in loans) != issued for tag, issued in hand.was_issued.items())


def _take_as(name: str, port: int | None, address: str) -> None:
    """A taker: each line that comes in is one tap on one piece; an empty order asks for their loans of each piece."""
    import django

    django.setup()
    from django.conf import settings
    from django.db.models import Count

    from inventory.models import Loan, User

    settings.ALLOWED_HOSTS = ["testserver", "127.0.0.1"]
    user = User.objects.get(username=name)
    browser = _over_a_line(port, user, address) if port else _within(user)
    print("ready", flush=True)
    for line in sys.stdin:
        order = json.loads(line)
        loans = Loan.objects.filter(borrower=user).values_list("tool__tag").annotate(Count("pk"))
        print(json.dumps(_tapped(browser, **order) if order else list(loans)), flush=True)


Tap = Callable[[str, str, bool], str]
"""Taps of one person, each with its token, and what they are told; read from the page that it leads to, if wanted."""


def _tapped(tap: Tap, *, tag: str, resent: bool, returned: bool, page: bool) -> dict:
    answer = {"issued": False, "told": False, "error": ""}
    token, begun = str(uuid.uuid4()), perf_counter()
    try:
        words = tap(f"/t/{tag}/issue/", token, page)
        answer["seconds"] = perf_counter() - begun
        if resent:
            tap(f"/t/{tag}/issue/", token, page)
        answer["issued"] = f"{tag} is issued to you" in words
        answer["told"] = f"{tag} is out to " in words
        if returned and answer["issued"]:
            tap(f"/t/{tag}/return/", token, page)
    except Exception as error:  # whatever it is, it is counted and told
        answer["error"] = f"{type(error).__name__}: {error}"
        answer.setdefault("seconds", perf_counter() - begun)
    return answer


def _within(user) -> Tap:
    """Asked of the site in this process."""
    from django.contrib.messages import get_messages
    from django.test import Client

    browser = Client()
    browser.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    browser.get("/mine/")

    def tap(address: str, token: str, page: bool) -> str:
        answer = browser.post(address, {"token": token})
        if answer.status_code != 302:
            raise RuntimeError(f"{address} answered {answer.status_code}")
        return " ".join(str(message) for message in get_messages(answer.wsgi_request))

    return tap


def _over_a_line(port: int, user, at: str) -> Tap:
    """Asked of a server."""
    from served import Browser

    browser = Browser(port, user, address=at)
    browser.get("/mine/")

    def tap(address: str, token: str, page: bool) -> str:
        status, words = browser.post(address, {"token": token}, follow=page)
        if status != (200 if page else 302):
            raise RuntimeError(f"{address} led to {status}")
        return words if page else browser.messages()

    return tap


if __name__ == "__main__":
    main()
