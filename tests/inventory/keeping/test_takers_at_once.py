"""Two people who tap Issue on the same piece at the same instant: processes of their own, over whole pages."""

import os
import subprocess
import sys
from pathlib import Path
from urllib.parse import quote

import pytest
from django.db import connection

from tests.load import takers

HOUSE = Path(__file__).resolve().parents[3]
TRIALS = 60
LAY_OUT = f"""
import django
django.setup()
from inventory.models import Kind, Tool, User
Tool.objects.bulk_create(Tool(tag=f"D-{{number}}", kind=Kind.LATHE_DOG) for number in range({TRIALS}))
for number in range(2):
    User.objects.create_user(f"taker{{number}}", role="machinist")
"""


@pytest.fixture
def database(transactional_db, tmp_path):
    """The address of the tests' own database on a server, of a file where the tests' is in memory; laid out."""
    if connection.vendor == "sqlite":
        url = f"sqlite:///{tmp_path / 'takers.sqlite3'}"
    else:
        held = {name: quote(str(value), safe="") for name, value in connection.settings_dict.items()}
        url = f"postgres://{held['USER']}:{held['PASSWORD']}@{held['HOST']}:{held['PORT']}/{held['NAME']}"
    environment = {**os.environ, "DATABASE_URL": url, "SECRET_KEY": "x", "DJANGO_SETTINGS_MODULE": "shop.settings"}
    calls = [[sys.executable, "-c", LAY_OUT]]
    if connection.vendor == "sqlite":
        calls.insert(0, [sys.executable, "manage.py", "migrate", "-v", "0"])
    for call in calls:
        subprocess.run(call, cwd=HOUSE, env=environment, check=True, capture_output=True)
    return url


def test_of_two_who_take_a_piece_at_once_one_gets_it(database):
    found = takers.contest([f"D-{number}" for number in range(TRIALS)], makes=database)

    assert found.errors == []
    assert (found.doubly_issued, found.issued_to_nobody, found.not_told_who, found.loans_too_many) == (0, 0, 0, 0)
    assert len(found.waits) == 2 * TRIALS
