"""The log of who did what: one line of JSON for each act, sign-in and refusal, in a file beside the book, no secrets.

A line has the time, the person, the address of the device, the act, on what, and the outcome. What was typed is not in
it: a password may have been typed where a name belongs.
"""

from __future__ import annotations

import json
import logging
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.contrib.auth.signals import user_logged_in, user_logged_out, user_login_failed
from django.db import DatabaseError
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from inventory.measures.signs import shown
from shop.journal import logs

MOST_BYTES, FILES = 5 * 1024 * 1024, 10
try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment] # there it is None
_LOGGER = logging.getLogger("gripbook.acts")
_READS = {"GET", "HEAD", "OPTIONS"}


class WhoDidWhat:
    """Middleware: writes down what changes something, and what was refused or failed."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        started = time.monotonic()
        response = self.get_response(request)
        is_refused = response.status_code >= 400 and response.status_code not in (404, 405)
        if request.method not in _READS or is_refused:
            address = request.resolver_match
            act = address.view_name if address and address.view_name else "nothing here"
            took = round((time.monotonic() - started) * 1000)
            write(request, f"{request.method} {act}", _outcome(response), on=request.path, ms=took)
        return response


def _outcome(response: HttpResponse) -> str:
    status = response.status_code
    if status < 300:
        return "answered"
    word = "done" if status < 400 else "refused" if status < 500 else "failed"
    return word if status < 400 else f"{word} {status}"


def write(request: HttpRequest | None, act: str, outcome: str, *, person: str | None = None, **more: Any) -> None:
    line = {
        "at": timezone.localtime().isoformat(timespec="milliseconds"),
        "person": person if person is not None else _person(request),
        "device": request.META.get("REMOTE_ADDR") if request is not None else None,
        "act": act[:80],
        "outcome": outcome,
        **{name: shown(value)[:200] if isinstance(value, str) else value for name, value in more.items()},
    }
    _LOGGER.info(json.dumps(line, ensure_ascii=False))


def _person(request: HttpRequest | None) -> str | None:
    """Whoever is signed in; None where nobody is, or where the book cannot say."""
    user = getattr(request, "user", None)
    try:
        return user.get_username() if user is not None and user.is_authenticated else None
    except DatabaseError:
        return None


@receiver(user_logged_in)
def _signed_in(sender: Any, request: HttpRequest, user: Any, **_signal: Any) -> None:
    write(request, "sign in", "done", person=user.get_username())


@receiver(user_logged_out)
def _signed_out(sender: Any, request: HttpRequest, user: Any, **_signal: Any) -> None:
    write(request, "sign out", "done", person=user.get_username() if user else None)


@receiver(user_login_failed)
def _not_signed_in(
    sender: Any, credentials: dict[str, Any], request: HttpRequest | None = None, **_signal: Any
) -> None:
    name = str(credentials.get("username") or "")
    known = get_user_model().objects.filter(username=name[:150]).exists()
    write(request, "sign in", "refused", person=name if known else None, known=known)


def keep_in_file() -> Path | None:
    """From here on the lines go into a file for its owner alone; None where it cannot be written."""
    path = path_of_log()
    if any(isinstance(handler, _Lines) for handler in _LOGGER.handlers):
        return path  # a process that was forked has its parent's
    try:
        os.close(os.open(path, os.O_CREAT | os.O_APPEND | os.O_WRONLY, 0o600))
        os.chmod(path, 0o600)
        handler = _Lines(path, maxBytes=MOST_BYTES, backupCount=FILES, encoding="utf-8")
    except OSError:
        return None
    _LOGGER.addHandler(handler)
    _LOGGER.setLevel(logging.INFO)
    faults = _Faults(handler)
    logging.getLogger().addHandler(faults)
    return path


def path_of_log() -> Path:
    """Beside the book where that is a file, else in the project's folder."""
    name = settings.DATABASES["default"]["NAME"]
    is_file = settings.DATABASES["default"]["ENGINE"].endswith("sqlite3")
    return (
        Path(name).absolute().with_name("gripbook-log.jsonl") if is_file else settings.BASE_DIR / "gripbook-log.jsonl"
    )


class _Lines(RotatingFileHandler):
    """Where the disk is full, a line is lost and the work goes on.

    Several processes write into one file: a line is added in one piece, and only one of them begins the next file.
    """

    def _open(self) -> Any:
        return open(self.baseFilename, "a", encoding="utf-8", opener=_open_for_its_owner)

    def shouldRollover(self, record: logging.LogRecord) -> bool:
        if not self._is_the_file():
            self._open_again()
        return bool(super().shouldRollover(record))

    def doRollover(self) -> None:
        with _one_at_a_time(f"{self.baseFilename}.lock"):
            if self._is_the_file():
                super().doRollover()
            else:  # another process was quicker
                self._open_again()

    def _open_again(self) -> None:
        if self.stream:
            self.stream.close()
        self.stream = self._open()

    def _is_the_file(self) -> bool:
        if not self.stream:
            return False
        try:
            there, ours = os.stat(self.baseFilename), os.fstat(self.stream.fileno())
        except OSError:
            return False
        return (there.st_dev, there.st_ino) == (ours.st_dev, ours.st_ino)

    def handleError(self, record: logging.LogRecord) -> None:
        pass


def _open_for_its_owner(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


@contextmanager
def _one_at_a_time(lock: str) -> Iterator[None]:
    if fcntl is None:  # on Windows one process serves
        yield
        return
    with open(lock, "w", opener=_open_for_its_owner) as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


class _Faults(logging.Handler):
    """Warnings and errors of the server itself, as lines of the same file."""

    def __init__(self, lines: logging.Handler) -> None:
        super().__init__(logging.WARNING)
        self._lines = lines
        self._traces = logging.Formatter()

    def emit(self, record: logging.LogRecord) -> None:
        line = {"at": timezone.localtime().isoformat(timespec="milliseconds"), "act": record.name}
        line["outcome"] = logs.message_line(record)
        if logs.is_fault(record) and record.exc_info:
            line["trace"] = self._traces.formatException(record.exc_info)
        self._lines.emit(logging.makeLogRecord({"msg": json.dumps(line, ensure_ascii=False), "levelno": logging.INFO}))
