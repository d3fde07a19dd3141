"""Two processes that tap at the same moment, on the database that the tests run on."""

import os
import subprocess
import sys
import uuid
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[3]
BEGIN = """
import sys, uuid
import django
django.setup()
from django.utils import timezone
from inventory.models import CountedItem, CountedMovement, CountedStock, Location, User
from inventory.models.counted import CountRefused
"""
LAY_FIVE = """
item = CountedItem.objects.create(name="Center drill No. 3")
CountedStock.objects.create(item=item, location=Location.objects.create(name="A4"), count=5)
User.objects.create_user("taker")
"""
TAKE_FIVE_TIMES = """
stock, taker, taken = CountedStock.objects.get(), User.objects.get(username="taker"), 0
print("ready", flush=True)
sys.stdin.readline()
for _ in range(5):
    token = uuid.UUID(sys.argv[1]) if len(sys.argv) > 1 else uuid.uuid4()
    try:
        move = CountedStock.objects.move(stock, "taken", 1, by=taker, at=timezone.now(), token=token)
        taken += not move.is_resent
    except CountRefused:
        pass
print(taken)
"""
LOOK = "print(CountedStock.objects.get().count, CountedMovement.objects.count())"


@pytest.fixture
def environment(shared_book):
    """That of the processes."""
    return {**os.environ, "DATABASE_URL": shared_book, "SECRET_KEY": "x", "DJANGO_SETTINGS_MODULE": "shop.settings"}


@pytest.fixture
def run(environment):
    def run(script):
        call = [sys.executable, "-c", BEGIN + script]
        return subprocess.run(call, cwd=HOUSE, env=environment, check=True, capture_output=True, text=True).stdout

    return run


def both_tap(environment, *arguments) -> int:
    """How many two processes took that began together."""
    call = [sys.executable, "-c", BEGIN + TAKE_FIVE_TIMES, *arguments]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    takers = [subprocess.Popen(call, cwd=HOUSE, env=environment, **pipes) for _ in range(2)]
    assert [taker.stdout.readline() for taker in takers] == ["ready\n", "ready\n"]
    for taker in takers:
        taker.stdin.write("go\n")
        taker.stdin.flush()
    return sum(int(taker.communicate(timeout=60)[0]) for taker in takers)


def test_two_processes_never_take_more_than_there_is(environment, run):
    run(LAY_FIVE)

    assert both_tap(environment) == 5
    assert run(LOOK).split() == ["0", "5"]


def test_one_tap_sent_twice_at_once_is_taken_once(environment, run):
    run(LAY_FIVE)

    assert both_tap(environment, str(uuid.uuid4())) == 1
    assert run(LOOK).split() == ["4", "1"]
