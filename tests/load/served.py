"""A server of one crib, as a shop runs it, and a client that counts how many requests a second it answers."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parent.parent.parent
CLIENTS = 2
"""Connections that ask at once, each kept open."""
_SERVE = """
import django
from django.conf import settings
django.setup()
settings.ROOT_URLCONF = "bare"
from shop import serving
server = serving.listen("127.0.0.1", 0)
print(server.effective_port, flush=True)
server.run()
"""


@contextmanager
def site(url: str, cookie: str) -> Iterator[Site]:
    """The everyday server over this database, with `/bare` beside its pages, asked as the person of this cookie."""
    paths = os.pathsep.join([str(ROOT), str(Path(__file__).resolve().parent)])
    environment = {**os.environ, "DATABASE_URL": url, "PYTHONPATH": paths}
    with subprocess.Popen([sys.executable, "-c", _SERVE], cwd=ROOT, env=environment, stdout=subprocess.PIPE) as server:
        try:
            yield Site(int(server.stdout.readline()), cookie)
        finally:
            server.terminate()


class Site:
    """Where the server listens."""

    def __init__(self, port: int, cookie: str) -> None:
        self._connections = [_Connection(port, cookie) for _ in range(CLIENTS)]

    def seconds(self, addresses: Sequence[str]) -> list[float]:
        """How long each of these took, asked over all connections at once; RuntimeError where one is not answered."""
        parts = [addresses[start::CLIENTS] for start in range(CLIENTS)]
        with ThreadPoolExecutor(CLIENTS) as threads:
            took = threads.map(_Connection.seconds, self._connections, parts)
            return [seconds for those in took for seconds in those]

    def rate(self, addresses: Sequence[str]) -> float:
        """Requests answered a second."""
        start = perf_counter()
        self.seconds(addresses)
        return len(addresses) / (perf_counter() - start)


class _Connection:
    """Asks with as little work of its own as can be: on a small machine the client takes from the server's time."""

    def __init__(self, port: int, cookie: str) -> None:
        self._socket = socket.create_connection(("127.0.0.1", port))
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        self._rest = f" HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nAccept-Encoding: gzip\r\n\r\n"

    def seconds(self, addresses: Sequence[str]) -> list[float]:
        took = []
        for address in addresses:
            start = perf_counter()
            self._ask(address)
            took.append(perf_counter() - start)
        return took

    def _ask(self, address: str) -> None:
        self._socket.sendall(f"GET {address}{self._rest}".encode())
        found = b""
        while b"\r\n\r\n" not in found:
            found += self._more(address)
        head, _, body = found.partition(b"\r\n\r\n")
        if not head.startswith(b"HTTP/1.1 200"):
            raise RuntimeError(f"{address} answered {head[:40]!r}")
        length = int(head.lower().partition(b"content-length:")[2].split(b"\r\n", 1)[0])
        while len(body) < length:
            body += self._more(address)

    def _more(self, address: str) -> bytes:
        received = self._socket.recv(65536)
        if not received:
            raise RuntimeError(f"the server hung up on {address}")
        return received
