"""One log, though several processes write it and begin the next file of it."""

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WRITER = """
import django, sys
django.setup()
from shop.journal import who_did_what
who_did_what.MOST_BYTES = 20_000
who_did_what.keep_in_file()
print("ready", flush=True)
sys.stdin.readline()
for number in range(300):
    who_did_what.write(None, "try", "done", person=sys.argv[1], number=number)
"""


def test_no_line_is_lost_or_torn_where_three_processes_begin_new_files(tmp_path):
    environment = {
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "DATABASE_URL": f"sqlite:///{tmp_path}/book.sqlite3",
        "PYTHONPATH": str(ROOT),
    }
    call = {"env": environment, "cwd": tmp_path, "stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    writers = [subprocess.Popen([sys.executable, "-c", WRITER, name], **call) for name in "abc"]
    assert [writer.stdout.readline() for writer in writers] == ["ready\n"] * 3
    for writer in writers:
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        writer.communicate(timeout=120)

    files = [file for file in tmp_path.glob("gripbook-log.jsonl*") if file.suffix != ".lock"]
    lines = [json.loads(line) for file in files for line in file.read_text(encoding="utf-8").splitlines()]
    assert sorted((line["person"], line["number"]) for line in lines) == [(p, n) for p in "abc" for n in range(300)]
    assert len(files) > 3
