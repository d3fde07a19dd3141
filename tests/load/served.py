"""What an answer page costs over a bare page as the shop gets it: by the everyday server, in requests a second.

A part of `finder.py`. The server is a process of its own with its usual threads; this one is its browsers, which ask
over connections that stay open and always have a question waiting. Kinds of pages and sizes of crib take turns within
a round; each figure is the median of the rounds.
"""

from __future__ import annotations

import os
import selectors
import socket
import statistics
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from itertools import cycle
from pathlib import Path
from time import perf_counter
from urllib.parse import urlencode

import told

ROOT = Path(__file__).resolve().parent.parent.parent
BROWSERS, ROUNDS, REQUESTS = 4, 15, 100
QUESTIONS = 1200
"""Each thread of the server keeps 64 answers: with so many in turn, none is asked twice of what is kept."""
MUSTS = {
    "answer page": 3,
    "JSON": 3,
    "answer page again": 1.5,
    "JSON again": 1.5,
}
_SERVE = """
import logging, sys
import django
django.setup()
from django.conf import settings
settings.ROOT_URLCONF = "bare"
logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # that browsers wait for each other is meant here
from shop import serving
server = serving.listen("127.0.0.1", int(sys.argv[1]))
print("ready", flush=True)
server.run()
"""


def tell(cribs, sizes: list[int]) -> None:
    """Serve each of the cribs, ask, and print the ratios."""
    asked = _questions(cribs, sizes[-1])
    with ExitStack() as servers:
        browsers = {size: servers.enter_context(_served(cribs, size)) for size in sizes}
        addresses = {(size, kind): cycle(paths) for size in sizes for kind, paths in asked.items()}
        rounds = [_round(browsers, addresses) for _ in range(ROUNDS + 1)][1:]  # the first makes everything warm
    print(f"served, {BROWSERS} browsers, {ROUNDS} rounds of {REQUESTS} requests each, in requests a second:")
    for size in sizes:
        for kind, must in MUSTS.items():
            told.tell(f"bare page / {kind}, at {size:,}", told.over(rounds, (size, kind), (size, "bare")), must)
        worst = told.over(rounds, (size, "answer page", "p99"), (size, "bare", "p99"))
        told.tell(f"wait for an answer page / for a bare page, p99, at {size:,}", worst, 4)
        rates = ", ".join(
            f"{kind} {1 / statistics.median(found[size, kind] for found in rounds):.0f}" for kind in asked
        )
        print(f"    a second at {size:,}: {rates}")


def _round(browsers: dict, addresses: dict) -> dict:
    """Seconds for each request, and how long one waited at p99, by crib and kind of page."""
    found = {}
    for (size, kind), paths in addresses.items():
        waits, took = browsers[size].ask(paths, REQUESTS)
        found[size, kind], found[size, kind, "p99"] = took / len(waits), told.percentile(waits, 99)
    return found


def _questions(cribs, largest: int) -> dict[str, list[str]]:
    """The addresses of each kind of page; of the answers those that a collet gives."""
    import invented

    from fitfinder.find.question import Question

    cribs.open(largest)
    texts = {tuple(sorted(texts.items())): texts for texts in invented.questions(2 * QUESTIONS)}
    held = [texts for texts in texts.values() if Question.from_texts(texts).answer().is_held][:QUESTIONS]
    assert len(held) > 800, f"only {len(held)} different questions"
    answers, json = ([f"{path}?{urlencode(texts)}" for texts in held] for path in ("/", "/find.json"))
    return {
        "bare": ["/bare"],
        "answer page": answers,
        "JSON": json[len(json) // 2 :] + json[: len(json) // 2],  # not what the pages have just asked
        "answer page again": answers[:1],
        "JSON again": json[:1],
    }


@contextmanager
def _served(cribs, size: int) -> Iterator[Browsers]:
    cookie = cribs.signed_in(size)
    port = _free_port()
    environ = {**os.environ, "DATABASE_URL": cribs.urls[size]}
    environ["PYTHONPATH"] = os.pathsep.join([str(ROOT), str(Path(__file__).resolve().parent)])
    call = [sys.executable, "-c", _SERVE, str(port)]
    with subprocess.Popen(call, cwd=ROOT, env=environ, stdout=subprocess.PIPE, text=True) as server:
        try:
            if server.stdout.readline() != "ready\n":
                sys.exit("the server did not start")
            with Browsers(port, cookie) as browsers:
                yield browsers
        finally:
            server.terminate()


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as held:
        return held.getsockname()[1]


class Browsers:
    """So many connections to one server, kept open."""

    def __init__(self, port: int, cookie: str) -> None:
        self._sockets = [socket.create_connection(("127.0.0.1", port)) for _ in range(BROWSERS)]
        for each in self._sockets:
            each.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._rest = f" HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nAccept-Encoding: gzip\r\n\r\n".encode()

    def __enter__(self) -> Browsers:
        return self

    def __exit__(self, *_) -> None:
        for each in self._sockets:
            each.close()

    def ask(self, addresses: Iterator[str], how_many: int) -> tuple[list[float], float]:
        """How long each request waited, and how long all took, in seconds."""
        waits, sent = [], 0
        begun_at = {}
        with selectors.DefaultSelector() as selector:
            start = perf_counter()
            for each in self._sockets:
                selector.register(each, selectors.EVENT_READ)
                begun_at[each] = self._send(each, next(addresses))
                sent += 1
            while len(waits) < how_many:
                for key, _ in selector.select():
                    each = key.fileobj
                    _receive(each)
                    waits.append(perf_counter() - begun_at[each])
                    if sent < how_many:
                        begun_at[each] = self._send(each, next(addresses))
                        sent += 1
            took = perf_counter() - start
        return waits, took

    def _send(self, connection: socket.socket, address: str) -> float:
        begun = perf_counter()
        connection.sendall(b"GET " + address.encode() + self._rest)
        return begun


def _some(connection: socket.socket) -> bytes:
    received = connection.recv(65536)
    if not received:
        raise RuntimeError("the server closed the connection")
    return received


def _receive(connection: socket.socket) -> None:
    """Read one whole response."""
    received = b""
    while b"\r\n\r\n" not in received:
        received += _some(connection)
    head, _, body = received.partition(b"\r\n\r\n")
    lines = head.lower().split(b"\r\n")
    if not lines[0].startswith(b"http/1.1 200"):
        raise RuntimeError(f"the server answered {head[:200]!r}")
    length = next(int(line.partition(b":")[2]) for line in lines if line.startswith(b"content-length:"))
    while len(body) < length:
        body += _some(connection)
