"""The pages of what is counted: the list, one thing, and the taps."""

import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import CountedItem, CountedMovement, CountedStock, Location
from tests import factories


@pytest.fixture
def item(db):
    return factories.counted("Center drill No. 3", low_mark=3, A4=5)


@pytest.fixture
def machinists_browser(client_of, machinist):
    return client_of(machinist)


@pytest.fixture
def keepers_browser(client_of, keeper):
    return client_of(keeper)


def words(answer):
    return answer.content.decode()


def press(client, name, pk, *, token=None, **more):
    return words(client.post(reverse(name, args=[pk]), {"token": token or uuid.uuid4(), **more}, follow=True))


def take(client, item, how_many=1, **more):
    return press(client, "counted_take", item.stocks.get().pk, how_many=how_many, **more)


def counted_now(item):
    return [stock.count for stock in item.stocks.order_by("location__name")]


def listed(client, **narrowed):
    return words(client.get(reverse("counted_list"), narrowed))


def test_an_empty_list_says_who_begins(client_of):
    assert "Begin by entering one" in listed(client_of("keeper"))
    assert "A crib keeper enters it." in listed(client_of("machinist"))


def test_one_tap_takes_one_and_says_how_many_are_left(item, machinists_browser, machinist):
    page = take(machinists_browser, item)

    assert "Center drill No. 3: 1 taken from drawer A4; 4 left there." in page
    assert CountedMovement.objects.get().by == machinist


def test_a_tap_in_the_list_leads_back_to_the_list(item, machinists_browser):
    answer = machinists_browser.post(
        reverse("counted_take", args=[item.stocks.get().pk]),
        {"token": uuid.uuid4(), "how_many": 1, "next": "/tooling/counted/?state=low"},
    )

    assert answer.url == "/tooling/counted/?state=low"


def test_taking_more_than_is_left_is_refused_in_a_sentence(item, machinists_browser):
    page = take(machinists_browser, item, 6)

    assert "Nothing was changed:" in page and "Only 5 are left in drawer A4." in page
    assert 'value="6"' in page
    assert counted_now(item) == [5]


def test_a_tap_sent_again_is_not_counted_twice(item, machinists_browser):
    token = uuid.uuid4()
    take(machinists_browser, item, token=token)

    page = take(machinists_browser, item, token=token)

    assert "that press was counted already and is not counted twice" in page
    assert counted_now(item) == [4]


def test_a_token_of_another_tap_changes_nothing(item, machinists_browser):
    token = uuid.uuid4()
    take(machinists_browser, item, token=token)

    page = take(machinists_browser, item, 2, token=token)

    assert "this page was used before" in page
    assert counted_now(item) == [4]


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"token": ""}, "This page is too old"),
        ({"how_many": "0"}, "0 was read; write 1 or more."),
        ({"how_many": ""}, "How many is empty. Write it like 5."),
        ({"how_many": "a few"}, "“a few” is no whole number."),
        ({"how_many": "1000001"}, "1000001 was read; write 1000000 or less."),
    ],
)
def test_what_cannot_be_read_is_named_and_nothing_is_changed(sent, says, item, machinists_browser):
    sent = {"token": uuid.uuid4(), "how_many": "1", **sent}
    page = words(machinists_browser.post(reverse("counted_take", args=[item.stocks.get().pk]), sent, follow=True))

    assert says in page
    assert counted_now(item) == [5]


def test_a_retired_thing_is_not_tapped(item, keepers_browser):
    CountedItem.objects.update(retired_at=timezone.now())

    pages = [
        take(keepers_browser, item),
        press(keepers_browser, "counted_top_up", item.stocks.get().pk, how_many="1"),
        press(keepers_browser, "counted_count", item.pk, location="A4", how_many="9"),
    ]

    assert all("is retired: nothing was changed" in page for page in pages)
    assert counted_now(item) == [5]


def test_the_keeper_tops_up(item, keepers_browser):
    page = press(keepers_browser, "counted_top_up", item.stocks.get().pk, how_many="10")

    assert "10 more in drawer A4; 15 there now." in page
    assert counted_now(item) == [15]


def test_a_place_is_counted_anew_in_any_case_of_its_name(item, keepers_browser):
    page = press(keepers_browser, "counted_count", item.pk, location="a4", how_many="0")

    assert "counted as 0 in drawer A4." in page
    assert counted_now(item) == [0]


def test_the_keeper_puts_it_in_another_place_too(item, keepers_browser):
    press(keepers_browser, "counted_count", item.pk, location="Bench 9", how_many="7")

    assert counted_now(item) == [5, 7]
    assert Location.objects.filter(name="Bench 9").exists()


def test_a_count_without_a_place_is_refused(item, keepers_browser):
    page = press(keepers_browser, "counted_count", item.pk, location=" ", how_many="7")

    assert "Drawer or place is empty. Write it like E4." in page
    assert counted_now(item) == [5]


@pytest.mark.parametrize(
    ("role", "buttons"),
    [("machinist", {"Take 1"}), ("keeper", {"Take 1", "Top up", "Retire"}), ("purchasing", set())],
)
def test_each_role_gets_the_buttons_that_it_may_press(role, buttons, item, client_of):
    page = words(client_of(role).get(reverse("counted_item", args=[item.pk])))

    found = {word for word in ("Take 1", "Top up", "Retire") if f"{word}<" in page}
    assert found == buttons


def test_what_is_empty_has_no_button_to_take(machinists_browser):
    factories.counted(A4=0)

    page = listed(machinists_browser)

    assert "none left" in page
    assert "Take 1" not in page


def test_a_thing_is_entered_with_its_place_and_first_count(keepers_browser, keeper):
    sent = {
        "name": "  Way   oil ", "group": "oil", "unit": "quarts", "low_mark": "2", "size": "", "cost": "8.90",
        "notes": "", "location": "Floor rack", "count": "5",
    }  # fmt: skip
    keepers_browser.post(reverse("counted_add"), sent)

    item = CountedItem.objects.get()
    assert (item.name, item.unit, item.low_mark, item.cost_cents) == ("Way oil", "quarts", 2, 890)
    assert (CountedStock.objects.get().count, CountedMovement.objects.get().what) == (5, "counted as")


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"name": ""}, "Name is empty. Write it like Center drill No. 3."),
        ({"name": "CENTER DRILL NO. 3"}, "There is something of this name already"),
        ({"count": "5"}, "A count needs the place that was counted."),
        ({"size": "big"}, "“big” cannot be read as a length."),
        ({"cost": "cheap"}, "“cheap” is not an amount of money."),
        ({"low_mark": "-1"}, "“-1” was read; write 0 to"),
    ],
)
def test_what_is_wrong_in_an_entry_is_said(sent, says, item, keepers_browser):
    page = words(keepers_browser.post(reverse("counted_add"), {"name": "Reamer", "unit": "boxes", **sent}))

    assert says in page
    assert 'value="boxes"' in page
    assert CountedItem.objects.count() == 1


def test_an_edit_is_kept_and_told_in_the_history(item, keepers_browser, keeper):
    page = keepers_browser.get(reverse("counted_edit", args=[item.pk]))
    assert "Center drill No. 3" in words(page)

    sent = {"name": item.name, "group": "center drills", "unit": "pieces", "low_mark": "6", "cost": "3.40"}
    page = words(keepers_browser.post(reverse("counted_edit", args=[item.pk]), sent, follow=True))

    assert "Center drill No. 3 is changed." in page
    assert "low mark: 3 → 6" in page
    assert "empty → $3.40" in page
    assert str(keeper) in page


def test_an_edit_that_changes_nothing_leaves_no_trace(item, keepers_browser):
    entries = item.history.count()
    sent = {"name": item.name, "group": "center drills", "unit": "pieces", "low_mark": "3"}
    page = words(keepers_browser.post(reverse("counted_edit", args=[item.pk]), sent, follow=True))

    assert "Nothing was changed." in page
    assert item.history.count() == entries


def test_a_second_editor_sees_what_the_first_one_changed(item, keepers_browser):
    drawn_from = item.history.first().history_id
    item.low_mark = 9
    item.save()

    sent = {"name": item.name, "unit": "pieces", "low_mark": "4", "drawn_from": drawn_from}
    page = words(keepers_browser.post(reverse("counted_edit", args=[item.pk]), sent))

    assert "Changed meanwhile by Gripbook: low mark: 3 → 9; look, then save again." in page
    assert CountedItem.objects.get().low_mark == 9


def test_a_retired_thing_leaves_the_list_and_can_come_back(item, keepers_browser):
    press(keepers_browser, "counted_retire", item.pk)
    assert "Center drill No. 3" not in listed(keepers_browser)
    assert "Center drill No. 3" in listed(keepers_browser, state="retired")

    press(keepers_browser, "counted_unretire", item.pk)
    assert "Center drill No. 3" in listed(keepers_browser)


def test_the_list_is_narrowed(machinists_browser):
    factories.counted("Way oil", low_mark=2, B1=1)
    factories.counted("Packing", low_mark=2, A4=9)

    for narrowed in ({"text": "OIL"}, {"location": "b1"}, {"state": "low"}):
        page = listed(machinists_browser, **narrowed)
        assert "Way oil" in page
        assert "Packing" not in page
    assert "Nothing counted is like that." in listed(machinists_browser, text="anvil")


def test_one_drawer_still_adds_up_all_of_them(machinists_browser):
    factories.counted("Way oil", low_mark=2, A4=2, B1=1)

    page = listed(machinists_browser, location="B1")

    assert "3 in all" in page
    assert 'worn">low<' not in page


@pytest.mark.parametrize("page", ["desk", "buying"])
def test_what_is_low_stands_on_the_desk_and_under_missing(page, client_of):
    client = client_of("purchasing")
    factories.collet("3/4")
    assert "Nothing that is counted is low." in words(client.get(reverse(page)))

    factories.counted("Way oil", low_mark=3, A4=2, B1=1)
    factories.counted("Packing", low_mark=2, A4=9)

    shown = words(client.get(reverse(page)))
    assert "2 left in drawer A4, 1 left in drawer B1; low at 3" in shown
    assert "Packing" not in shown


def test_a_long_list_takes_no_more_queries(machinists_browser, django_assert_num_queries):
    factories.counted(A4=5, B1=2)
    with django_assert_num_queries(8) as few:
        listed(machinists_browser)
    for _ in range(10):
        factories.counted(A4=5, B1=2)

    with django_assert_num_queries(len(few)):
        listed(machinists_browser)


def test_tooling_leads_to_what_is_counted(machinists_browser):
    assert f'href="{reverse("counted_list")}"' in words(machinists_browser.get(reverse("tool_list")))
