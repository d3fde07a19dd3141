"""What a question costs: the same few queries, through indexes, however large the crib is."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fitfinder.find.crib_sql import NEAREST_SQL, SHELVES_AND_CORNERS_SQL, first_pieces_sql, pieces_sql
from inventory.measures.lengths import parse
from inventory.models import Kind, Size, Tool
from tests import factories

MOST_QUERIES = 8
"""Of the first question after a write, by somebody signed in; the next ones ask two, the rest is remembered."""
KINDS = ("shown", "mounted", "corners", "out_of_use", "lacking", "counted")
HOUSE = Path(__file__).resolve().parent.parent.parent


def fill(pieces):
    """So many collets along the 5C ladder, seven of each size; with 300 pieces 3/4 in is one of the sizes."""
    sizes = [factories.size(f"{number + 10}/64") for number in range(pieces // 7 + 1)]
    Tool.objects.bulk_create(
        [
            Tool(tag=f"C-{number:04d}", kind=Kind.COLLET, size=sizes[number // 7], tir=parse("0.0005"))
            for number in range(pieces)
        ]
    )


@pytest.fixture
def shop(db):
    factories.lathe()
    factories.closer()
    factories.collet("3/4")
    factories.collet("7/8")


def answer_page(client, **question):
    return client.get(reverse("find"), question)


@pytest.mark.parametrize("pieces", [5, 300])
def test_an_answer_that_holds_costs_few_queries(pieces, shop, client_of, django_assert_max_num_queries):
    fill(pieces)
    browser = client_of("machinist")

    with django_assert_max_num_queries(MOST_QUERIES):
        page = answer_page(browser, size="3/4")

    assert "Holds · exactly its marked size" in page.content.decode()


def test_the_pieces_that_were_not_fetched_are_counted_within_these_queries(
    shop, client_of, django_assert_max_num_queries
):
    fill(300)
    browser = client_of("machinist")

    with django_assert_max_num_queries(MOST_QUERIES):
        page = answer_page(browser, size="3/4")

    assert "5 more pieces hold it." in page.content.decode()


def test_an_answer_costs_the_same_queries_in_a_larger_crib(shop, client_of):
    browser = client_of("machinist")
    counts = []
    for pieces in (5, 300):
        Tool.objects.filter(tag__startswith="C-").delete()
        fill(pieces)
        with CaptureQueriesContext(connection) as queries:
            answer_page(browser, size="7/8")
        counts.append(len(queries))

    assert counts[0] == counts[1]


@pytest.fixture(params=[False, True], ids=["never analyzed", "analyzed"])
def plan(shop, request):
    """How the database goes about the sizes and the collets, as one text."""
    fill(5000 if request.param else 300)
    if request.param:
        # A database that has counted what it holds guesses otherwise; what it looks at must stay the same.
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    nm = parse("3/4").nm
    asked = {"shape": "round", "smallest": nm, "largest": nm, "asker": 0, "middle": nm}
    asked |= {"smallest_corners": nm, "largest_corners": nm}
    ids = list(Size.objects.values_list("id", flat=True))
    of = dict.fromkeys(KINDS, ids if connection.vendor == "postgresql" else json.dumps(ids))
    pieces = pieces_sql(connection.vendor, KINDS[:-1], truest=True, counted=True, with_reading=True)
    statements = [SHELVES_AND_CORNERS_SQL, NEAREST_SQL, pieces, first_pieces_sql(connection.vendor)]
    with connection.cursor() as cursor:
        explain = "EXPLAIN QUERY PLAN" if connection.vendor == "sqlite" else "EXPLAIN"
        if connection.vendor == "postgresql":
            # In a book this small PostgreSQL would rather read everything; that must not hide a missing index.
            cursor.execute("SET LOCAL enable_seqscan = off")
        lines = []
        for statement in statements:
            cursor.execute(f"{explain} {statement}", asked | of)
            lines += [str(row[-1]) for row in cursor.fetchall()]
        return "\n".join(lines)


def test_the_sizes_are_found_by_their_range(plan):
    assert "inventory_size_by_range" in plan


def test_the_best_pieces_of_a_size_are_found_through_an_index_of_pieces_in_service(plan):
    assert re.search("inventory_tool_(best|truest)_of_size", plan)


def test_no_piece_is_looked_at_that_no_index_led_to(plan):
    scans = [line for line in plan.splitlines() if re.search(r"\bSCAN [pt]\b|Seq Scan on inventory_tool\b", line)]

    assert scans == []


ANSWER_ONCE = """
import sys
import django
django.setup()
from fitfinder import urls
from fitfinder.find.question import Question
assert Question("0.7485").answer().verdict == "nothing"
print(sorted(name for name in ("numpy", "scipy", "pint") if name in sys.modules))
"""


def test_an_answer_loads_no_numerics(book_file):
    environment = {
        "DJANGO_SETTINGS_MODULE": "shop.settings", "DATABASE_URL": f"sqlite:///{book_file}", "SECRET_KEY": "x" * 50,
        "PATH": "/usr/bin:/bin",
    }  # fmt: skip
    run = subprocess.run(
        [sys.executable, "-c", ANSWER_ONCE], cwd=HOUSE, env=environment, capture_output=True, text=True
    )

    assert (run.stdout.strip(), run.returncode) == ("[]", 0), run.stderr
