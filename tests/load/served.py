"""`manage.py serve` for a run, and what a browser needs to ask it."""

from __future__ import annotations

import http.client
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parent.parent.parent
CSRF = "x" * 32
BACKEND = "django.contrib.auth.backends.ModelBackend"


@contextmanager
def serving(
    url: str,
    *,
    workers: int = 1,
    log: object = subprocess.DEVNULL,
    through: Sequence[str] = (),
    **environment: str,
) -> Iterator[Served]:
    """A host's worth of processes at the database of this address; waited for, and ended with the block.

    `through` is a command that runs the rest of its words.
    """
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    call = [*through, sys.executable, "manage.py", "serve", "--host", "127.0.0.1", "--port", str(port)]
    call += ["--workers", str(workers)]
    process = subprocess.Popen(
        call, cwd=ROOT, env={**os.environ, **environment, "DATABASE_URL": url}, stdout=log, stderr=log
    )
    served = Served(process, port)
    try:
        served.wait_for()
        yield served
    finally:
        process.terminate()
        process.wait()


class Served:
    def __init__(self, process: subprocess.Popen, port: int) -> None:
        self.process, self.port = process, port

    def wait_for(self) -> None:
        for _ in range(600):
            try:
                line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
                line.request("GET", "/health")
                line.getresponse().read()
                return
            except (OSError, http.client.HTTPException):
                if self.process.poll() is not None:
                    break
                time.sleep(0.1)
        sys.exit("the server did not start")

    def processes(self) -> list[int]:
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
        return [self.process.pid, *map(int, children)]

    def megabytes(self) -> float:
        """Of memory, at the most, of all processes so far (Linux)."""
        found = 0
        for pid in self.processes():
            found += int(re.search(r"VmHWM:\s+(\d+) kB", Path(f"/proc/{pid}/status").read_text())[1])
        return found / 1024


class Browser:
    """Signed in as somebody, on a line that stays open."""

    def __init__(
        self, port: int, user=None, *, cookie: str = "", address: str = "127.0.0.1", timeout: float = 60
    ) -> None:
        self._line = http.client.HTTPConnection("127.0.0.1", port, timeout=timeout, source_address=(address, 0))
        self._host = f"127.0.0.1:{port}"
        self._cookies = [cookie_of(user) if user is not None else cookie]
        self._messages = ""

    def get(self, address: str) -> tuple[int, str]:
        return self._ask("GET", address)

    def post(self, address: str, sends: dict, *, follow: bool = False) -> tuple[int, str]:
        """The answer; of the page that it leads to where that is asked for."""
        body = urlencode({**sends, "csrfmiddlewaretoken": CSRF}, doseq=True)
        status, words = self._ask("POST", address, body, {"Content-Type": "application/x-www-form-urlencoded"})
        return self.get(words) if follow and status == 302 else (status, words)

    def messages(self) -> str:
        """What the next page would say first; it is not asked for any more then."""
        from django.contrib.messages.storage.cookie import CookieStorage
        from django.http import HttpRequest, parse_cookie

        request = HttpRequest()
        request.COOKIES, self._messages = parse_cookie(self._messages), ""
        return " ".join(str(message) for message in CookieStorage(request))

    def _ask(self, method: str, address: str, body=None, headers=None) -> tuple[int, str]:
        for is_last in (False, True):
            try:
                cookie = "; ".join([*self._cookies, *([self._messages] if self._messages else [])])
                self._line.request(method, address, body, {"Host": self._host, "Cookie": cookie, **(headers or {})})
                answer = self._line.getresponse()
                break
            except (http.client.RemoteDisconnected, ConnectionResetError, BrokenPipeError):
                self._line.close()  # it was idle for so long that the server ended it
                if is_last:
                    raise
        text = answer.read().decode("utf-8", "replace")
        for name, value in answer.getheaders():
            if name.lower() == "set-cookie" and value.startswith("messages="):
                self._messages = "" if "Max-Age=0" in value else value.partition(";")[0]
        return answer.status, answer.getheader("Location") if answer.status == 302 else text

    def close(self) -> None:
        self._line.close()


def cookie_of(user) -> str:
    """A session of theirs, with the token of its forms."""
    from django.conf import settings
    from django.test import Client

    browser = Client(SERVER_NAME="127.0.0.1")
    browser.force_login(user, backend=BACKEND)
    session = browser.cookies[settings.SESSION_COOKIE_NAME].value
    return f"{settings.SESSION_COOKIE_NAME}={session}; {settings.CSRF_COOKIE_NAME}={CSRF}"
