"""A server of one crib, as a shop runs it, and a client that counts how many requests a second it answers."""

from __future__ import annotations

import http.client
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

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
    """Where the server listens, and what its processor spends on what it is asked."""

    def __init__(self, port: int, cookie: str) -> None:
        self._connection = _Connection(port, cookie)

    def seconds(self, addresses: Sequence[str]) -> float:
        """Of the server's processor for one request, the mean; RuntimeError where one is not answered."""
        before = self._spent()
        for address in addresses:
            self._connection.ask(address)
        return (self._spent() - before) / len(addresses)

    def _spent(self) -> float:
        return float(self._connection.ask("/spent"))


class _Connection:
    """Kept open, as a browser keeps its own."""

    def __init__(self, port: int, cookie: str) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port)
        self._headers = {"Cookie": cookie, "Accept-Encoding": "gzip"}

    def ask(self, address: str) -> bytes:
        self._connection.request("GET", address, headers=self._headers)
        answer = self._connection.getresponse()
        body = answer.read()
        if answer.status != 200:
            raise RuntimeError(f"{address} answered {answer.status}")
        return body
