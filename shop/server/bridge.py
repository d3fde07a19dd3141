"""Between the server, which waits for a thousand devices at once, and the site, which answers one request in a thread.

The server speaks ASGI and the site WSGI; what is between them reads a request to its end, gives each device its turn,
and sends the answer without a thread waiting for whoever reads it.
"""

from __future__ import annotations

import io
import logging
import socket
import sys
from collections.abc import Awaitable, Callable, Iterable, Iterator
from contextlib import nullcontext
from typing import Any
from urllib.parse import unquote_to_bytes

from django.http import parse_cookie
from msgspec import Struct

from inventory.transfer.giving_way import others_first
from shop.door.slowed import COOKIE, device_in
from shop.incoming import address_of_device
from shop.server.bodies import Bodies, Body, Message, Receive, TooBig
from shop.server.lanes import LANES, lane_of, most_bytes_to
from shop.server.refusals import Refused
from shop.server.turns import Turns

Scope = dict[str, Any]
Send = Callable[[Message], Awaitable[None]]
Environ = dict[str, Any]
Headers = list[tuple[bytes, bytes]]

PIECE = 256 * 1024
"""Bytes of a long answer that are on their way at once."""
_LOG = logging.getLogger("gripbook.server")
_NAMED = {"CONTENT_TYPE", "CONTENT_LENGTH"}


class SiteAnswer(Struct):
    """What the site answered; `rest` is there where it is long, and closes what it reads from."""

    status: int
    headers: Headers
    first: bytes
    rest: Rest | None = None


class Bridge:
    """An ASGI application around a WSGI one."""

    def __init__(self, application: Callable[..., Any]) -> None:
        self._application = application
        self._bodies = Bodies()
        self._turns: dict[str, Turns] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        try:
            answer, turns = await self._answered(_environ(scope), receive)
        except Refused as refused:
            await _refuse(send, refused)
        except Exception:
            _LOG.exception("A request could not be answered.")
            await _refuse(send, Refused(500, "Something went wrong here."))
        else:
            await _send(send, answer, turns)

    async def _answered(self, environ: Environ, receive: Receive) -> tuple[SiteAnswer, Turns]:
        device = address_of_device(environ)
        path = environ["PATH_INFO"].encode("latin-1").decode("utf-8", "replace")
        body: Body | None = None
        try:
            announced = _announced(environ)
            size = 0
            if announced or "HTTP_TRANSFER_ENCODING" in environ:
                most = most_bytes_to(path)
                try:
                    body, size = await self._bodies.read(receive, announced=announced, most=most, device=device)
                except TooBig:
                    size = most + 1  # the page that says so is the site's
            environ["CONTENT_LENGTH"] = str(size)
            environ["wsgi.input"] = body or io.BytesIO()
            turns = self._turns_of(environ["REQUEST_METHOD"], path)
            async with turns.turn(_known_device(environ) or device):
                with nullcontext() if turns.is_heavy else others_first():
                    return await turns.run(lambda: self._ask(environ)), turns
        finally:
            if body:
                body.close()

    def _turns_of(self, method: str, path: str) -> Turns:
        if not self._turns:  # made where the loop is that they belong to
            self._turns = {lane.name: Turns(lane) for lane in LANES}
        return self._turns[lane_of(method, path).name]

    def _ask(self, environ: Environ) -> SiteAnswer:
        """In a thread of its lane."""
        started: list[tuple[str, list[tuple[str, str]]]] = []

        def start_response(status: str, headers: list[tuple[str, str]], exc_info: Any = None) -> None:
            started[:] = [(status, headers)]

        parts = self._application(environ, start_response)
        status, headers = started[0]
        answer = SiteAnswer(
            status=int(status[:3]),
            headers=[(name.lower().encode("latin-1"), value.strip().encode("latin-1")) for name, value in headers],
            first=b"",
        )
        rest = Rest(parts, most=PIECE if getattr(parts, "streaming", False) else None)
        answer.first = rest.next()
        if not rest.is_at_end:
            answer.rest = rest
        return answer


class Rest:
    """The parts of an answer, in pieces of about so many bytes, or in one; closed at their end."""

    def __init__(self, parts: Iterable[bytes], *, most: int | None) -> None:
        self._parts, self._most = parts, most
        self._left: Iterator[bytes] = iter(parts)
        self.is_at_end = False

    def next(self) -> bytes:
        held, size = [], 0
        try:
            for part in self._left:
                held.append(part)
                size += len(part)
                if self._most and size >= self._most:
                    return b"".join(held)
        except BaseException:
            self.close()
            raise
        self.close()
        return b"".join(held)

    def close(self) -> None:
        self.is_at_end = True
        close = getattr(self._parts, "close", None)  # PEP 3333: any iterable may have it
        if close:
            close()


def _environ(scope: Scope) -> Environ:
    client, server = scope.get("client") or ("", 0), scope.get("server") or ("localhost", 80)
    environ: Environ = {
        "REQUEST_METHOD": scope["method"],
        "SCRIPT_NAME": "",
        "PATH_INFO": unquote_to_bytes(scope["raw_path"]).decode("latin-1"),
        "QUERY_STRING": scope["query_string"].decode("latin-1"),
        "REMOTE_ADDR": client[0],
        "SERVER_NAME": socket.gethostname() if server[0] in ("0.0.0.0", "::") else server[0],
        "SERVER_PORT": str(server[1]),
        "SERVER_PROTOCOL": f"HTTP/{scope['http_version']}",
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope["scheme"],
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": True,
        "wsgi.run_once": False,
    }
    for name, value in scope["headers"]:
        text = name.decode("latin-1")
        if "_" in text:  # else X_Forwarded_For would pass for X-Forwarded-For
            continue
        key = text.upper().replace("-", "_")
        key = key if key in _NAMED else f"HTTP_{key}"
        joined = "; " if key == "HTTP_COOKIE" else ","
        value_text = value.decode("latin-1")
        environ[key] = f"{environ[key]}{joined}{value_text}" if key in environ else value_text
    if not environ.get("HTTP_HOST"):  # HTTP/1.0 knows none, and a monitor may speak that
        environ.pop("HTTP_HOST", None)
    return environ


def _known_device(environ: Environ) -> str:
    """Where somebody signed in before: a device for itself, whoever else asks from its address."""
    cookies = parse_cookie(environ.get("HTTP_COOKIE", ""))
    return device_in(cookies[COOKIE]) if COOKIE in cookies else ""


def _announced(environ: Environ) -> int | None:
    text = environ.get("CONTENT_LENGTH", "")
    return int(text) if text.isdecimal() else None


async def _send(send: Send, answer: SiteAnswer, turns: Turns) -> None:
    try:
        await send({"type": "http.response.start", "status": answer.status, "headers": answer.headers})
        await send({"type": "http.response.body", "body": answer.first, "more_body": answer.rest is not None})
        while answer.rest is not None:
            piece = await turns.run(answer.rest.next)
            is_more = not answer.rest.is_at_end
            await send({"type": "http.response.body", "body": piece, "more_body": is_more})
            if not is_more:
                return
    finally:
        if answer.rest is not None and not answer.rest.is_at_end:
            answer.rest.close()


async def _refuse(send: Send, refused: Refused) -> None:
    body = f"{refused.words}\n".encode()
    headers: Headers = [
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"content-length", str(len(body)).encode()),
        (b"cache-control", b"no-store"),
    ]
    if refused.again_after:
        headers.append((b"retry-after", str(refused.again_after).encode()))
    await send({"type": "http.response.start", "status": refused.status, "headers": headers})
    await send({"type": "http.response.body", "body": body, "more_body": False})
