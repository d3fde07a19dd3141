"""What a sheet writes in bulk is what the form of the page writes one by one."""

import math
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory.models import Inspection, Location, Seat, Size, Tool
from inventory.pieces.book import Book
from inventory.pieces.form import PieceForm
from inventory.transfer import entry, imports, sheets
from tests import factories

pytestmark = pytest.mark.django_db

ROOT = Path(__file__).resolve().parents[3]
HEADINGS = ("tag", "kind", "series", "size", "mount", "location", "condition", "tir", "inspected_on", "cost", "notes")

# Two rows of one tag at a time, so that the second changes what the first made.
ROWS = st.fixed_dictionaries(
    {
        "tag": st.sampled_from(["C-1", "C-2"]),
        "kind": st.just("collet"),
        "series": st.just("5C"),
        "size": st.sampled_from(["3/4", "1/2"]),
        "location": st.sampled_from(["", "A1", "B9"]),
        "condition": st.sampled_from(["", "good", "worn", "damaged", "scrapped"]),
        "tir": st.sampled_from(["", ".0005", "0.0012"]),
        "inspected_on": st.sampled_from(["", "2026-03-18", "2026-05-01"]),
        "cost": st.sampled_from(["", "31.50"]),
        "notes": st.sampled_from(["", "cracked at a slot", "not cracked", "bought used"]),
    }
)


class _Undone(Exception):
    pass


def sheet_of(rows):
    texts = [[row.get(name, "") for name in HEADINGS] for row in rows]
    return sheets.read(sheets.file_of(HEADINGS, texts, form="csv"), name="crib.csv")


def written_in_bulk(rows):
    for row in rows:
        entry.take(imports.SheetQuestion(sheet=sheet_of([row])), by=None)


def written_one_by_one(rows):
    for row in rows:
        for outcome in imports.plan(sheet_of([row])).good:
            tool = Tool.objects.for_list().filter(tag=row["tag"]).first()
            cells = {**row, "notes": row["notes"] or (tool.notes if tool else "")}
            form = PieceForm(cells, tool=tool, book=Book())
            assert form.is_valid()
            form.save(by=None, finding=outcome.finding)


def book_after(write, rows):
    """All that the book says after these rows, which are not kept: keys and times left aside."""
    found = {}
    try:
        with transaction.atomic():
            write(rows)
            reading = {tool.tag: (tool.reading.tir, tool.reading.tool.tag) for tool in _with_reading()}
            found["tools"] = [_values(tool) for tool in Tool.objects.for_list().order_by("tag")]
            found["readings"] = reading
            found["looks"] = [
                (look.tool.tag, look.tir, look.taken_on, look.finding) for look in Inspection.objects.order_by("id")
            ]
            newest = [tool.history.first() for tool in Tool.objects.order_by("tag")]
            found["history"] = [(row.tag, row.tir, row.condition, row.inspected_on, row.finding) for row in newest]
            raise _Undone
    except _Undone:
        return found


def _with_reading():
    return Tool.objects.exclude(reading=None).select_related("reading__tool")


def _values(tool):
    keys = {"id", "size_id", "location_id", "reading_id", "mounts_in_id"}
    plain = {f.attname: getattr(tool, f.attname) for f in Tool._meta.concrete_fields if f.attname not in keys}
    return {**plain, "size": str(tool.size), "location": str(tool.location), "mounts_in": str(tool.mounts_in)}


@given(st.lists(ROWS, min_size=1, max_size=3))
@settings(
    max_examples=20 if connection.vendor == "sqlite" else 5,  # the rules are the same, the statements are the same few
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_rows_written_in_bulk_leave_the_book_as_the_form_does_one_by_one(rows):
    assert book_after(written_in_bulk, rows) == book_after(written_one_by_one, rows)


def test_the_history_of_a_piece_names_who_took_the_sheet(keeper):
    sheet = sheet_of([{"tag": "C-1", "kind": "collet", "series": "5C", "size": "3/4", "tir": ".0005"}])
    entry.take(imports.SheetQuestion(sheet=sheet), by=keeper)

    written = Tool.objects.get().history.get()

    assert (written.history_type, written.history_user, written.reading_id) == (
        "+",
        keeper,
        Inspection.objects.get().pk,
    )


def test_a_changed_piece_gets_one_entry_that_says_changed(keeper):
    factories.collet("3/4", tag="C-1")
    sheet = sheet_of([{"tag": "C-1", "location": "B9", "condition": "worn"}])
    entry.take(imports.SheetQuestion(sheet=sheet), by=keeper)

    written = Tool.objects.get().history.first()

    assert (written.history_type, written.history_user, written.location.name) == ("~", keeper, "B9")
    assert Tool.objects.get().history.count() == 2


@pytest.mark.one_database("its bound counts by how many values SQLite cuts a statement")
def test_a_thousand_rows_take_few_statements(django_assert_max_num_queries):
    rows = [
        {"tag": f"C-{n}", "kind": "collet", "series": "5C", "size": f"{n % 60 + 4}/64", "tir": ".0005"}
        for n in range(1000)
    ]
    question = imports.SheetQuestion(sheet=sheet_of(rows))

    # Inserts are cut by how many values a statement of SQLite takes; each of sixty sizes is made once.
    inserts = sum(_inserts(model, 1000) for model in (Tool, Tool.history.model, Inspection))
    with django_assert_max_num_queries(60 * 5 + inserts + 9):
        entry.take(question, by=None)

    assert Tool.objects.count() == 1000


def _inserts(model, rows: int) -> int:
    columns = [field for field in model._meta.concrete_fields if not field.primary_key]
    return math.ceil(rows / connection.ops.bulk_batch_size(columns, range(rows)))


KILLED = """
import os, sys
import django
django.setup()
from django.core.management import call_command
from django.db import connection

def killing(execute, sql, parameters, many, context):
    if sql.startswith('INSERT INTO "inventory_inspection"'):
        execute(sql, parameters, many, context)
        os._exit(9)
    return execute(sql, parameters, many, context)

print("ready", flush=True)
with connection.execute_wrapper(killing):
    call_command("import_sheet", sys.argv[1])
"""
COUNTED = """
import django
django.setup()
from inventory.models import Inspection, Location, Size, Tool
print(Tool.objects.count(), Inspection.objects.count(), Location.objects.count(), Tool.history.count())
"""


def test_a_process_that_is_killed_amid_taking_leaves_nothing_half_done(book_file, tmp_path):
    path = tmp_path / "crib.csv"
    path.write_text("Tag,Kind,Series,Size,Drawer,TIR\nC-1,collet,5C,3/4,A1,.0005\nC-2,collet,5C,1/2,A2,.0005\n")
    environ = {
        **os.environ,
        "DATABASE_URL": f"sqlite:///{book_file}",
        "DJANGO_SETTINGS_MODULE": "shop.settings",
        "PYTHONPATH": str(ROOT),
    }

    killed = subprocess.run([sys.executable, "-c", KILLED, str(path)], env=environ, capture_output=True, text=True)
    counted = subprocess.run([sys.executable, "-c", COUNTED], env=environ, capture_output=True, text=True, check=True)

    assert (killed.returncode, killed.stdout) == (9, "ready\n")
    assert counted.stdout.split() == ["0", "0", "0", "0"]


def test_sizes_seats_and_drawers_are_made_once():
    rows = [{"tag": f"D-{n}", "kind": "drawbar", "mount": "POST-Q", "location": "a9" if n else "A9"} for n in range(3)]
    entry.take(imports.SheetQuestion(sheet=sheet_of(rows)), by=None)

    assert [place.name for place in Location.objects.all()] == ["A9"]
    assert Seat.objects.filter(code="POST-Q").count() == 1
    assert not Size.objects.exists()
