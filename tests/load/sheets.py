"""What a sheet of new rows costs, against what one validation of its rows costs, told as ratios of one run.

Run by hand: `python tests/load/sheets.py [--rows 5000] [--rounds 3]`. DATABASE_URL chooses SQLite (a file in a
temporary folder where it is not set) or PostgreSQL; a database is made beside the one that is named for each round,
and taken away. Each figure is the median of the rounds.
"""

from __future__ import annotations

import argparse
import io
import os
import re
import signal
import statistics
import sys
from pathlib import Path
from time import perf_counter, process_time

ROOT = Path(__file__).resolve().parent.parent.parent
SIZES = ("1/16", "1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "0.5625", "5/8", "11/16", "3/4")
_SHOWN = re.compile(r'name="shown" value="(\w+)"')
_CHOSEN = re.compile(r'<select name="(\w+)".*?<option value="([\w ]+)" selected>', re.DOTALL)
HEADINGS = ("Tag", "What it is", "Series", "Shape", "Size", "Drawer", "State", "TIR", "Checked", "Paid", "Remarks")


def main() -> None:
    wanted = _arguments()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    sys.path.insert(0, str(ROOT))
    sys.path.insert(0, str(Path(__file__).resolve().parent))
    import cribs
    import django

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    try:
        with cribs.made(list(range(1, wanted.rounds + 1))) as made:
            rounds = [_round(made, number, wanted.rows) for number in range(1, wanted.rounds + 1)]
    except cribs.InUse as error:
        sys.exit(str(error))
    for name in rounds[0]:
        print(f"{name:<66} {statistics.median(found[name] for found in rounds):8.2f}", flush=True)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rows", type=int, default=5000)
    parser.add_argument("--rounds", type=int, default=3)
    return parser.parse_args()


def _round(made, number: int, count: int) -> dict[str, float]:
    from inventory.models import User
    from inventory.transfer import sheets

    made.open(number)
    keeper = User.objects.create_user("keeper", password=None, role="keeper")
    rows = [_row(place) for place in range(count)]
    csv, xlsx = (sheets.file_of(HEADINGS, rows, form=form) for form in ("csv", "xlsx"))
    forms = _seconds(_validate_all, rows)
    found = {"seconds of one validation of all rows by the form alone": forms}
    found |= _page(csv, keeper, forms)
    opening = _seconds(sheets.read, xlsx, name="crib.xlsx")
    return found | {"opening the same sheet as XLSX / that": opening / forms}


def _page(content: bytes, keeper, forms: float) -> dict[str, float]:
    """Through the steps of the page, each as one of its requests does it; the book is then what the sheet says."""
    from django.test import Client
    from django.urls import reverse

    client = Client(SERVER_NAME="localhost")
    client.force_login(keeper, backend="django.contrib.auth.backends.ModelBackend")
    file = io.BytesIO(content)
    file.name = "crib.csv"
    address = []
    sending = _seconds(lambda: address.append(client.post(reverse("import_sheet"), {"sheet": file})["Location"]))
    (preview,) = address
    guessed = dict(_CHOSEN.findall(client.get(f"{preview}match/").content.decode()))
    matching = _seconds(client.post, f"{preview}match/", guessed)
    steps, pages = [], []
    while not pages or not _SHOWN.search(pages[-1]):
        steps.append(_seconds(lambda: pages.append(client.get(preview).content.decode())))
    again = _seconds(client.get, preview)
    taking = _seconds(client.post, preview, {"shown": _SHOWN.search(pages[-1])[1]})
    if b"Taken:" not in client.get(preview).content:
        raise RuntimeError("nothing was taken")
    return {
        "sending it as CSV / that": sending / forms,
        "matching its headings / that": matching / forms,
        "reading all its rows, with progress / that": sum(steps) / forms,
        "requests that this takes": len(steps),
        "the longest of them, seconds": max(steps),
        "the preview once it is read / that": again / forms,
        "taking all its rows / that": taking / forms,
        "taking all its rows, seconds": taking,
    }


def _row(place: int) -> list[str]:
    reading, day = f"0.000{place % 9 + 1}", f"2026-03-{place % 28 + 1:02d}"
    return [
        f"S-{place:05d}", "Collet", "5C", "round", SIZES[place % len(SIZES)], f"Drawer {place // 50}", "good",
        reading, day, "31.50", f"bought used {place}",
    ]  # fmt: skip


def _validate_all(rows: list[list[str]]) -> None:
    from inventory.pieces.form import PieceForm
    from inventory.transfer.books import PaperBook

    names = ("tag", "kind", "series", "shape", "size", "location", "condition", "tir", "inspected_on", "cost", "notes")
    book, form = PaperBook(), None
    for row in rows:
        form = PieceForm(dict(zip(names, row, strict=True)), book=book, like=form)
        if not form.is_valid():
            raise RuntimeError(form.errors.as_text())


def _seconds(call, *arguments, **named) -> float:
    """Of the processor with SQLite, where all work is done in this process: other work does not disturb it."""
    from django.db import connection

    clock = process_time if connection.vendor == "sqlite" else perf_counter
    start = clock()
    call(*arguments, **named)
    return clock() - start


if __name__ == "__main__":
    main()
