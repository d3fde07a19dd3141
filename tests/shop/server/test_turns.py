"""Whose turn it is: nobody waits for a device that asks too much, nor for another lane."""

import asyncio
import threading

import pytest

from shop.server.lanes import Lane
from shop.server.refusals import Refused
from shop.server.turns import Turns

LANE = Lane("tried", threads=2, for_one_device=1, most_waiting=6, most_waiting_for_one_device=3)


def test_a_device_that_asks_much_leaves_a_thread_to_others():
    async def both():
        turns, stuck = Turns(LANE), threading.Event()

        async def ask(device, call):
            async with turns.turn(device):
                return await turns.run(call)

        greedy = [asyncio.ensure_future(ask("a", lambda: stuck.wait(10))) for _ in range(3)]
        await asyncio.sleep(0.05)
        answer = await asyncio.wait_for(ask("b", lambda: "answered"), timeout=5)
        stuck.set()
        await asyncio.gather(*greedy)
        return answer

    assert asyncio.run(both()) == "answered"


@pytest.mark.parametrize(("devices", "status"), [("aaaaa", 429), ("abcdefghi", 503)])
def test_whoever_would_wait_too_long_is_told_so(devices, status):
    async def ask():
        turns, stuck = Turns(LANE), asyncio.Event()

        async def hold(device):
            async with turns.turn(device):
                await stuck.wait()

        waiting = [asyncio.ensure_future(hold(device)) for device in devices]
        await asyncio.sleep(0.05)
        refused = [task for task in waiting if task.done()]
        stuck.set()
        found = await asyncio.gather(*waiting, return_exceptions=True)
        assert len(refused) == 1
        async with turns.turn("a"):  # and afterwards there is room again
            pass
        return [error for error in found if error is not None]

    (error,) = asyncio.run(ask())
    assert isinstance(error, Refused)
    assert error.status == status
