"""Whoever asks while somebody else writes into a SQLite book is answered at once, and counted later."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ASKING = """
import datetime, sqlite3, sys, time
import django
django.setup()
from inventory.models import Ask

def ask(question):
    begun = time.monotonic()
    Ask.objects.count_one(question=question, read_as=question, verdict="none", on=datetime.date(2026, 3, 18))
    return time.monotonic() - begun

Ask.objects.count()  # opens the book, as a server has it open
writer = sqlite3.connect(sys.argv[1])
writer.execute("BEGIN IMMEDIATE")
waited = max(ask("size=1"), ask("size=2"), ask("size=1"))
held = Ask.objects.count()
writer.rollback()
ask("size=3")
print(waited < 2, held, sorted(Ask.objects.values_list("question", "times")))
"""


def test_a_question_is_counted_once_the_book_can_be_written_again(book_file):
    environment = {
        **os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings", "DATABASE_URL": f"sqlite:///{book_file}",
        "PYTHONPATH": str(ROOT), "PYTHONWARNINGS": "ignore",
    }  # fmt: skip
    asked = subprocess.run(
        [sys.executable, "-c", ASKING, book_file], env=environment, capture_output=True, text=True, timeout=60
    )

    assert asked.stdout == "True 0 [('size=1', 2), ('size=2', 1), ('size=3', 1)]\n", asked.stderr
