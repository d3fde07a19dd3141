"""Pint takes most of a second to load: only who asks for a sum waits for it."""

import json
import os
import subprocess
import sys
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[3]

RUN = """
import contextlib, io, json, sys
import django
django.setup()
from django.core.management import call_command
loaded = {}
for command in json.loads(sys.argv[1]):
    with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
        call_command(*command)
    loaded[" ".join(command)] = "pint" in sys.modules
print(json.dumps(loaded))
"""


def loads_pint(book_file, *commands: list[str]) -> dict[str, bool]:
    """After each of the commands, which run one after the other in one process, whether pint is loaded."""
    environment = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "DATABASE_URL": f"sqlite:///{book_file}",
        "SECRET_KEY": "x" * 50,
    }
    run = [sys.executable, "-c", RUN, json.dumps(commands)]
    return json.loads(
        subprocess.run(run, cwd=HOUSE, env=environment, capture_output=True, text=True, check=True).stdout
    )


def test_who_asks_for_no_sum_does_not_wait_for_units_which_a_sum_loads(book_file):
    without_a_sum = ["check"], ["fit", ".7485"], ["plan", "1"], ["arithmetic"]

    assert loads_pint(book_file, *without_a_sum, ["arithmetic", "tir", "offset=.004"]) == {
        "check": False,
        "fit .7485": False,
        "plan 1": False,
        "arithmetic": False,
        "arithmetic tir offset=.004": True,
    }
