"""A request of the server to an ASGI application, without a server."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable


class Told:
    def __init__(self, messages: list[dict]) -> None:
        self.status = messages[0]["status"]
        self.headers = {name.decode(): value.decode() for name, value in messages[0]["headers"]}
        self.pieces = [message["body"] for message in messages[1:]]
        self.is_ended = not messages[-1]["more_body"]

    @property
    def body(self) -> bytes:
        return b"".join(self.pieces)


def scope(path: str = "/", method: str = "GET", headers: Iterable[tuple[str, str]] = ()) -> dict:
    return {
        "type": "http",
        "method": method,
        "scheme": "http",
        "http_version": "1.1",
        "raw_path": path.partition("?")[0].encode(),
        "query_string": path.partition("?")[2].encode(),
        "client": ("10.0.0.7", 5000),
        "server": ("10.0.0.1", 8000),
        "headers": [(name.encode(), value.encode()) for name, value in headers],
    }


def receiving(*pieces: bytes, ends: bool = True):
    """What is read: these pieces, and then the end, or nothing more for ever."""
    left = list(pieces)

    async def receive() -> dict:
        if not left and not ends:
            await asyncio.Event().wait()
        body = left.pop(0) if left else b""
        return {"type": "http.request", "body": body, "more_body": bool(left) or not ends}

    return receive


async def asked(application, scope: dict, receive=None) -> Told:
    sent: list[dict] = []

    async def send(message: dict) -> None:
        sent.append(message)

    await application(scope, receive or receiving(), send)
    return Told(sent)


def ask(application, scope: dict, receive=None) -> Told:
    return asyncio.run(asked(application, scope, receive))
