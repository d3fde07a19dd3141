"""What a request brings along, read to its end before a page is asked: no thread waits for a slow device."""

from __future__ import annotations

import asyncio
import tempfile
import time
from collections.abc import AsyncIterator, Awaitable, Callable
from typing import Any, cast

from shop.server.refusals import CUT_OFF, NO_ROOM, TOO_SLOW, Refused

Message = dict[str, Any]
Receive = Callable[[], Awaitable[Message]]

FIRST_SECONDS, BYTES_A_SECOND = 20.0, 16 * 1024
"""A phone at the far end of the shop sends more than that."""
IN_MEMORY = 64 * 1024
"""Bytes of one body; the rest of it waits in a file that has no name."""
MOST_AT_ONCE, MOST_OF_ONE_DEVICE = 256 * 1024**2, 96 * 1024**2
"""Bytes that may be on their way in one process, from everybody and from one device."""
_DRAINED, _DRAINED_SECONDS = 64 * 1024**2, 5.0

Body = tempfile.SpooledTemporaryFile[bytes]


class TooBig(Exception):
    """More than this address is sent."""


class Bodies:
    """All that is on its way into this process."""

    def __init__(self) -> None:
        self._devices: dict[str, int] = {}

    async def read(self, receive: Receive, *, announced: int | None, most: int, device: str) -> tuple[Body, int]:
        """The body, to be closed by whoever asked, and its bytes. Raises TooBig or Refused."""
        if announced is not None and announced > most:
            await _drain(receive)
            raise TooBig
        body: Body = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115 - whoever asked closes it
        size = 0
        try:
            async for piece in _pieces(receive):
                size += len(piece)
                if size > most:
                    await _drain(receive)
                    raise TooBig
                self._note(device, len(piece))
                body.write(piece)
            body.seek(0)
        except OSError:
            body.close()
            raise Refused(507, NO_ROOM, again_after=60) from None
        except BaseException:
            body.close()
            raise
        finally:
            self._forget(device, size)
        return body, size

    def _note(self, device: str, more: int) -> None:
        self._devices[device] = self._devices.get(device, 0) + more
        if self._devices[device] > MOST_OF_ONE_DEVICE or sum(self._devices.values()) > MOST_AT_ONCE:
            raise Refused(503, NO_ROOM, again_after=60)

    def _forget(self, device: str, size: int) -> None:
        left = self._devices.pop(device, 0) - size
        if left > 0:
            self._devices[device] = left


async def _pieces(receive: Receive) -> AsyncIterator[bytes]:
    started, size = time.monotonic(), 0
    while True:
        left = started + FIRST_SECONDS + size / BYTES_A_SECOND - time.monotonic()
        try:
            message = await asyncio.wait_for(receive(), max(left, 0.0))
        except TimeoutError:
            raise Refused(408, TOO_SLOW) from None
        if message["type"] == "http.disconnect":
            raise Refused(400, CUT_OFF)
        piece = cast(bytes, message.get("body", b""))
        size += len(piece)
        yield piece
        if not message.get("more_body"):
            return


async def _drain(receive: Receive) -> None:
    """Throw away what still comes, for a while: a browser reads the answer only when it has sent all."""
    size = 0
    try:
        async with asyncio.timeout(_DRAINED_SECONDS):
            while size < _DRAINED:
                message = await receive()
                size += len(message.get("body", b""))
                if message["type"] == "http.disconnect" or not message.get("more_body"):
                    return
    except TimeoutError:
        return
