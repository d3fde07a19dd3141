"""Addresses that are worked out once are those that Django gives."""

import pytest
from django.urls import reverse, set_script_prefix

from inventory.web.addresses import address_of_page, address_of_tag


@pytest.mark.parametrize("name", ["tool", "tool_issue", "tool_history_csv", "tool_take_off"])
def test_the_address_of_a_piece(name):
    assert address_of_tag("C-0011", name) == reverse(name, args=["C-0011"])


def test_a_tag_that_cannot_stand_in_an_address_is_quoted():
    assert address_of_tag("K 1/2?") == "/t/K%201/2%3F/"


def test_an_address_follows_where_the_site_is_put():
    assert address_of_page("plan") == "/plan/"
    set_script_prefix("/crib/")
    try:
        assert (address_of_page("plan"), address_of_tag("C-1")) == ("/crib/plan/", "/crib/t/C-1/")
    finally:
        set_script_prefix("/")
