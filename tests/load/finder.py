"""What an answer costs in a large crib, and every page of the demo, told as ratios of one run.

Run by hand: `python tests/load/finder.py [--most 20000] [--questions 60] [--rounds 3]`. DATABASE_URL chooses SQLite (a
file in a temporary folder where it is not set) or PostgreSQL; the databases of a run are made beside the one that is
named, and taken away. What is compared takes turns, and each figure is the median of the rounds.
"""

from __future__ import annotations

import argparse
import os
import platform
import signal
import statistics
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time

ROOT = Path(__file__).resolve().parent.parent.parent
HEAVY = ("pint", "numpy", "scipy")
_ANSWER_ONCE = """
import sys
from django.test import RequestFactory
from shop.wsgi import application
environ = RequestFactory().get("/", {"size": ".7485"}, HTTP_COOKIE=sys.argv[1], SERVER_NAME="localhost").environ
page = b"".join(application(environ, lambda status, headers: None))
assert b"7485" in page and b"sign-out" in page, page[:500]
print(",".join(name for name in sys.argv[2].split(",") if name in sys.modules))
"""


def main() -> None:
    wanted = _arguments()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    sys.path[:0] = [str(Path(__file__).resolve().parent), str(ROOT)]
    import cribs
    import django

    django.setup()
    from tests import walking
    from tests.demo_book import DemoBook

    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    sizes = [size for size in (1_000, 20_000, 100_000) if size <= wanted.most]
    starts = []

    def demo() -> None:
        DemoBook().put_in_place()
        starts.extend(walking.starts())

    try:
        with cribs.made(sizes, demo=demo) as made:
            Run(made, sizes, wanted.questions, wanted.rounds).tell_all(starts)
    except cribs.InUse as error:
        sys.exit(str(error))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--most", type=int, default=20_000, help="pieces of the largest crib, to 100000")
    parser.add_argument("--questions", type=int, default=60)
    parser.add_argument("--rounds", type=int, default=3)
    return parser.parse_args()


class Run:
    """One run over all cribs; `tell_...` measures and prints."""

    def __init__(self, cribs, sizes: list[int], how_many: int, rounds: int) -> None:
        import invented
        from django.conf import settings

        from fitfinder.find.question import Question
        from shop.wsgi import application

        settings.ROOT_URLCONF = "bare"
        self.cribs, self.sizes, self.rounds = cribs, sizes, rounds
        self.texts = invented.questions(how_many)
        self.questions = [Question.from_texts(texts) for texts in self.texts]
        self.application = application
        self.cookies = {name: self._signed_in(name) for name in cribs.urls}

    def tell_all(self, starts: list[str]) -> None:
        self.tell_where()
        self.tell_finder()
        self.tell_pages()
        self.tell_queries()
        self.tell_demo(starts)
        self.tell_start()

    def tell_where(self) -> None:
        from django.db import connection

        print(
            f"{connection.vendor}, Python {platform.python_version()}, {os.cpu_count()} cores; "
            f"{len(self.questions)} questions, {self.rounds} rounds"
        )

    def tell_finder(self) -> None:
        """The answer alone, without its page."""
        took = {size: [] for size in self.sizes}
        for _ in range(self.rounds):
            now = {size: [] for size in self.sizes}
            for question in self.questions:
                for size in self.sizes:
                    self.cribs.open(size)
                    now[size].append(_seconds(question.answer))
            for size in self.sizes:
                took[size].append(statistics.median(now[size]))
        for size, most in zip(self.sizes[1:], (3, 12), strict=False):
            tell(f"finder, p50 at {size:,} / at 1,000", over(took, size, self.sizes[0]), most)
        for size in self.sizes:
            self.cribs.open(size)
            pieces = statistics.median(len(_collets(question)) for question in self.questions)
            middle = statistics.median(took[size]) * 1000
            print(f"    at {size:,}: p50 {middle:.2f} ms, {pieces:.0f} pieces of the sizes that overlap")

    def tell_pages(self) -> None:
        """As the shop gets them, signed in, but for the server; each asked for the first time."""
        for size in self.sizes:
            asked = {
                "bare": ("/bare", {}),
                "answer": ("/", None),
                "JSON": ("/find.json", None),
                "plan": ("/plan/", None),
            }
            took = {kind: [] for kind in asked}
            for _ in range(self.rounds):
                now = {kind: [] for kind in asked}
                for texts in self.texts:
                    for kind, (path, fixed) in asked.items():
                        now[kind].append(self._seconds_of(size, path, texts if fixed is None else fixed))
                for kind in asked:
                    took[kind].append(statistics.median(now[kind]))
            tell(f"answer page / bare page, at {size:,}", over(took, "answer", "bare"), 5)
            tell(f"JSON / bare page, at {size:,}", over(took, "JSON", "bare"))
            tell(f"plan / answer page, at {size:,}", over(took, "plan", "answer"), 6)
            print(f"    bare page {statistics.median(took['bare']) * 1000:.2f} ms")

    def tell_queries(self) -> None:
        self.cribs.open(self.sizes[-1])
        asked = [_queries(question.answer) for question in self.questions]
        tell("queries of an answer, the median", statistics.median(asked), 5)
        tell("queries of an answer, the most", max(asked), 8)

    def tell_demo(self, starts: list[str]) -> None:
        """Every page of the demo, by the links that lead there."""
        from django.test import Client

        from inventory.models import User
        from tests import walking

        self.cribs.open("demo")
        client = Client(SERVER_NAME="localhost")
        client.force_login(User.objects.get(username="administrator"), backend=_BACKEND)
        pages = [visit.address for visit in walking.walk(client, starts) if visit.page is not None]
        ratios = {}
        for address in pages:
            took = {"bare": [], "page": []}
            for _ in range(max(5, self.rounds)):
                took["bare"].append(self._seconds_of("demo", "/bare", {}))
                took["page"].append(self._seconds_of("demo", address, {}))
            ratios[address] = over(took, "page", "bare")
        slow = sorted(ratios, key=ratios.get)[::-1]
        tell(f"the slowest of {len(pages)} pages of the demo / bare page", ratios[slow[0]], 15)
        print(f"    the median {statistics.median(ratios.values()):.1f}; slowest: ")
        for address in slow[:8]:
            print(f"    {ratios[address]:5.1f}  {address}")

    def tell_start(self) -> None:
        rounds = [
            {
                "bare": _seconds(self._run, "-c", "import django; django.setup()", clock=_spent_by_children),
                "check": _seconds(self._run, "manage.py", "check", clock=_spent_by_children),
            }
            for _ in range(max(5, self.rounds))
        ]
        took = {name: [found[name] for found in rounds] for name in rounds[0]}
        tell("manage.py check / bare django.setup(), whole process", over(took, "check", "bare"), 2)
        loaded = self._run("-c", _ANSWER_ONCE, self.cookies[self.sizes[0]], ",".join(HEAVY)).decode().strip()
        tell(f"of {', '.join(HEAVY)} loaded by an answer page", len(loaded.split(",")) if loaded else 0, 0)

    def _signed_in(self, name: int | str) -> str:
        """The cookies of a browser in which somebody of this crib signed in."""
        from django.conf import settings
        from django.test import Client

        from inventory.models import User

        self.cribs.open(name)
        client = Client()
        who = "administrator" if name == "demo" else "asker"
        client.force_login(User.objects.get(username=who), backend=_BACKEND)
        # The page that people sign in on gives their browser the second cookie too.
        cookies = {settings.SESSION_COOKIE_NAME: client.cookies[settings.SESSION_COOKIE_NAME].value}
        cookies[settings.CSRF_COOKIE_NAME] = "c" * 32
        return "; ".join(f"{key}={value}" for key, value in cookies.items())

    def _seconds_of(self, name: int | str, path: str, texts: dict[str, str]) -> float:
        from django.test import RequestFactory

        self.cribs.open(name)
        headers = {"HTTP_COOKIE": self.cookies[name], "HTTP_ACCEPT_ENCODING": "gzip", "SERVER_NAME": "localhost"}
        return _seconds(self._page, RequestFactory().get(path, texts or None, **headers).environ)

    def _page(self, environ: dict) -> None:
        response = self.application(environ, lambda status, headers: None)
        b"".join(response)
        response.close()

    def _run(self, *arguments: str) -> bytes:
        environ = {**os.environ, "DATABASE_URL": self.cribs.urls[self.sizes[0]], "PYTHONPATH": str(ROOT)}
        # Python keeps what it compiled, unless this forbids it: then most of a start is compiling it all anew.
        environ.pop("PYTHONDONTWRITEBYTECODE", None)
        command = [sys.executable, *arguments]
        return subprocess.run(command, cwd=ROOT, env=environ, check=True, stdout=subprocess.PIPE).stdout


_BACKEND = "django.contrib.auth.backends.ModelBackend"


def _collets(question) -> tuple:
    from fitfinder import crib

    return crib.crib_now(question.stock()).collets


def _queries(call: Callable[[], object]) -> int:
    from django.db import connection

    asked = []

    def counting(execute, sql, parameters, many, context):
        asked.append(sql)
        return execute(sql, parameters, many, context)

    with connection.execute_wrapper(counting):
        call()
    return len(asked)


def _seconds(call: Callable, *arguments, clock: Callable[[], float] | None = None) -> float:
    """Of the processor with SQLite, where all work is done in this process: other work does not disturb it."""
    from django.db import connection

    clock = clock or (process_time if connection.vendor == "sqlite" else perf_counter)
    start = clock()
    call(*arguments)
    return clock() - start


def _spent_by_children() -> float:
    """Of the processor, by the processes that this one ran and waited for."""
    spent = os.times()
    return spent.children_user + spent.children_system


def over(took: dict, these, those) -> float:
    """One figure over another of the same round: the median of the rounds."""
    return statistics.median(one / other for one, other in zip(took[these], took[those], strict=True))


def tell(what: str, measured: float, most: float | None = None) -> None:
    """One line: what, its ratio, the most that it may be, met or not."""
    met = "" if most is None else f"at most {most:g}  {'met' if measured <= most else 'NOT MET'}"
    print(f"{what:<66} {measured:8.2f}  {met}", flush=True)


if __name__ == "__main__":
    main()
