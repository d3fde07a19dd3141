"""Who gets through which door: every address of the inventory, for every role and for nobody."""

import uuid

import pytest
from django.urls import reverse

from inventory.models import ReadToken, Role
from inventory.urls import urlpatterns
from tests import factories

ANYBODY = set(Role.values)
KEEPERS = {"keeper", "administrator"}
TAKERS = {"machinist", "keeper", "administrator"}
BUYERS = {"purchasing", "administrator"}
ADMINISTRATORS = {"administrator"}

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
    ("get", "lathe_list", (), ANYBODY),
    ("get", "lathe_add", (), KEEPERS),
    ("post", "lathe_add", (), KEEPERS),
    ("get", "lathe", ("lathe",), ANYBODY),
    ("get", "lathe_edit", ("lathe",), KEEPERS),
    ("post", "lathe_edit", ("lathe",), KEEPERS),
    ("post", "lathe_retire", ("lathe",), KEEPERS),
    ("post", "lathe_unretire", ("lathe",), KEEPERS),
    ("get", "desk", (), ANYBODY),
    ("get", "tokens", (), ADMINISTRATORS),
    ("post", "tokens", (), ADMINISTRATORS),
    ("post", "token_revoke", ("token",), ADMINISTRATORS),
    ("get", "missing", (), ANYBODY),
    ("post", "want_add", (), ANYBODY),
    ("post", "want_drop", ("want",), BUYERS),
]
NAMES = [f"{method}-{name}-{len(args)}" for method, name, args, _ in DOORS]


@pytest.fixture
def address(db):
    """Gives the address of a door, with the rows that it leads to."""
    factories.collet(tag="C-0001")
    lathe, want = factories.lathe(), factories.want()
    ReadToken.objects.make(name="Board by the crib", by=factories.user("administrator"))
    keys = {"lathe": lathe.pk, "want": want.pk, "token": ReadToken.objects.get().pk}
    return lambda name, args: reverse(name, args=[keys.get(arg, arg) for arg in args])


@pytest.mark.parametrize(("method", "name", "args", "may"), DOORS, ids=NAMES)
@pytest.mark.parametrize("role", Role.values)
def test_a_door_opens_to_those_roles_that_may_and_to_no_other(method, name, args, may, role, address, client_of):
    answer = getattr(client_of(role), method)(address(name, args), {"token": uuid.uuid4()})

    if role in may:
        assert answer.status_code in {200, 302}
    else:
        assert answer.status_code == 403


@pytest.mark.parametrize(("method", "name", "args", "may"), DOORS, ids=NAMES)
def test_nobody_gets_through_a_door_without_signing_in(method, name, args, may, address, client_of):
    answer = getattr(client_of(None), method)(address(name, args))

    assert answer.status_code == 302
    assert answer.url.startswith(reverse("sign_in"))


def test_every_address_of_the_inventory_is_in_the_table():
    assert {pattern.name for pattern in urlpatterns} == {name for _, name, _, _ in DOORS}


def test_whoever_may_not_is_told_who_may(client_of):
    answer = client_of("machinist").get(reverse("tool_add"))

    assert "crib keepers and administrators" in answer.content.decode()


@pytest.mark.parametrize("name", ["tool_retire", "tool_unretire", "tool_issue", "tool_return"])
def test_an_address_that_changes_something_answers_no_get(name, address, client_of):
    answer = client_of("administrator").get(address(name, ("C-0001",)))

    assert answer.status_code == 405
