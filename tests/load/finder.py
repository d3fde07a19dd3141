"""How the finder's cost grows with the crib, told as ratios of one run.

Run by hand: `python tests/load/finder.py [--most 1000000] [--questions 200] [--rounds 3] [--keep FOLDER]`.
DATABASE_URL chooses SQLite (a file in a temporary folder, or in FOLDER, where it is not set) or PostgreSQL; the
databases of a run are made beside the one that is named, and taken away, or with `--keep` left for the next run.
Candidates take turns within a round; each figure is the median of the rounds.
"""

from __future__ import annotations

import argparse
import gzip
import os
import platform
import signal
import sqlite3
import statistics
import subprocess
import sys
from functools import cache
from pathlib import Path
from time import perf_counter, process_time

import served
from told import over, percentile, tell

ROOT = Path(__file__).resolve().parent.parent.parent
HEAVY = ("pint", "numpy", "scipy", "pandas")
ANSWERS = ("answer", "page", "json")
"""What is kept of a question that was asked before. It is forgotten here before every question but those again."""

_ANSWER_ONCE = """
import sys
from django.test import RequestFactory
from shop.wsgi import application
environ = RequestFactory().get("/", {"size": ".7485"}, HTTP_COOKIE=sys.argv[1], SERVER_NAME="localhost").environ
page = b"".join(application(environ, lambda status, headers: None))
assert b".7485" in page and b"sign-out" in page, page[:500]
print(",".join(name for name in sys.argv[2].split(",") if name in sys.modules))
"""
_NAIVE_SQL = """SELECT t.id, t.tag, s.nominal FROM inventory_tool t JOIN inventory_size s ON s.id = t.size_id
    WHERE s.shape = %(shape)s AND s.clamps_from <= %(smallest)s AND s.clamps_to >= %(largest)s
    AND t.condition IN ('good', 'worn') AND t.missing_since IS NULL AND t.retired_at IS NULL
    AND NOT EXISTS (SELECT 1 FROM inventory_loan l WHERE l.tool_id = t.id AND l.returned_at IS NULL)
    ORDER BY ABS(s.nominal - (%(smallest)s + %(largest)s) / 2), t.condition, t.tir LIMIT 10"""
_FLAT_SQL = """SELECT t.id, s.shape, s.clamps_from, s.clamps_to, s.nominal FROM inventory_tool t
    JOIN inventory_size s ON s.id = t.size_id WHERE t.condition IN ('good', 'worn') AND t.missing_since IS NULL"""


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
    sizes = [size for size in (10**3, 10**4, 10**5, 10**6) if size <= wanted.most]
    try:
        with cribs.kept(sizes, wanted.keep) if wanted.keep else cribs.made(sizes) as made:
            Run(made, sizes, wanted.questions, wanted.rounds).tell_all()
    except cribs.InUse as error:
        sys.exit(str(error))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--most", type=int, default=10**6, help="pieces of the largest crib, 1 000 to 1 000 000")
    parser.add_argument("--questions", type=int, default=200)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--keep", metavar="FOLDER", help="leave the databases there and take them up again")
    wanted = parser.parse_args()
    if wanted.most < 1000 or wanted.questions < 20 or wanted.rounds < 3:
        parser.error("--most is at least 1000, --questions at least 20, --rounds at least 3")
    return wanted


class Run:
    """One run over all cribs; `tell_...` measures and prints."""

    def __init__(self, cribs, sizes: list[int], how_many: int, rounds: int) -> None:
        import invented
        from django.conf import settings

        from fitfinder.find.question import Question
        from shop.wsgi import application

        self.cribs, self.sizes, self.rounds = cribs, sizes, rounds
        self.small, self.large = sizes[0], sizes[-1]
        self.texts = invented.questions(how_many)
        self.questions = [Question.from_texts(texts) for texts in self.texts]
        settings.ROOT_URLCONF = "bare"
        self.handler = application
        self.cookies = {}
        for size in sizes:
            self.cookies[size] = cribs.signed_in(size)

    def tell_all(self) -> None:
        self._tell_where()
        self.tell_finder()
        self.tell_rivals()
        self.tell_pages()
        self.tell_served()
        self.tell_answer()
        self.tell_start()

    def _tell_where(self) -> None:
        import django
        from django.db import connection

        version = sqlite3.sqlite_version
        if connection.vendor == "postgresql":
            version = f"{connection.pg_version // 10000}.{connection.pg_version % 10000}"
        print(
            f"N {', '.join(f'{size:,}' for size in self.sizes)}; "
            f"{len(self.questions)} questions, {self.rounds} rounds\n"
            f"{connection.vendor} {version}, Python {platform.python_version()}, Django {django.__version__}, "
            f"{os.cpu_count()} cores, {'processor' if _clock() is process_time else 'elapsed'} time"
        )

    def tell_finder(self) -> None:
        rounds = [self._finder_round() for _ in range(self.rounds)]
        for size in self.sizes[1:]:
            goal = 1.5 if size == 10**6 else None
            tell(f"finder, p50 at {size:,} / at {self.small:,}", over(rounds, (size, 50), (self.small, 50)), goal)
            tell(f"finder, p95 at {size:,} / at {self.small:,}", over(rounds, (size, 95), (self.small, 95)), goal)
        if self.large > 10**4:
            tell(f"finder, p50 at {self.large:,} / at 10,000", over(rounds, (self.large, 50), (10**4, 50)))
        worst = over(rounds, (self.large, 95), (self.small, 50))
        tell(f"finder, p95 at {self.large:,} / p50 at {self.small:,}", worst, 3)
        for size in self.sizes:
            self.cribs.open(size)
            rows = statistics.median(len(_rows_of(question)) for question in self.questions)
            middle = statistics.median(found[size, 50] for found in rounds) * 1000
            print(f"    at {size:,}: p50 {middle:.2f} ms, {rows:.0f} rows fetched")

    def _finder_round(self) -> dict:
        took = {size: [] for size in self.sizes}
        for question in self.questions:
            for size in self.sizes:
                self.cribs.open(size)
                took[size].append(_seconds_anew(question.answer))
        return {(size, at): percentile(times, at) for size, times in took.items() for at in (50, 95)}

    def tell_rivals(self) -> None:
        """Other ways to the same ten pieces, over our query with its rows."""
        for size in (size for size in self.sizes if size >= 10**5 or size == self.large):
            self.cribs.open(size)
            rivals = {"ours": _rows_of, "answer": lambda question: question.answer(), "naive SQL": _naive()}
            rivals |= _pandas_filter() | {"ten rows by key": _ten_rows()}
            rounds = [self._rivals_round(rivals) for _ in range(self.rounds)]
            tell(f"query and rows / ten rows by key, at {size:,}", over(rounds, "ours", "ten rows by key"), 10)
            tell(f"naive SQL / query and rows, at {size:,}", over(rounds, "naive SQL", "ours"), least=1)
            tell(f"naive SQL / whole answer, at {size:,}", over(rounds, "naive SQL", "answer"))
            if "pandas" not in rivals:
                print("pandas is not installed: its filter was left out")
                continue
            least = {10**5: 15, 10**6: 50}.get(size)
            tell(f"pandas filter / query and rows, at {size:,}", over(rounds, "pandas", "ours"), least=least)
            tell(f"pandas filter / whole answer, at {size:,}", over(rounds, "pandas", "answer"))

    def _rivals_round(self, rivals: dict) -> dict:
        took = {name: [] for name in rivals}
        for question in self.questions:
            for name, rival in rivals.items():
                took[name].append(_seconds_anew(rival, question))
        return {name: statistics.median(times) for name, times in took.items()}

    def tell_served(self) -> None:
        served.tell(self.cribs, self.sizes)

    def tell_pages(self) -> None:
        """In this process, without a server: what the pages alone cost, which goes up and down less."""
        rounds = [self._pages_round() for _ in range(self.rounds)]
        print("in one process, without the server:")
        for size in self.sizes:
            for name in ("answer page", "JSON", "page again", "JSON again"):
                tell(f"{name} / bare page, at {size:,}", over(rounds, (size, name), (size, "bare")))
            unheld = over(rounds, (size, "unheld"), (size, "bare"))
            tell(f"page of what no collet holds / bare page, at {size:,}", unheld)
            first = over(rounds, (size, "first"), (size, "bare"))
            tell(f"first answer page after a write / bare page, at {size:,}", first)
        if self.large > 10**4:
            growth = over(rounds, (self.large, "answer page"), (10**4, "answer page"))
            tell(f"answer page at {self.large:,} / at 10,000", growth, 1.3)

    def _pages_round(self) -> dict:
        from fitfinder.find import memory

        self.cribs.open(self.large)
        held = [texts for texts, question in zip(self.texts, self.questions, strict=True) if question.answer().is_held]
        kinds = {
            "bare": [("/bare", {})] * 40,
            "answer page": [("/", texts) for texts in held[:40]],
            "JSON": [("/find.json", texts) for texts in held[:40]],
            "unheld": [("/", texts) for texts in self.texts if texts not in held][:40],
        }
        again = {"answer page": "page again", "JSON": "JSON again"}
        took = {(size, kind): [] for size in self.sizes for kind in (*kinds, *again.values(), "first")}
        for turn in range(40):
            for size in self.sizes:
                self.cribs.open(size)
                for kind, asked in kinds.items():
                    environ = self._environ(size, *asked[turn % len(asked)])
                    took[size, kind].append(_seconds_anew(self._page, environ))
                    if kind in again:
                        environ = self._environ(size, *asked[turn % len(asked)])
                        took[size, again[kind]].append(_seconds(self._page, environ))
        for turn in range(40):  # by themselves: what is forgotten is forgotten of all cribs
            for size in self.sizes:
                self.cribs.open(size)
                memory.forget()
                environ = self._environ(size, *kinds["answer page"][turn % len(held)])
                took[size, "first"].append(_seconds(self._page, environ))
        return {entry: statistics.median(times) for entry, times in took.items()}

    def _environ(self, size: int, path: str, texts: dict) -> dict:
        from django.test import RequestFactory

        headers = {"HTTP_COOKIE": self.cookies[size], "HTTP_ACCEPT_ENCODING": "gzip", "SERVER_NAME": "localhost"}
        return RequestFactory().get(path, texts, **headers).environ

    def _page(self, environ: dict) -> bytes:
        answered = []
        response = self.handler(environ, lambda status, headers: answered.append(status))
        body = b"".join(response)
        response.close()
        if not answered[0].startswith("200"):
            raise RuntimeError(f"{environ['PATH_INFO']} answered {answered[0]}")
        return body

    def tell_answer(self) -> None:
        from fitfinder.find import memory

        self.cribs.open(self.large)
        pages = [self._page(self._environ(self.large, "/", texts)) for texts in self.texts]
        pages = sorted(len(page) if page[:2] == b"\x1f\x8b" else len(gzip.compress(page)) for page in pages)
        tell("answer, kB gzipped with its CSS, the median", statistics.median(pages) / 1000, 6)
        tell("answer, kB gzipped with its CSS, the largest", pages[-1] / 1000, 6)
        memory.forget(*ANSWERS)
        asked = [_count_queries(question.answer) for question in self.questions]
        tell("queries of an answer, the median", statistics.median(asked), 4)
        tell("queries of an answer, the most", max(asked), 4)
        environ = self._environ(self.large, "/", {"size": ".7485"})
        memory.forget(*ANSWERS)
        tell("queries of an answer page with its sign-in", _count_queries(lambda: self._page(environ)))

    def tell_start(self) -> None:
        bare = [sys.executable, "-c", "import django; django.setup()"]
        check = [sys.executable, "manage.py", "check"]
        rounds = [
            {
                "bare": _seconds(self._run, bare, clock=_spent_by_children),
                "check": _seconds(self._run, check, clock=_spent_by_children),
            }
            for _ in range(max(5, self.rounds))
        ]
        tell("manage.py check / bare django.setup(), whole process", over(rounds, "check", "bare"), 2)
        loaded = self._run([sys.executable, "-c", _ANSWER_ONCE, self.cookies[self.small], ",".join(HEAVY)])
        named = [name for name in loaded.decode().strip().split(",") if name]
        tell(f"of {', '.join(HEAVY)} loaded by an answer page", len(named), 0)

    def _run(self, command: list[str]) -> bytes:
        environ = {**os.environ, "DATABASE_URL": self.cribs.urls[self.small], "PYTHONPATH": str(ROOT)}
        return subprocess.run(command, cwd=ROOT, env=environ, check=True, stdout=subprocess.PIPE).stdout


def _seconds(call, *arguments, clock=None) -> float:
    """Of the processor with SQLite, where all work is done in this process: other work does not disturb it."""
    clock = clock or _clock()
    start = clock()
    call(*arguments)
    return clock() - start


def _seconds_anew(call, *arguments) -> float:
    """As `_seconds`, of a question that nobody has asked since the last write."""
    from fitfinder.find import memory

    memory.forget(*ANSWERS)
    return _seconds(call, *arguments)


def _clock():
    from django.db import connection

    return process_time if connection.vendor == "sqlite" else perf_counter


def _spent_by_children() -> float:
    """Of the processor, by the processes that this one ran and waited for."""
    spent = os.times()
    return spent.children_user + spent.children_system


def _sought(question) -> dict:
    stock = question.stock()
    return {"shape": stock.shape, "smallest": stock.band.smallest.nm, "largest": stock.band.largest.nm, "asker": 0}


def _rows_of(question) -> list[tuple]:
    """The rows of the sizes and pieces of an answer, by the statements that it asks and as it asks them."""
    from django.db import connections

    from fitfinder import crib

    asked = _asked_of(connections["default"], question)
    return [row for sql, parameters in asked for row in crib._rows(sql, parameters)]


@cache
def _asked_of(connection, question) -> list[tuple]:
    """What the finder asks of sizes and collets over this connection, with the parameters; the rig is left out."""
    from fitfinder import crib

    asked = []

    def keeping(execute, sql, parameters, many, context):
        if "inventory_size s" in sql:
            asked.append((sql, parameters))
        return execute(sql, parameters, many, context)

    with connection.execute_wrapper(keeping):
        crib.crib_now(question.stock())
    return asked


def _fetched(sql: str, parameters) -> list[tuple]:
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute(sql, parameters)
        return cursor.fetchall()


def _naive():
    return lambda question: _fetched(_NAIVE_SQL, _sought(question))


def _ten_rows():
    ids = [row[0] for row in _fetched("SELECT id FROM inventory_tool WHERE size_id IS NOT NULL LIMIT 10", ())]
    marks = ", ".join(["%s"] * len(ids))
    return lambda question: _fetched(f"SELECT * FROM inventory_tool WHERE id IN ({marks})", ids)


def _pandas_filter() -> dict:
    try:
        import pandas
    except ImportError:
        return {}
    columns = ["id", "shape", "clamps_from", "clamps_to", "nominal"]
    frame = pandas.DataFrame(_fetched(_FLAT_SQL, ()), columns=columns)
    frame["shape"] = frame["shape"].astype("category")

    def best_ten(question):
        sought = _sought(question)
        low, high = sought["smallest"], sought["largest"]
        holds = (frame["shape"] == sought["shape"]) & (frame.clamps_from <= low) & (frame.clamps_to >= high)
        found = frame[holds]
        return found.assign(off=(found.nominal - (low + high) // 2).abs()).sort_values("off").head(10)

    return {"pandas": best_ten}


def _count_queries(call) -> int:
    from django.db import connection

    asked = []

    def counting(execute, sql, parameters, many, context):
        asked.append(sql)
        return execute(sql, parameters, many, context)

    with connection.execute_wrapper(counting):
        call()
    return len(asked)


if __name__ == "__main__":
    main()
