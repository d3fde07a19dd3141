"""Pint takes most of a second to load: only who asks for a sum waits for it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[3]

RUN = """
import contextlib, io, sys
import django
django.setup()
from django.core.management import call_command
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    call_command(*sys.argv[1:])
print("pint" in sys.modules)
"""


def loads_pint(book_file, *command) -> bool:
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "DATABASE_URL": f"sqlite:///{book_file}",
        "SECRET_KEY": "x" * 50,
    }
    run = subprocess.run(
        [sys.executable, "-c", RUN, *command], cwd=HOUSE, env=environment, capture_output=True, text=True, check=True
    )
    return {"True": True, "False": False}[run.stdout.strip()]


@pytest.mark.parametrize("command", [["check"], ["fit", ".7485"], ["plan", "1"], ["arithmetic"]], ids=" ".join)
def test_who_asks_for_no_sum_does_not_wait_for_units(book_file, command):
    assert not loads_pint(book_file, *command)


def test_a_sum_loads_them(book_file):
    assert loads_pint(book_file, "arithmetic", "tir", "offset=.004")
