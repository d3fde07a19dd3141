"""Two people who tap Issue on the same piece at the same instant: processes of their own, over whole pages."""

import os
import subprocess
import sys
from pathlib import Path

from tests.load import takers

HOUSE = Path(__file__).resolve().parents[3]
TRIALS = 25
LAY_OUT = f"""
import django
django.setup()
from inventory.models import Kind, Tool, User
Tool.objects.bulk_create(Tool(tag=f"D-{{number}}", kind=Kind.LATHE_DOG) for number in range({TRIALS}))
for number in range(2):
    User.objects.create_user(f"taker{{number}}", role="machinist")
"""


def test_of_two_who_take_a_piece_at_once_one_gets_it(shared_book):
    environment = {
        **os.environ, "DATABASE_URL": shared_book, "SECRET_KEY": "x", "DJANGO_SETTINGS_MODULE": "shop.settings",
    }  # fmt: skip
    lay_out = [sys.executable, "-c", LAY_OUT]
    subprocess.run(lay_out, cwd=HOUSE, env=environment, check=True, capture_output=True)

    found = takers.contest([f"D-{number}" for number in range(TRIALS)], makes=shared_book)

    assert found.errors == []
    assert (found.doubly_issued, found.issued_to_nobody, found.not_told_who, found.loans_too_many) == (0, 0, 0, 0)
    assert found.book_says_otherwise == 0
    assert len(found.waits) == 2 * TRIALS
