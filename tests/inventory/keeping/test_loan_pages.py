"""Issue to me, and return."""

import re
import uuid
from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.models import Loan, Tool
from tests import factories


@pytest.fixture
def tool(db):
    return factories.collet(tag="C-0011", location="A2")


@pytest.fixture
def machinists_browser(client_of, machinist):
    return client_of(machinist)


def press(client, name, token, **more):
    return client.post(reverse(name, args=["C-0011"]), {"token": token, **more}, follow=True)


def words(answer):
    return answer.content.decode()


def test_a_piece_is_issued_to_whoever_presses(tool, machinists_browser, machinist):
    page = words(press(machinists_browser, "tool_issue", uuid.uuid4()))

    assert "C-0011 is issued to you." in page
    assert Loan.objects.open().get().borrower == machinist


@pytest.mark.parametrize(("back_in", "days"), [("0", 0), ("3", 3), ("7", 7)])
def test_whoever_takes_a_piece_can_say_when_it_will_be_back(back_in, days, tool, machinists_browser):
    page = words(press(machinists_browser, "tool_issue", uuid.uuid4(), back_in=back_in))

    expected = timezone.localdate() + timedelta(days=days)
    assert Loan.objects.get().due_on == expected
    assert f"Expected back {expected}." in page


def test_a_day_that_is_none_of_the_choices_is_refused(tool, machinists_browser):
    page = words(press(machinists_browser, "tool_issue", uuid.uuid4(), back_in="soon"))

    assert "Expected back: choose today, in 3 days or in a week." in page
    assert not Loan.objects.exists()


def test_a_piece_that_is_late_says_so(tool, machinists_browser, machinist):
    factories.loan(tool, to=machinist, due_on=date(2026, 2, 1))

    page = words(machinists_browser.get(tool.get_absolute_url()))

    assert "expected back 2026-02-01" in page
    assert "overdue" in page


def test_the_same_press_sent_twice_issues_once(tool, machinists_browser):
    token = uuid.uuid4()

    press(machinists_browser, "tool_issue", token)
    page = words(press(machinists_browser, "tool_issue", token))

    assert "C-0011 is issued to you." in page
    assert Loan.objects.count() == 1


def test_a_piece_that_is_out_says_who_has_it(tool, machinists_browser):
    other = factories.user("machinist", name="pat")
    factories.loan(tool, to=other)

    page = words(press(machinists_browser, "tool_issue", uuid.uuid4()))

    assert "C-0011 is out to pat already" in page
    assert Loan.objects.count() == 1


@pytest.mark.parametrize(
    ("columns", "reason"),
    [
        ({"condition": "damaged"}, "C-0011 is damaged and is not issued."),
        ({"condition": "scrapped"}, "C-0011 is scrapped and is not issued."),
        ({"missing_since": date(2026, 2, 1)}, "C-0011 is missing since 2026-02-01."),
        ({"retired_at": timezone.now()}, "C-0011 is retired and is not issued."),
    ],
    ids=["damaged", "scrapped", "missing", "retired"],
)
def test_what_is_not_in_service_is_not_issued(columns, reason, tool, machinists_browser):
    type(tool).objects.filter(pk=tool.pk).update(**columns)

    page = words(press(machinists_browser, "tool_issue", uuid.uuid4()))

    assert reason in page
    assert not Loan.objects.exists()


def test_a_worn_piece_is_issued(tool, machinists_browser):
    type(tool).objects.update(condition="worn")

    press(machinists_browser, "tool_issue", uuid.uuid4())

    assert Loan.objects.open().exists()


@pytest.mark.parametrize("token", ["", "not a token"])
def test_a_press_without_a_token_changes_nothing(token, tool, machinists_browser):
    page = words(press(machinists_browser, "tool_issue", token))

    assert "C-0011 was not issued" in page
    assert not Loan.objects.exists()


def test_a_used_token_issues_no_second_piece(tool, machinists_browser, machinist):
    used = factories.loan(factories.collet(tag="C-0012"), to=machinist)

    page = words(press(machinists_browser, "tool_issue", used.token))

    assert "this page was used before" in page
    assert Loan.objects.count() == 1


def test_a_returned_piece_names_its_drawer(tool, machinists_browser, machinist):
    loan = factories.loan(tool, to=machinist)

    page = words(press(machinists_browser, "tool_return", loan.token))

    assert "C-0011 is returned; its place is drawer A2." in page
    assert not Loan.objects.open().exists()


def test_a_late_return_leaves_the_next_ones_loan_alone(tool, machinists_browser, machinist):
    ended = factories.loan(tool, to=machinist)
    press(machinists_browser, "tool_return", ended.token)
    factories.loan(tool, to=factories.user("machinist", name="pat"))

    page = words(press(machinists_browser, "tool_return", ended.token))

    assert "it is out to pat" in page
    assert Loan.objects.open().count() == 1


def test_a_return_of_what_is_in_its_drawer_says_so(tool, machinists_browser):
    assert "C-0011 is not out" in words(press(machinists_browser, "tool_return", uuid.uuid4()))


def test_after_the_press_one_is_where_the_page_said(tool, machinists_browser):
    answer = press(machinists_browser, "tool_issue", uuid.uuid4(), next="/tooling/?series=5C")

    assert answer.redirect_chain == [("/tooling/?series=5C", 302)]


@pytest.mark.parametrize("elsewhere", ["https://example.com/", "//example.com", "/\\example.com", "tooling/"])
def test_after_the_press_nobody_is_led_off_the_site(elsewhere, tool, machinists_browser):
    answer = press(machinists_browser, "tool_issue", uuid.uuid4(), next=elsewhere)

    assert answer.redirect_chain == [("/t/C-0011/", 302)]


def test_the_piece_page_offers_to_issue_and_then_to_return(tool, machinists_browser):
    before = words(machinists_browser.get(tool.get_absolute_url()))
    after = words(press(machinists_browser, "tool_issue", uuid.uuid4()))

    assert "Take it" in before
    assert "Take it" not in after
    assert f'value="{Loan.objects.get().token}"' in after


def test_a_keeper_issues_to_somebody_else(tool, client_of, keeper, machinist):
    page = words(press(client_of(keeper), "tool_issue", uuid.uuid4(), to=machinist.pk))

    loan = Loan.objects.get()
    assert f"C-0011 is issued to {machinist}." in page
    assert (loan.borrower, loan.issued_by) == (machinist, keeper)


def test_a_machinist_issues_to_nobody_else(tool, machinists_browser):
    page = words(press(machinists_browser, "tool_issue", uuid.uuid4(), to=factories.user("machinist").pk))

    assert "Only crib keepers issue to others." in page
    assert not Loan.objects.exists()


def test_nothing_is_issued_to_who_may_not_take_pieces_out(tool, client_of, purchasing):
    page = words(press(client_of("keeper"), "tool_issue", uuid.uuid4(), to=purchasing.pk))

    assert "choose somebody who may take pieces out" in page
    assert not Loan.objects.exists()


def test_a_piece_issued_for_a_lathe_is_mounted_until_it_is_back(db, machinists_browser, machinist):
    lathe, chuck = factories.lathe("Lathe 1"), factories.chuck(tag="C-0011")

    page = words(press(machinists_browser, "tool_issue", uuid.uuid4(), lathe=lathe.pk))
    chuck.refresh_from_db()
    on_it = chuck.mounted_on
    press(machinists_browser, "tool_return", Loan.objects.get().token)
    chuck.refresh_from_db()

    assert "C-0011 is issued to you, and is on Lathe 1." in page
    assert on_it == lathe
    assert chuck.mounted_on is None


def test_nothing_is_issued_for_a_lathe_without_room(db, machinists_browser):
    lathe = factories.lathe("Lathe 1")
    factories.chuck(tag="K-0009", mounted_on=lathe, mounted_at="nose")
    factories.chuck(tag="C-0011")

    page = words(press(machinists_browser, "tool_issue", uuid.uuid4(), lathe=lathe.pk))

    assert "K-0009 is" in page
    assert "Take that off first" in page
    assert not Loan.objects.exists()


def test_what_came_back_damaged_is_out_of_use_at_once(tool, machinists_browser, machinist):
    loan = factories.loan(tool, to=machinist)

    answer = press(machinists_browser, "tool_return", loan.token, came_back="damaged")

    tool.refresh_from_db()
    assert answer.redirect_chain[-1][0] == reverse("inspect", args=["C-0011"])
    assert tool.condition == "damaged"
    assert tool.inspections.get().verdict == "damaged"


def test_my_pieces_are_returned_one_by_one_or_all_at_once(db, machinists_browser, machinist):
    mine = [factories.loan(factories.collet(tag=f"C-{number}"), to=machinist) for number in range(3)]
    other = factories.loan(factories.collet(tag="C-9"))
    page = words(machinists_browser.get(reverse("my_pieces")))
    tokens = [loan.token for loan in [*mine, other]]

    done = words(machinists_browser.post(reverse("my_return"), {"loan": [*tokens, "x"]}, follow=True))
    again = words(machinists_browser.post(reverse("my_return"), {"loan": tokens}, follow=True))

    assert "Bring back all 3" in page
    assert "C-9" not in page
    assert "Returned: C-0, C-1, C-2." in done
    assert "it was returned already" in again
    assert [loan.tool.tag for loan in Loan.objects.open()] == ["C-9"]


def test_a_keeper_takes_back_what_somebody_has(client_of, machinist):
    loans = [factories.loan(factories.collet(tag=f"C-{number}"), to=machinist) for number in range(2)]
    keeper = client_of("keeper")
    page = words(keeper.get(reverse("my_pieces"), {"of": machinist.username}))

    done = words(keeper.post(reverse("my_return"), {"loan": [loan.token for loan in loans]}, follow=True))

    assert f"Out to {machinist}" in page
    assert "Bring back all 2" in page
    assert "Returned: C-0, C-1." in done


def test_what_somebody_has_out_is_a_table_that_is_put_in_order_and_narrowed(client_of, machinist):
    for tag, size, due in (("C-1", "3/4", None), ("C-2", "1/4", date(2026, 2, 1)), ("C-3", "1/2", None)):
        factories.loan(factories.collet(size, tag=tag, location=f"A{tag[-1]}"), to=machinist, due_on=due)
    browser = client_of(machinist)

    def tags(**query):
        return re.findall(r'<a class="all" href="/t/([^/]+)/', words(browser.get(reverse("my_pieces"), query)))

    assert tags() == ["C-1", "C-2", "C-3"]
    assert tags(order="size") == ["C-2", "C-3", "C-1"]
    assert tags(order="due")[0] == "C-2"
    assert tags(text="a3 collet") == ["C-3"]
    assert "None of the 3 is like that" in words(browser.get(reverse("my_pieces"), {"text": "hex"}))


def test_who_is_not_there_has_no_page_of_pieces(client_of, db):
    assert client_of("keeper").get(reverse("my_pieces"), {"of": "somebody else"}).status_code == 404


def test_a_machinist_sees_only_what_is_his(db, machinists_browser, machinist):
    factories.loan(factories.collet(tag="C-9"))
    other = Loan.objects.get().borrower

    assert "C-9" not in words(machinists_browser.get(reverse("my_pieces"), {"of": other.username}))


def test_a_kit_comes_back_from_the_page_of_its_drawer(client_of, machinist):
    for number in range(2):
        factories.loan(factories.collet(tag=f"C-{number}", location="A2"), to=machinist)
    place = reverse("place", args=[Tool.objects.first().location_id])
    keeper = client_of("keeper")

    page = words(keeper.get(place))
    tokens = [loan.token for loan in Loan.objects.open()]
    answer = keeper.post(reverse("my_return"), {"loan": tokens, "next": place})

    assert "Bring back all 2 that are out" in page
    assert answer["Location"] == place
    assert not Loan.objects.open().exists()
