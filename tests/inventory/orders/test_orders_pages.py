"""A want on its way: asked for, approved, ordered, received as pieces with their tags, or dropped."""

import re
import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import CountedStock, Kind, Tool, Want
from inventory.transfer import sheets
from tests import factories


@pytest.fixture
def buyer(client_of, purchasing):
    return client_of(purchasing)


def entry(want) -> int:
    return want.history.first().history_id


def press(client, step, *wants, **more):
    lines = [f"{want.pk}:{entry(want)}" for want in wants]
    return client.post(reverse("want_steps"), {"step": step, "line": lines, **more}, follow=True).content.decode()


def order(client, *wants, entries=None, **fields):
    typed = {"supplier": "Tool dealer", "order_number": "1047", "expected_on": "2031-05-20", **fields}
    for want in wants:
        typed |= {f"quantity_{want.pk}": want.quantity, f"price_{want.pk}": "28.50"}
        typed[f"entry_{want.pk}"] = (entries or {}).get(want.pk) or entry(want)
    typed |= {name: value for name, value in fields.items() if "_" in name}
    return client.post(
        reverse("order_place"), {**typed, "want": [want.pk for want in wants]}, follow=True
    ).content.decode()


def receive(client, want, **fields):
    typed = {"count": want.quantity, "location": "A2", "price": "27.00", "token": uuid.uuid4()}
    if want.kind or want.size_id:
        typed["first_tag"] = "C-0101"
    typed = {**typed, "drawn_from": entry(want), **fields}
    return client.post(reverse("want_receive", args=[want.pk]), typed, follow=True).content.decode()


def state(want):
    want.refresh_from_db()
    return want.state


def test_an_empty_order_list_says_what_would_be_here(buyer):
    page = buyer.get(reverse("orders")).content.decode()

    assert "Nothing waits for approval." in page
    assert "Nothing is on order." in page
    assert "Late" not in page


def test_a_filter_that_matches_nothing_says_so_and_not_that_nothing_waits(buyer):
    factories.want()

    page = buyer.get(reverse("orders"), {"text": "nothing-has-this"}).content.decode()

    assert "Nothing to approve matches the filter." in page
    assert "Nothing waits" not in page
    assert "Nothing is on order" not in page


def test_the_ticked_lines_are_approved_and_the_others_wait(buyer):
    one, other = factories.want(), factories.want(factories.size("1/2"))

    page = press(buyer, "approve", one)

    assert "3/4 round 5C is approved." in page
    assert (state(one), state(other)) == ("approved", "wanted")


def test_each_step_is_kept_with_who_and_when(buyer, purchasing):
    want = factories.want()
    press(buyer, "approve", want)
    order(buyer, want)

    page = buyer.get(reverse("want", args=[want.pk])).content.decode()

    assert "state: wanted → approved" in page
    assert "state: approved → ordered" in page
    assert str(purchasing) in page
    assert [row.history_user for row in want.history.all()[:2]] == [purchasing, purchasing]


def test_what_was_approved_stays_ticked_to_be_ordered_and_nothing_else_is(buyer):
    lines = [factories.want(factories.size(size)) for size in ("1/4", "1/2", "3/4")]
    page = press(buyer, "approve", *lines[:2])

    ticked = re.findall(r'value="(\d+):\d*" id="line-\d+" checked', page)

    assert sorted(map(int, ticked)) == sorted(want.pk for want in lines[:2])


def test_one_line_stands_beside_the_list_with_what_is_next(buyer):
    want = factories.want(what="", why="the only one")
    page = buyer.get(reverse("orders"), {"line": want.pk}).content.decode()

    beside = page[page.index('id="beside"') :]
    assert "the only one" in beside and reverse("want", args=[want.pk]) in beside
    for line in ("x", "0", "99999999999999999999"):
        assert 'id="beside"' not in buyer.get(reverse("orders"), {"line": line}).content.decode()


def test_what_was_dropped_meanwhile_is_not_approved(buyer):
    want = factories.want()
    drawn = f"{want.pk}:{entry(want)}"
    press(buyer, "drop", want)

    page = buyer.post(reverse("want_steps"), {"step": "approve", "line": drawn}, follow=True).content.decode()

    assert state(want) == "dropped"
    assert "Changed meanwhile by" in page
    assert "state: wanted → dropped" in page


def test_approving_twice_changes_nothing_twice(buyer):
    want = factories.want()
    press(buyer, "approve", want)

    page = press(buyer, "approve", want)

    assert "is approved already; nothing was changed." in page
    assert want.history.count() == 2


@pytest.mark.parametrize("sent", [{}, {"line": "x"}, {"line": "9" * 30}, {"line": "77:1", "step": "approve"}])
def test_a_line_that_is_none_changes_nothing(buyer, sent):
    want = factories.want()

    answer = buyer.post(reverse("want_steps"), {"step": "approve", **sent}, follow=True)

    assert answer.status_code == 200
    assert state(want) == "wanted"


def test_one_order_takes_several_lines(buyer):
    wants = [factories.want(state="approved"), factories.want(factories.size("1/2"))]

    page = order(buyer, *wants)

    assert "2 lines ordered from Tool dealer." in page
    assert "Order 1047 to Tool dealer" in page
    assert "$57.00" in page
    assert {(want.state, want.price_cents, want.expected_on) for want in Want.objects.all()} == {
        ("ordered", 2850, date(2031, 5, 20))
    }


def test_an_order_without_a_supplier_is_not_kept_and_what_was_typed_stays(buyer):
    want = factories.want()

    page = order(buyer, want, supplier="")

    assert "Supplier is empty." in page
    assert 'value="28.50"' in page
    assert state(want) == "wanted"


def test_a_price_that_is_none_is_refused_with_a_sentence(buyer):
    want = factories.want()

    page = order(buyer, want, **{f"price_{want.pk}": "much"})

    assert "“much” is not an amount of money." in page
    assert state(want) == "wanted"


def test_the_second_to_order_sees_what_the_first_changed(buyer, client_of):
    want = factories.want()
    drawn = {want.pk: entry(want)}
    order(client_of("purchasing"), want, supplier="First dealer")
    want.refresh_from_db()

    page = order(buyer, want, entries=drawn, supplier="Second dealer")

    want.refresh_from_db()
    assert want.supplier == "First dealer"
    assert "ordered or removed already" in page


def test_the_second_to_edit_sees_what_the_first_changed(buyer):
    want = factories.want()
    page_of_both = {"drawn_from": entry(want)}
    url = reverse("want_edit", args=[want.pk])
    buyer.post(url, {"quantity": 3, "why": "first", **page_of_both})

    page = buyer.post(url, {"quantity": 5, "why": "second", **page_of_both}).content.decode()

    want.refresh_from_db()
    assert (want.quantity, want.why) == (3, "first")
    assert "Changed meanwhile by" in page
    assert "how many: 1 → 3" in page


def test_the_price_that_is_known_is_proposed(buyer):
    factories.price("3/4", cents=3100)
    want = factories.want()

    page = buyer.get(reverse("order_place"), {"want": want.pk}).content.decode()

    assert 'value="31.00"' in page


@pytest.mark.parametrize(("days", "is_late"), [(-1, True), (0, False), (1, False)], ids=["past", "today", "to come"])
def test_what_did_not_come_on_its_day_is_late(buyer, days, is_late):
    factories.want(state="ordered", expected_on=timezone.localdate() + timedelta(days=days))

    page = buyer.get(reverse("orders")).content.decode()

    assert ("<h2>Late" in page) == is_late


def test_what_is_received_becomes_pieces_with_tags_place_and_price(buyer):
    factories.collet("1/2", tag="C-0011", location="A1")
    want = factories.want(state="ordered", quantity=2)

    page = receive(buyer, want)

    tools = Tool.objects.filter(tag__startswith="C-01").order_by("tag")
    assert [(tool.tag, str(tool.size), tool.location.name, tool.cost_cents, tool.condition) for tool in tools] == [
        ("C-0101", "3/4 round 5C", "A2", 2700, "good"),
        ("C-0102", "3/4 round 5C", "A2", 2700, "good"),
    ]
    assert state(want) == "received"
    assert want.received_at is not None
    assert "C-0101, C-0102 in Gripbook" in page
    assert f"{reverse('labels_print')}?edges=on&amp;tags=C-0101,C-0102" in page


def test_the_next_free_tag_and_the_drawer_of_its_size_are_proposed(buyer):
    factories.collet("3/4", tag="C-0031", location="A5")
    factories.collet("1/2", tag="C-0032", location="A1")
    want = factories.want(state="ordered")

    page = buyer.get(reverse("want_receive", args=[want.pk])).content.decode()

    assert 'value="C-0033"' in page
    assert 'value="A5"' in page


def test_tags_that_are_used_are_passed_over(buyer):
    factories.collet("1/2", tag="C-0102")
    want = factories.want(state="ordered", quantity=2)

    receive(buyer, want)

    assert set(want.pieces.values_list("tag", flat=True)) == {"C-0101", "C-0103"}


def test_a_tag_that_is_on_another_piece_enters_nothing(buyer):
    factories.collet("1/2", tag="C-0101")
    want = factories.want(state="ordered", quantity=2)

    page = receive(buyer, want)

    assert "C-0101 is on another piece already." in page
    assert state(want) == "ordered"
    assert Tool.objects.count() == 1


def test_receiving_twice_makes_the_pieces_once(buyer):
    want = factories.want(state="ordered")
    drawn = entry(want)
    receive(buyer, want)

    page = receive(buyer, want, first_tag="C-0201", drawn_from=drawn)

    assert "nothing was entered" in page
    assert Tool.objects.count() == 1


def test_the_rest_of_an_order_stays_on_order_where_that_is_said(buyer):
    want = factories.want(state="ordered", quantity=3, order_number="1047")

    page = receive(buyer, want, count=1, rest_comes="on")

    assert "2 still on order" in page
    rest = Want.objects.get(state="ordered")
    assert (state(want), want.quantity) == ("received", 1)
    assert (rest.size, rest.quantity, rest.order_number) == (want.size, 2, "1047")


def test_a_part_of_an_order_closes_it_where_nothing_more_comes(buyer):
    want = factories.want(state="ordered", quantity=3)

    receive(buyer, want, count=1)

    assert not Want.objects.open().exists()


def test_a_link_in_words_becomes_a_piece_with_its_seats(buyer):
    want = factories.want_of(what="MT5 to MT2 sleeve", kind="sleeve", mount="MT5", takes="MT2", state="ordered")

    receive(buyer, want, first_tag="H-0101", mount="MT5", takes="MT2")

    sleeve = Tool.objects.get()
    assert (sleeve.kind, sleeve.mounts_in.code, sleeve.offers.code) == (Kind.SLEEVE, "MT5", "MT2")
    assert sleeve.missing_details == ()


def test_a_blank_becomes_a_machinable_collet_with_its_pilot_hole(buyer):
    want = factories.want(kind="machinable collet", state="ordered")

    receive(buyer, want, pilot="1/16")

    blank = Tool.objects.get()
    assert (blank.kind, blank.size, blank.mounts_in.code) == (Kind.MACHINABLE_COLLET, None, "5C")
    assert blank.missing_details == ()


def test_something_counted_is_topped_up(buyer):
    item = factories.counted("Way oil", A4=1)
    want = factories.want_of(item=item, quantity=5, state="ordered")

    receive(buyer, want, location="A4")

    assert CountedStock.objects.get().count == 6
    assert CountedStock.objects.get().movements.get().what == "topped up"
    assert state(want) == "received"


def test_what_gets_no_tag_is_only_closed(buyer):
    want = factories.want_of(what="Way wipers", state="ordered")

    receive(buyer, want)

    assert state(want) == "received"
    assert not Tool.objects.exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"count": "201"}, "201 was read; at most 200 come in at once."),
        ({"count": "0"}, "write 1 or more"),
        ({"first_tag": "?"}, "is no tag"),
        ({"price": "dear"}, "is not an amount of money"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(buyer, fields, sentence):
    want = factories.want(state="ordered")

    page = receive(buyer, want, **fields)

    assert sentence in page
    assert state(want) == "ordered"
    assert not Tool.objects.exists()


def test_what_is_not_approved_is_not_received(buyer):
    want = factories.want()

    assert "nothing was entered" in receive(buyer, want)
    assert not Tool.objects.exists()


def test_a_keeper_receives_and_is_offered_no_order(client_of):
    want = factories.want(state="ordered")
    keeper = client_of("keeper")

    page = keeper.get(reverse("want", args=[want.pk])).content.decode()

    assert "Receive it" in page
    assert "Order it" not in page
    assert "Approve it" not in page


def test_a_machinist_asks_for_something_in_words(client_of, machinist):
    page = (
        client_of(machinist)
        .post(reverse("want_thing"), {"what": " MT3   drawbar ", "kind": "drawbar"}, follow=True)
        .content.decode()
    )

    assert "MT3 drawbar is asked for." in page
    assert Want.objects.get().asked_by == machinist


def test_the_same_words_in_capitals_are_asked_for_once(client_of):
    factories.want_of(what="MT3 drawbar")

    page = client_of("machinist").post(reverse("want_thing"), {"what": "MT3 DRAWBAR"}, follow=True).content.decode()

    assert "is asked for already" in page
    assert Want.objects.count() == 1


def test_asking_for_nothing_says_what_to_write(client_of):
    page = client_of("machinist").post(reverse("want_thing"), {}).content.decode()

    assert "Write what to order, like MT3 drawbar" in page


def test_the_open_list_goes_into_a_sheet_and_no_cell_of_it_is_a_formula(buyer):
    factories.want(state="ordered", supplier="=cmd()", price_cents=2850, quantity=2)
    factories.want(factories.size("1/2"), state="received")

    content = buyer.get(reverse("orders_sheet", args=["csv"])).content

    rows = sheets.grid(content, name="orders.csv")
    assert b"'=cmd()" in content
    assert b"57.00" in content
    assert len(rows.rows) == 2


def test_the_list_comes_as_xlsx_too_and_in_no_other_form(buyer):
    factories.want()

    assert buyer.get(reverse("orders_sheet", args=["xlsx"])).content.startswith(b"PK")
    assert buyer.get(reverse("orders_sheet", args=["pdf"])).status_code == 404


def test_the_printed_order_has_a_sheet_for_each_supplier_and_number(buyer):
    factories.want(state="ordered", supplier="Dealer", order_number="1")
    factories.want(factories.size("1/2"), state="ordered", supplier="Dealer", order_number="2")
    factories.want(factories.size("1"), state="ordered", supplier="Merchant")

    every = buyer.get(reverse("order_print")).content.decode()
    one = buyer.get(reverse("order_print"), {"supplier": "dealer", "number": "2"}).content.decode()

    assert len(re.findall("<section", every)) == 3
    assert len(re.findall("<section", one)) == 1


def test_a_want_of_a_size_that_is_coming_is_not_bought_again(client_of):
    factories.lathe()
    factories.closer()
    factories.kept_bar("3/4", grade="")
    factories.price("3/4")
    want = factories.want()
    buyer = client_of("purchasing")

    assert "3/4 round 5C" in buyer.get(reverse("buy")).content.decode()
    press(buyer, "approve", want)

    assert "Held by what is here: 1" in buyer.get(reverse("buy")).content.decode()


def test_the_tables_of_the_order_list_are_in_the_order_of_their_heads(buyer):
    for size, cents in (("1/2", 900), ("3/4", None), ("1/4", 3000)):
        factories.want(factories.size(size), price_cents=cents)

    page = buyer.get(reverse("orders"), {"order": "-price"}).content.decode()

    assert re.findall(r"> (\S+) round 5C</label>", page) == ["1/4", "1/2", "3/4"]
    assert 'aria-sort="descending"' in page


def test_what_narrows_the_order_list_is_said_with_the_way_to_be_without_it(buyer):
    factories.want(why="gland studs")
    factories.want(factories.size("1/2"), why="a bushing")

    page = buyer.get(reverse("orders"), {"text": "gland"}).content.decode()

    assert "what gland" in page.partition("<details")[0]
    assert "3/4 round 5C" in page
    assert "1/2 round 5C" not in page
