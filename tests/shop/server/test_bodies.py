"""What is on its way into a process: how slow, how much, how much at once."""

import asyncio
import time

import pytest

from shop.server import bodies
from shop.server.bodies import Bodies
from shop.server.refusals import Refused
from tests.shop.server.asking import receiving


def read(receive, *, into=None, device="10.0.0.7", announced=None, most=10**6):
    return (into or Bodies()).read(receive, announced=announced, most=most, device=device)


def test_a_body_that_does_not_come_is_given_up(monkeypatch):
    monkeypatch.setattr(bodies, "FIRST_SECONDS", 0.05)
    started = time.monotonic()

    with pytest.raises(Refused) as told:
        asyncio.run(read(receiving(b"abc", ends=False), announced=100))

    assert told.value.status == 408
    assert time.monotonic() - started < 2


def test_a_body_that_comes_by_the_byte_is_given_up_though_it_never_rests(monkeypatch):
    monkeypatch.setattr(bodies, "FIRST_SECONDS", 0.1)

    async def receive():
        await asyncio.sleep(0.01)
        return {"type": "http.request", "body": b"x", "more_body": True}

    with pytest.raises(Refused) as told:
        asyncio.run(read(receive, announced=100_000))

    assert told.value.status == 408


def test_a_large_body_may_take_its_time(monkeypatch):
    monkeypatch.setattr(bodies, "FIRST_SECONDS", 0.05)
    pieces = [b"x" * 16_384] * 4

    async def receive():
        await asyncio.sleep(0.03)
        return {"type": "http.request", "body": pieces.pop(), "more_body": bool(pieces)}

    body, size = asyncio.run(read(receive))
    body.close()

    assert size == 4 * 16_384


def test_a_connection_that_ends_early_is_no_shorter_body():
    async def receive():
        return {"type": "http.disconnect"}

    with pytest.raises(Refused) as told:
        asyncio.run(read(receive, announced=5))

    assert told.value.status == 400


def test_one_device_cannot_fill_the_disk_and_another_is_still_read(monkeypatch):
    monkeypatch.setattr(bodies, "MOST_OF_ONE_DEVICE", 1000)
    monkeypatch.setattr(bodies, "FIRST_SECONDS", 0.3)

    async def both():
        into = Bodies()
        slow = [asyncio.ensure_future(read(receiving(b"x" * 400, ends=False), into=into)) for _ in range(3)]
        await asyncio.sleep(0.05)
        body, size = await read(receiving(b"x" * 900), into=into, device="10.0.0.8")
        body.close()
        found = await asyncio.gather(*slow, return_exceptions=True)
        body, again = await read(receiving(b"x" * 900), into=into)
        body.close()
        return sorted(error.status for error in found), size, again

    # Afterwards nothing of it is counted any more.
    assert asyncio.run(both()) == ([408, 408, 503], 900, 900)
