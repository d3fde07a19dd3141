"""Who gets through which door: every address of the site, for every role and for nobody."""

import uuid

import pytest
from django.conf import settings
from django.db import transaction
from django.test import Client
from django.urls import URLResolver, get_resolver, reverse
from django.utils import timezone

from inventory.keeping import counting
from inventory.models import InspectionPhoto, ReadToken, Role
from tests import factories

ANYBODY = set(Role.values)
KEEPERS = {"keeper", "administrator"}
TAKERS = {"machinist", "keeper", "administrator"}
BUYERS = {"purchasing", "administrator"}
BUYERS_AND_KEEPERS = BUYERS | KEEPERS
ADMINISTRATORS = {"administrator"}
EVERYBODY = ANYBODY | {None}
"""Also whoever has not signed in."""

# Method, address, its arguments, and who may.
DOORS = [
    ("get", "tool_list", (), ANYBODY),
    ("get", "tool_add", (), KEEPERS),
    ("get", "tool_add", ("collet",), KEEPERS),
    ("post", "tool_add", ("collet",), KEEPERS),
    ("get", "rack_add", (), KEEPERS),
    ("post", "rack_add", (), KEEPERS),
    ("get", "tool", ("C-0001",), ANYBODY),
    ("get", "tool_edit", ("C-0001",), KEEPERS),
    ("post", "tool_edit", ("C-0001",), KEEPERS),
    ("post", "tool_retire", ("C-0001",), KEEPERS),
    ("post", "tool_unretire", ("C-0001",), KEEPERS),
    ("post", "tool_issue", ("C-0001",), TAKERS),
    ("post", "tool_return", ("C-0001",), TAKERS),
    ("post", "tool_need", ("C-0001",), TAKERS),
    ("get", "place", ("place",), ANYBODY),
    ("get", "place_list", (), ANYBODY),
    ("get", "place_add", (), KEEPERS),
    ("post", "place_add", (), KEEPERS),
    ("get", "place_edit", ("place",), KEEPERS),
    ("post", "place_edit", ("place",), KEEPERS),
    ("post", "place_retire", ("place",), KEEPERS),
    ("post", "place_unretire", ("place",), KEEPERS),
    ("get", "place_issue", ("place",), TAKERS),
    ("post", "place_issue", ("place",), TAKERS),
    ("get", "my_pieces", (), ANYBODY),
    ("post", "my_return", (), TAKERS),
    ("get", "tool_history", ("C-0001",), ANYBODY),
    ("get", "tool_history_csv", ("C-0001",), ANYBODY),
    ("get", "tool_move", ("C-0001",), KEEPERS),
    ("post", "tool_move", ("C-0001",), KEEPERS),
    ("post", "count_begin", ("place",), KEEPERS),
    ("get", "count_list", (), KEEPERS),
    ("get", "count", ("count",), KEEPERS),
    ("post", "count_say", ("count",), KEEPERS),
    ("post", "count_extra", ("count",), KEEPERS),
    ("post", "count_close", ("count",), KEEPERS),
    ("post", "count_drop", ("count",), KEEPERS),
    ("get", "labels", (), ANYBODY),
    ("get", "labels_print", (), ANYBODY),
    ("get", "counted_list", (), ANYBODY),
    ("get", "counted_item", ("counted",), ANYBODY),
    ("get", "counted_add", (), KEEPERS),
    ("post", "counted_add", (), KEEPERS),
    ("get", "counted_edit", ("counted",), KEEPERS),
    ("post", "counted_edit", ("counted",), KEEPERS),
    ("post", "counted_retire", ("counted",), KEEPERS),
    ("post", "counted_unretire", ("counted",), KEEPERS),
    ("post", "counted_count", ("counted",), KEEPERS),
    ("post", "counted_take", ("stock",), TAKERS),
    ("post", "counted_top_up", ("stock",), KEEPERS),
    ("get", "inspect", ("C-0001",), TAKERS),
    ("post", "inspect", ("C-0001",), TAKERS),
    ("get", "inspection_correct", ("C-0001", "look"), KEEPERS),
    ("post", "inspection_correct", ("C-0001", "look"), KEEPERS),
    ("get", "inspection_photo", ("photo",), ANYBODY),
    ("get", "wear", ("C-0001",), ANYBODY),
    ("post", "tool_missing", ("C-0001",), TAKERS),
    ("post", "tool_found", ("C-0001",), TAKERS),
    ("get", "due", (), ANYBODY),
    ("get", "wear_limits", (), ANYBODY),
    ("get", "limits_of_series", ("5C",), KEEPERS),
    ("post", "limits_of_series", ("5C",), KEEPERS),
    ("get", "limits_of_kind", ("live-center",), KEEPERS),
    ("post", "limits_of_kind", ("live-center",), KEEPERS),
    ("get", "details_missing", (), KEEPERS),
    ("post", "details_missing", (), KEEPERS),
    ("get", "tool_hold", ("C-0001",), TAKERS),
    ("post", "tool_hold", ("C-0001",), TAKERS),
    ("post", "tool_unhold", ("C-0001",), TAKERS),
    ("get", "tool_mount", ("C-0001",), TAKERS),
    ("post", "tool_mount", ("C-0001",), TAKERS),
    ("post", "tool_take_off", ("C-0001",), TAKERS),
    ("get", "jaws_add", ("K-0001",), KEEPERS),
    ("post", "jaws_add", ("K-0001",), KEEPERS),
    ("get", "jaws_edit", ("K-0001", "jaws"), KEEPERS),
    ("post", "jaws_edit", ("K-0001", "jaws"), KEEPERS),
    ("post", "jaws_put_in", ("K-0001", "jaws"), TAKERS),
    ("post", "jaws_retire", ("K-0001", "jaws"), KEEPERS),
    ("post", "jaws_unretire", ("K-0001", "jaws"), KEEPERS),
    ("get", "lathe_mount", ("lathe",), TAKERS),
    ("get", "lathe_list", (), ANYBODY),
    ("get", "lathe_add", (), KEEPERS),
    ("post", "lathe_add", (), KEEPERS),
    ("get", "lathe", ("lathe",), ANYBODY),
    ("get", "lathe_edit", ("lathe",), KEEPERS),
    ("post", "lathe_edit", ("lathe",), KEEPERS),
    ("post", "lathe_retire", ("lathe",), KEEPERS),
    ("post", "lathe_unretire", ("lathe",), KEEPERS),
    ("get", "desk", (), ANYBODY),
    ("get", "phone", (), ANYBODY),
    ("get", "administration", (), ADMINISTRATORS),
    ("get", "the_shop", (), ADMINISTRATORS),
    ("post", "the_shop", (), ADMINISTRATORS),
    ("get", "my_units", (), ANYBODY),
    ("post", "my_units", (), ANYBODY),
    ("get", "people", (), ADMINISTRATORS),
    ("get", "person_add", (), ADMINISTRATORS),
    ("post", "person_add", (), ADMINISTRATORS),
    ("get", "person_edit", ("person",), ADMINISTRATORS),
    ("post", "person_edit", ("person",), ADMINISTRATORS),
    ("get", "tokens", (), ADMINISTRATORS),
    ("post", "tokens", (), ADMINISTRATORS),
    ("post", "token_revoke", ("token",), ADMINISTRATORS),
    ("get", "numbers", (), ANYBODY),
    ("get", "seats", (), ANYBODY),
    ("get", "series_list", (), ANYBODY),
    ("get", "series", ("5C", "round"), ANYBODY),
    ("post", "series", ("5C", "round"), KEEPERS),
    ("get", "series_add", (), KEEPERS),
    ("post", "series_add", (), KEEPERS),
    ("get", "series_whole", ("5C",), ANYBODY),
    ("post", "series_whole", ("5C",), KEEPERS),
    ("get", "series_edit", ("5C",), KEEPERS),
    ("post", "series_edit", ("5C",), KEEPERS),
    ("post", "series_retire", ("5C",), KEEPERS),
    ("get", "series_add_shape", ("ER32",), KEEPERS),
    ("post", "series_add_shape", ("ER32",), KEEPERS),
    ("get", "seat", ("MT4",), ANYBODY),
    ("post", "seat", ("MT4",), KEEPERS),
    ("get", "seat_add", (), KEEPERS),
    ("post", "seat_add", (), KEEPERS),
    ("get", "seat_edit", ("MT4",), KEEPERS),
    ("post", "seat_edit", ("MT4",), KEEPERS),
    ("get", "measuring", (), KEEPERS),
    ("post", "measuring", (), KEEPERS),
    ("get", "buying", (), ANYBODY),
    ("post", "want_add", (), ANYBODY),
    ("post", "want_drop", ("want",), BUYERS),
    ("get", "want_thing", (), ANYBODY),
    ("post", "want_thing", (), ANYBODY),
    ("get", "want", ("want",), BUYERS_AND_KEEPERS),
    ("get", "want_edit", ("want",), BUYERS),
    ("post", "want_edit", ("want",), BUYERS),
    ("get", "want_receive", ("ordered",), BUYERS_AND_KEEPERS),
    ("post", "want_receive", ("ordered",), BUYERS_AND_KEEPERS),
    ("get", "orders", (), BUYERS_AND_KEEPERS),
    ("post", "want_steps", (), BUYERS),
    ("get", "order_place", (), BUYERS),
    ("post", "order_place", (), BUYERS),
    ("get", "order_print", (), BUYERS_AND_KEEPERS),
    ("get", "orders_sheet", ("csv",), BUYERS_AND_KEEPERS),
    ("get", "meeting", (), BUYERS_AND_KEEPERS),
    ("get", "short", (), ANYBODY),
    ("post", "lead_time", (), BUYERS),
    ("get", "blanks", (), BUYERS_AND_KEEPERS),
    ("post", "ask_dismiss", (), BUYERS_AND_KEEPERS),
    ("get", "board", ("5C", "round"), ANYBODY),
    ("get", "board_sheet", ("5C", "round"), ANYBODY),
    ("get", "demand", (), BUYERS_AND_KEEPERS),
    ("get", "demand_add", (), BUYERS_AND_KEEPERS),
    ("post", "demand_add", (), BUYERS_AND_KEEPERS),
    ("get", "demand_edit", ("bar",), BUYERS_AND_KEEPERS),
    ("post", "demand_edit", ("bar",), BUYERS_AND_KEEPERS),
    ("post", "demand_drop", ("bar",), BUYERS_AND_KEEPERS),
    ("get", "prices", (), BUYERS_AND_KEEPERS),
    ("post", "prices", (), BUYERS_AND_KEEPERS),
    ("get", "price_set", (), BUYERS_AND_KEEPERS),
    ("post", "price_set", (), BUYERS_AND_KEEPERS),
    ("post", "price_drop", ("price",), BUYERS_AND_KEEPERS),
    ("post", "price_set_drop", ("price set",), BUYERS_AND_KEEPERS),
    ("get", "buy", (), BUYERS_AND_KEEPERS),
    ("post", "buy_want", (), BUYERS),
    ("get", "import_sheet", (), KEEPERS),
    ("post", "import_sheet", (), KEEPERS),
    ("get", "import_preview", ("import",), KEEPERS),
    ("post", "import_preview", ("import",), KEEPERS),
    ("post", "import_headings", ("import",), KEEPERS),
    ("get", "import_match", ("import",), KEEPERS),
    ("post", "import_match", ("import",), KEEPERS),
    ("get", "import_ask", ("import",), KEEPERS),
    ("post", "import_ask", ("import",), KEEPERS),
    ("post", "import_answer", ("import",), KEEPERS),
    ("get", "import_row", ("import", 2), KEEPERS),
    ("post", "import_row", ("import", 2), KEEPERS),
    ("post", "import_drop", ("import",), KEEPERS),
    ("get", "import_entered", (), KEEPERS),
    ("post", "import_undo", ("import",), KEEPERS),
    ("get", "import_refused", ("import",), KEEPERS),
    ("get", "import_blank", ("csv",), KEEPERS),
    ("get", "export_sheet", (), KEEPERS),
    ("get", "export_book", (), KEEPERS),
    ("get", "export_workbook", (), KEEPERS),
    ("get", "export_tab", ("loans",), KEEPERS),
    ("get", "find", (), ANYBODY),
    ("get", "find_json", (), ANYBODY),
    ("get", "card", (), ANYBODY),
    ("get", "card_open", (), ANYBODY),
    ("get", "card_download", (), ANYBODY),
    ("get", "tools_json", (), ANYBODY),
    ("get", "loans_json", (), ANYBODY),
    ("get", "sheets_json", (), ANYBODY),
    ("get", "which_collet", (), ANYBODY),
    ("get", "arithmetic_list", (), ANYBODY),
    ("get", "arithmetic", ("tir",), ANYBODY),
    ("get", "backup", (), ADMINISTRATORS),
    ("post", "backup", (), ADMINISTRATORS),
    ("get", "plan", (), ANYBODY),
    ("get", "plan_way", ("collet",), ANYBODY),
    ("get", "plan_json", (), ANYBODY),
    ("get", "tailstock", ("lathe",), ANYBODY),
    ("get", "which_center", (), ANYBODY),
    ("get", "which_holder", (), ANYBODY),
    ("get", "working_minutes", (), KEEPERS),
    ("post", "working_minutes", (), KEEPERS),
    ("get", "surface_speeds", (), KEEPERS),
    ("post", "surface_speeds", (), KEEPERS),
    ("get", "setup_run", ("setup",), TAKERS),
    ("post", "setup_run", ("setup",), TAKERS),
    ("post", "setup_keep", ("collet",), TAKERS),
    ("get", "setup_sheets", (), ANYBODY),
    ("get", "setup_sheet", ("setup",), ANYBODY),
    ("get", "setup_add", (), TAKERS),
    ("post", "setup_add", (), TAKERS),
    ("get", "setup_edit", ("draft",), TAKERS),
    ("post", "setup_edit", ("draft",), TAKERS),
    ("post", "setup_use", ("draft",), TAKERS),
    ("get", "setup_revise", ("setup",), TAKERS),
    ("post", "setup_revise", ("setup",), TAKERS),
    ("post", "setup_photo_add", ("draft",), TAKERS),
    ("get", "setup_photo", ("setup photo",), ANYBODY),
    ("get", "setup_operation_add", ("draft",), TAKERS),
    ("post", "setup_operation_add", ("draft",), TAKERS),
    ("get", "setup_operation", ("draft", "operation"), TAKERS),
    ("post", "setup_operation", ("draft", "operation"), TAKERS),
    ("post", "setup_operation_act", ("draft", "operation", "later"), TAKERS),
    ("post", "setup_issue", ("setup",), TAKERS),
    ("post", "setup_return", ("setup",), TAKERS),
    ("post", "setup_put_away", ("setup",), TAKERS),
    ("get", "setup_reserve", ("setup",), TAKERS),
    ("post", "setup_reserve", ("setup",), TAKERS),
    ("post", "setup_unreserve", ("setup",), TAKERS),
    ("get", "setup_job", ("setup",), ANYBODY),
    ("get", "lay_out", (), ANYBODY),
    ("get", "shift", (), ANYBODY),
    ("post", "shift_note", (), TAKERS),
    ("get", "shift_notes", (), ANYBODY),
    ("get", "second_factor", (), ADMINISTRATORS),
    ("post", "second_factor", (), ADMINISTRATORS),
    ("get", "sign_in_code", (), EVERYBODY),
    ("get", "confirm", (), ANYBODY),
    ("post", "confirm", (), ANYBODY),
    ("get", "devices", (), ANYBODY),
    ("post", "devices", (), ANYBODY),
    ("get", "password", (), ANYBODY),
    ("post", "password", (), ANYBODY),
    ("post", "sign_out", (), ANYBODY),
    ("get", "sign_in", (), EVERYBODY),
    ("get", "health", (), EVERYBODY),
    ("get", "guide", (), EVERYBODY),
    ("get", "guide_for", ("machinist",), EVERYBODY),
    ("get", "out_of_reach", (), EVERYBODY),
    ("get", "reach_script", (), EVERYBODY),
    ("get", "reach_card_script", (), EVERYBODY),
]
NAMES = [f"{method}-{name}-{len(args)}" for method, name, args, _ in DOORS]


# Whoever may not, and who else may, is told by the roles, not by the book; administrators see every page of it.
ONE_DATABASE = pytest.mark.one_database("an administrator goes through the same doors on each database")
ROLES = [role if role == Role.ADMINISTRATOR else pytest.param(role, marks=ONE_DATABASE) for role in Role.values]


@pytest.fixture
def address(rows):
    """Gives the address of a door, with the rows that it leads to."""
    return lambda name, args: reverse(name, args=[rows.get(arg, arg) for arg in args])


@pytest.fixture(scope="module")
def rows(django_db_setup, django_db_blocker):
    """The keys of the rows that doors lead to, by the word that stands for them in the table.

    They are entered once: what goes on behind a door is undone after each test, and these rows after the last.
    """
    with django_db_blocker.unblock(), transaction.atomic():
        yield _rows_entered()
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def sessions(rows, django_db_blocker):
    """The session of somebody of each role, who signed in once for all tests of these doors."""
    with django_db_blocker.unblock():
        browsers = {role: Client() for role in Role.values}
        for role, browser in browsers.items():
            browser.force_login(factories.user(role), backend="django.contrib.auth.backends.ModelBackend")
        return {role: browser.cookies[settings.SESSION_COOKIE_NAME].value for role, browser in browsers.items()}


def _rows_entered():
    look = factories.reading(factories.collet(tag="C-0001"))
    counted, draft = factories.counted(A4=3), factories.setup_sheet()
    ReadToken.objects.make(name="Board by the crib", by=factories.user("administrator"))
    made = {
        "lathe": factories.lathe(),
        "person": factories.user("machinist"),
        "want": factories.want(),
        "ordered": factories.want_of(what="MT3 drawbar", state="ordered"),
        "token": ReadToken.objects.get(),
        "import": factories.sheet_read("tag,kind\nC-1,collet\n").sent,
        "setup": factories.setup_sheet(),
        "draft": draft,
        "operation": draft.operations.create(order=1, does="turning"),
        "setup photo": draft.photos.create(jpeg=b"a picture"),
        "counted": counted,
        "stock": counted.stocks.get(),
        "look": look,
        "photo": InspectionPhoto.objects.create(inspection=look, jpeg=b"a picture"),
        "place": factories.place("A2"),
        "bar": factories.kept_bar(),
        "price": factories.price(),
        "price set": factories.price_set(),
        "jaws": factories.jaws(of=factories.chuck(tag="K-0001")),
        "count": counting.begin(factories.place("A2"), by=factories.user(), at=timezone.now()),
    }
    return {word: row.pk for word, row in made.items()}


@pytest.mark.parametrize(("method", "name", "args", "may"), DOORS, ids=NAMES)
@pytest.mark.parametrize("role", ROLES)
def test_a_door_opens_to_those_roles_that_may_and_to_no_other(method, name, args, may, role, address, db, sessions):
    browser = Client()
    browser.cookies[settings.SESSION_COOKIE_NAME] = sessions[role]
    answer = getattr(browser, method)(address(name, args), {"token": uuid.uuid4()})
    if answer.streaming:
        list(answer.streaming_content)  # to close it would end PostgreSQL's connection, and with it these rows

    if role in may:
        assert answer.status_code in {200, 302, 400}
    else:
        assert answer.status_code == 403


def test_every_door_opens_to_administrators():
    assert [name for _, name, _, may in DOORS if Role.ADMINISTRATOR not in may] == []


@ONE_DATABASE
@pytest.mark.parametrize(("method", "name", "args", "may"), DOORS, ids=NAMES)
def test_nobody_gets_through_a_door_without_signing_in(method, name, args, may, address, client_of):
    answer = getattr(client_of(None), method)(address(name, args))

    is_sent_to_the_door = answer.status_code == 302 and answer.url.startswith(f"{reverse('sign_in')}?")
    assert (is_sent_to_the_door or answer.status_code == 401) == (None not in may)


def names_of_all_addresses(resolver=None):
    """The administration is Django's own, and its one door is tried in test_door."""
    for pattern in (resolver or get_resolver()).url_patterns:
        if not isinstance(pattern, URLResolver):
            yield pattern.name
        elif pattern.namespace != "admin":
            yield from names_of_all_addresses(pattern)


def test_every_address_of_the_site_is_in_the_table():
    assert set(names_of_all_addresses()) - {None} == {name for _, name, _, _ in DOORS}


def test_whoever_may_not_is_told_who_may(client_of):
    answer = client_of("machinist").get(reverse("tool_add"))

    assert "crib keepers and administrators" in answer.content.decode()


@pytest.mark.parametrize("name", ["tool_retire", "tool_unretire", "tool_issue", "tool_return"])
def test_an_address_that_changes_something_answers_no_get(name, address, client_of):
    answer = client_of("administrator").get(address(name, ("C-0001",)))

    assert answer.status_code == 405
