"""Whose turn it is: each lane has threads of its own, and of those no device takes all."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from typing import TypeVar

from shop.server.lanes import HEAVY, Lane
from shop.server.refusals import TOO_BUSY, TOO_MUCH_FROM_ONE, Refused

Answer = TypeVar("Answer")


class Turns:
    """One lane. Whoever waits holds no thread; a device that asks much waits for itself before it waits for others."""

    def __init__(self, lane: Lane) -> None:
        self._lane = lane
        self._threads = ThreadPoolExecutor(lane.threads, thread_name_prefix=lane.name)
        self._free = asyncio.Semaphore(lane.threads)
        self._devices: dict[str, _Device] = {}
        self._inside = 0

    @property
    def is_heavy(self) -> bool:
        return self._lane is HEAVY

    @asynccontextmanager
    async def turn(self, device: str) -> AsyncIterator[None]:
        """Until it is this device's turn. Raises Refused where too many wait."""
        asking = self._devices.get(device) or self._devices.setdefault(device, _Device(self._lane.for_one_device))
        if asking.inside >= self._lane.most_waiting_for_one_device + self._lane.for_one_device:
            raise Refused(429, TOO_MUCH_FROM_ONE, again_after=2)
        if self._inside >= self._lane.most_waiting + self._lane.threads:
            raise Refused(503, TOO_BUSY, again_after=5)
        self._inside += 1
        asking.inside += 1
        try:
            # Both queues are in the order of coming, and of one device only so many stand in the second.
            async with asking.free, self._free:
                yield
        finally:
            self._inside -= 1
            asking.inside -= 1
            if not asking.inside:
                self._devices.pop(device, None)

    async def run(self, call: Callable[[], Answer]) -> Answer:
        return await asyncio.get_running_loop().run_in_executor(self._threads, call)


class _Device:
    def __init__(self, at_a_time: int) -> None:
        self.free = asyncio.Semaphore(at_a_time)
        self.inside = 0
