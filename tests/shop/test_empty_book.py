"""A book in which nothing is written yet: each list says what would be here, and how it begins."""

import re
from html import unescape

import pytest
from django.urls import reverse

KEEPER, MACHINIST, BUYER = "keeper", "machinist", "purchasing"
BEGINNINGS = [
    ("find", KEEPER, "Import a sheet"),
    ("find", MACHINIST, "once a crib keeper has entered the pieces"),
    ("plan", KEEPER, "Import a sheet"),
    ("plan", MACHINIST, "once a crib keeper has entered the pieces"),
    ("tool_list", KEEPER, "Begin by entering a piece"),
    ("tool_list", MACHINIST, "A crib keeper begins"),
    ("counted_list", KEEPER, "Begin by entering one"),
    ("counted_list", MACHINIST, "A crib keeper enters it"),
    ("details_missing", KEEPER, "No piece is entered yet."),
    ("place_list", KEEPER, "Add a place"),
    ("place_list", MACHINIST, "A crib keeper enters them."),
    ("count_list", KEEPER, "begins here or on the page of a drawer"),
    ("lathe_list", KEEPER, "Enter a lathe"),
    ("lathe_list", MACHINIST, "A crib keeper enters them."),
    ("my_pieces", MACHINIST, "What you issue to yourself stands here"),
    ("labels", KEEPER, "add a place"),
    ("labels", MACHINIST, "Writing a drawer on a piece makes it."),
    ("due", MACHINIST, "Each that is in Gripbook comes up by its interval"),
    ("setup_sheets", MACHINIST, "Plan a job, open a way to hold it"),
    ("buying", BUYER, "once a crib keeper has entered the pieces"),
    ("buying", MACHINIST, "once a crib keeper has entered the pieces"),
    ("short", BUYER, "begin with the bar"),
    ("short", MACHINIST, "from what is asked"),
    ("blanks", BUYER, "what no collet here holds is weighed here"),
    ("demand", BUYER, "Put on it what stands in the rack"),
    ("prices", BUYER, "No price is entered yet."),
    ("buy", BUYER, "Add to our stock bar"),
    ("orders", BUYER, "What people ask for comes here"),
    ("order_print", BUYER, "What is ordered from the order list stands here"),
    ("meeting", BUYER, "What comes in from the order list"),
]


@pytest.mark.parametrize(("name", "role", "how"), BEGINNINGS, ids=[f"{name}-{role}" for name, role, _ in BEGINNINGS])
def test_a_list_of_nothing_says_how_it_begins(name, role, how, client_of):
    page = client_of(role).get(reverse(name)).content.decode()

    main = page.partition("<main")[2].partition("</main>")[0]
    assert how in " ".join(unescape(re.sub(r"<[^>]+>", "", main)).split())


def test_a_plan_of_an_empty_book_says_how_to_begin(client_of):
    page = client_of(KEEPER).get(reverse("plan"), {"size": "1/2"}).content.decode()

    assert "Nothing is in Gripbook yet" in page
