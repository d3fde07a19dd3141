"""What a question costs: the same few queries, through indexes, however large the crib is."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from fitfinder.find.question import Question
from inventory.measures.lengths import parse
from inventory.models import Kind, Tool
from tests import factories

MOST_QUERIES = 8
"""Of any answer; one that a collet gives asks six at most."""
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


@pytest.mark.parametrize(
    ("texts", "most"),
    [
        pytest.param({"size": ".7485"}, 6, id="held"),
        pytest.param(
            {"size": "3/4", "grade": "cold-drawn", "tir": ".001", "lathe": "Lathe 1"}, 6, id="all that is asked"
        ),
        pytest.param({"size": ".5", "shape": "hex"}, MOST_QUERIES, id="hex, by its corners"),
        pytest.param({"size": ".7600"}, MOST_QUERIES, id="a gap"),
        pytest.param({"size": "20"}, MOST_QUERIES, id="larger than anything"),
        pytest.param({"size": "T-1"}, MOST_QUERIES, id="a tag"),
    ],
)
def test_no_question_costs_more_queries_than_that(texts, most, shop, django_assert_max_num_queries):
    fill(300)
    factories.lathe("Lathe 1")
    factories.collet("9/16", tag="T-1")
    factories.chuck(outside=("1", "30"))

    with django_assert_max_num_queries(most):
        Question.from_texts(texts).answer()


def test_all_pieces_of_the_sizes_that_hold_it_are_counted_within_these_queries(
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


def statements_of(*questions):
    """The statements that these questions ask, with their parameters."""
    asked = []

    def keeping(execute, sql, parameters, many, context):
        asked.append((sql, parameters))
        return execute(sql, parameters, many, context)

    with connection.execute_wrapper(keeping):
        for question in questions:
            question.answer()
    return asked


@pytest.fixture(params=[False, True], ids=["never analyzed", "analyzed"])
def plan(shop, request):
    """How the database goes about what a question asks, as one text."""
    fill(5000 if request.param else 300)
    asked = statements_of(Question("3/4"), Question("0.7600"), Question("1/2", shape="hex"))
    with connection.cursor() as cursor:
        if request.param:
            # A database that has counted what it holds guesses otherwise; what it looks at must stay the same.
            cursor.execute("ANALYZE")
        if connection.vendor == "postgresql":
            # In a book this small PostgreSQL would rather read everything; that must not hide a missing index.
            cursor.execute("SET LOCAL enable_seqscan = off")
        lines = []
        explain = "EXPLAIN QUERY PLAN" if connection.vendor == "sqlite" else "EXPLAIN"
        for statement, parameters in asked:
            cursor.execute(f"{explain} {statement}", parameters)
            lines += [str(row[-1]) for row in cursor.fetchall()]
        return "\n".join(lines)


def test_sizes_and_their_pieces_are_found_by_indexes_and_no_piece_is_looked_at_that_none_led_to(plan):
    # A size by its smallest or by its largest, as the database guesses which of the two leaves fewer.
    assert re.search("inventory_size_by_(range|largest)", plan)
    assert re.search("inventory_tool_size_id_", plan)
    # An index that holds just the pieces that may hold work is read from end to end.
    by_no_index = re.compile(r"\bSCAN t\b(?! USING INDEX inventory_tool_may_hold)|Seq Scan on inventory_tool\b")
    scans = [line for line in plan.splitlines() if by_no_index.search(line)]

    assert scans == []


def test_the_largest_that_anything_grips_is_looked_for_among_what_may_hold_and_not_among_all_cutters(plan):
    # Each of the three questions reads it, and then all that may hold.
    assert len(re.findall("inventory_tool_may_hold", plan)) == 2 * 3


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
