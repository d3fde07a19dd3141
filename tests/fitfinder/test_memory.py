"""What is remembered between questions is never older than the database."""

import re
import threading

import pytest
from django.db import connection, transaction
from django.test import Client
from django.urls import reverse
from msgspec.structs import replace

from fitfinder import crib
from fitfinder.find.memory import MOST_KEPT
from fitfinder.find.question import Question
from fitfinder.holding.stock_texts import stock_from
from fitfinder.questions import QuestionError
from inventory.measures.lengths import parse
from inventory.models import Loan, Size, Tool, User
from tests import factories

pytestmark = pytest.mark.django_db(transaction=True)


def tags():
    return [grip.piece.tag for grip in Question("2").answer().grips]


@pytest.fixture
def shop():
    factories.lathe("Lathe 1")
    factories.chuck(tag="K-1")


def test_a_piece_that_was_entered_after_the_last_question_is_found(shop):
    assert tags() == ["K-1"]

    factories.chuck(tag="K-2")

    assert tags() == ["K-1", "K-2"]


def test_a_piece_that_was_changed_in_bulk_is_read_anew(shop):
    assert tags() == ["K-1"]

    Tool.objects.filter(tag="K-1").update(condition="damaged")

    assert tags() == []


def test_what_was_written_over_another_connection_is_found(shop):
    assert tags() == ["K-1"]

    def write():
        factories.chuck(tag="K-2")
        connection.close()

    other = threading.Thread(target=write)
    other.start()
    other.join()

    assert tags() == ["K-1", "K-2"]


def test_what_was_taken_back_is_not_remembered(shop):
    with transaction.atomic():
        factories.chuck(tag="K-2")
        assert tags() == ["K-1", "K-2"]
        transaction.set_rollback(True)

    assert tags() == ["K-1"]


def test_a_lathe_of_one_question_is_not_the_lathe_of_the_next(shop):
    factories.lathe("Lathe 2", nose="1-1/2-8")

    assert [grip.piece.tag for grip in Question("2", lathe="Lathe 2").answer().grips] == []
    assert tags() == ["K-1"]


def test_a_piece_is_out_for_one_asker_and_here_for_the_other(shop):
    kim, lee = factories.user("machinist", name="kim"), factories.user("machinist", name="lee")
    factories.loan(Tool.objects.get(tag="K-1"), to=kim)

    assert [grip.piece.tag for grip in Question("2").answer(asker_id=kim.pk).grips] == ["K-1"]
    assert [grip.piece.tag for grip in Question("2").answer(asker_id=lee.pk).grips] == []


def test_the_rig_is_not_read_again_while_nobody_writes(shop):
    remembered = crib.memory()
    Question("2").answer(remembered=remembered)

    asked = []

    def keeping(execute, sql, *rest):
        asked.append(sql)
        return execute(sql, *rest)

    with connection.execute_wrapper(keeping):
        Question("2.5").answer(remembered=remembered)

    assert asked
    assert [sql for sql in asked if "t.pilot" in sql] == []


def test_what_a_rig_makes_possible_is_kept_while_only_collets_change(shop):
    stock = stock_from("2 in")
    before = crib.crib_now(stock).ways

    factories.collet("1/2")
    assert crib.crib_now(stock).ways is before

    factories.chuck(tag="K-2")
    assert crib.crib_now(stock).ways is not before


def test_the_figures_of_a_size_are_read_once_and_again_after_they_were_changed(shop):
    factories.closer()
    piece = factories.collet("3/4")
    reach = Question("0.7485").answer().grips[0].reach

    assert [sql for sql in queries_of(Question("0.7490").answer) if "true_from" in sql] == []

    Size.objects.filter(pk=piece.size_id).update(clamps_from=parse("0.748"))

    assert Question("0.7485").answer().grips[0].reach == replace(reach, smallest=parse("0.748"))


# A whole answer -------------------------------------------------------------------------------------------------------


def queries_of(call):
    asked = []

    def keeping(execute, sql, *rest):
        asked.append(sql)
        return execute(sql, *rest)

    with connection.execute_wrapper(keeping):
        call()
    return asked


def test_a_question_that_is_asked_again_reads_no_piece_while_nobody_writes(shop):
    # One memory serves both: another program that uses the same server of databases would only make it forget.
    remembered = crib.memory()
    Question("2").answer(remembered=remembered)

    assert queries_of(lambda: Question("2").answer(remembered=remembered)) == []


def test_each_text_of_a_question_makes_it_another_one(shop):
    factories.collet("3/4")
    factories.closer()

    assert Question("3/4").answer().asked_tir is None
    assert Question("3/4", tir=".0001").answer().asked_tir == parse("0.0001")
    assert Question("3/4", shape="hex").answer().stock.shape == "hex"
    assert Question("0.7").answer().stock.band != Question("0.7", unit="mm").answer().stock.band


def test_a_question_that_cannot_be_read_is_refused_each_time(shop):
    for _ in range(2):
        with pytest.raises(QuestionError):
            Question("2", lathe="Lathe 9").answer()


def test_a_loan_changes_the_answer_at_once(shop):
    kim = factories.user("machinist", name="kim")
    assert tags() == ["K-1"]

    loan = factories.loan(Tool.objects.get(tag="K-1"), to=kim)

    assert tags() == []

    loan.delete()

    assert tags() == ["K-1"]


def test_a_write_in_sql_that_no_model_knows_of_is_seen(shop):
    assert tags() == ["K-1"]

    with connection.cursor() as cursor:
        cursor.execute("UPDATE inventory_tool SET condition = 'damaged'")

    assert tags() == []


def test_a_table_that_is_emptied_in_one_go_is_seen(shop):
    assert tags() == ["K-1"]

    with connection.cursor() as cursor:
        cursor.execute("UPDATE inventory_tool SET mounts_in_id = NULL, offers_id = NULL, location_id = NULL")
        cursor.execute("DELETE FROM inventory_tool")

    assert tags() == []


def test_what_is_read_in_a_transaction_is_neither_kept_nor_taken_from_what_is(shop):
    assert tags() == ["K-1"]
    with transaction.atomic():
        Tool.objects.filter(tag="K-1").update(condition="damaged")
        assert tags() == []
        transaction.set_rollback(True)
    assert tags() == ["K-1"]

    with transaction.atomic():
        Tool.objects.filter(tag="K-1").update(condition="damaged")

    assert tags() == []


def test_a_connection_that_was_closed_begins_anew(shop):
    assert tags() == ["K-1"]

    connection.close()
    Tool.objects.filter(tag="K-1").update(condition="damaged")

    assert tags() == []


def test_no_more_than_so_many_things_of_a_kind_are_kept(shop):
    remembered = crib.memory()
    for number in range(MOST_KEPT + 1):
        remembered.of("number", number, lambda: "first")

    assert remembered.of("number", MOST_KEPT, lambda: "second") == "first"
    assert remembered.of("number", 0, lambda: "second") == "second"


def page_of(browser, **more):
    return browser.get(reverse("find"), {"size": "2", **more}).content.decode()


def browser_of(role, name):
    browser = Client()
    browser.force_login(factories.user(role, name=name), backend="django.contrib.auth.backends.ModelBackend")
    return browser


def test_a_page_that_is_given_again_has_tokens_of_its_own(shop):
    browser = browser_of("machinist", "kim")
    first, second = page_of(browser), page_of(browser)
    once = re.compile(r'name="token" value="([0-9a-f-]{36})"')
    csrf = re.compile(r'name="csrfmiddlewaretoken" value="([0-9A-Za-z]{64})"')

    assert once.findall(first) and once.findall(first) != once.findall(second)
    assert csrf.findall(first) and csrf.findall(first) != csrf.findall(second)
    assert once.sub("", csrf.sub("", first)) == once.sub("", csrf.sub("", second))


def test_the_page_of_one_person_is_not_given_to_another(shop):
    kim, lee = browser_of("machinist", "kim"), browser_of("purchasing", "lee")

    assert "Issue K-1 to me" in page_of(kim)
    assert "Issue K-1 to me" not in page_of(lee)
    assert " · lee</" in page_of(lee)


def test_a_page_has_the_name_that_a_person_has_now(shop):
    kim = browser_of("machinist", "kim")
    assert " · kim</" in page_of(kim)

    User.objects.filter(username="kim").update(first_name="Kim <b>")

    assert " · Kim &lt;b&gt;</" in page_of(kim)


def test_a_page_that_is_given_again_after_a_loan_says_so(shop):
    browser = browser_of("machinist", "kim")
    assert "Issue K-1 to me" in page_of(browser)

    factories.loan(Tool.objects.get(tag="K-1"), to=factories.user("machinist", name="lee"))

    assert "Issue K-1 to me" not in page_of(browser)


def test_a_tap_from_a_page_that_was_given_again_goes_through(shop):
    browser = browser_of("machinist", "kim")
    page_of(browser)
    page = page_of(browser)
    token = re.search(r'name="token" value="([^"]+)"', page)[1]
    csrf = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page)[1]
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = browser.cookies

    answer = strict.post(reverse("tool_issue", args=["K-1"]), {"token": token, "csrfmiddlewaretoken": csrf})

    assert answer.status_code == 302
    assert Tool.objects.get(tag="K-1").loans.filter(returned_at=None).exists()


def test_a_message_is_shown_once_and_kept_on_no_page(shop):
    browser = browser_of("machinist", "kim")
    page = page_of(browser)
    token = re.search(r'name="token" value="([^"]+)"', page)[1]
    address = f"{reverse('find')}?size=2"

    told = browser.post(reverse("tool_issue", args=["K-1"]), {"token": token, "next": address}, follow=True)

    assert 'class="notice"' in told.content.decode()
    assert 'class="notice"' not in page_of(browser)


def test_json_that_is_asked_for_again_is_the_same_and_follows_the_book(shop):
    browser = browser_of("machinist", "kim")

    def asked():
        return browser.get(reverse("find_json"), {"size": "2"})

    assert asked().json() == asked().json()
    assert asked()["Content-Type"] == "application/json"
    Tool.objects.filter(tag="K-1").update(condition="damaged")
    assert asked().json()["grips"] == []


@pytest.mark.parametrize("cookie", [None, "c" * 32, "no such token"])
def test_the_form_of_an_answer_goes_with_the_cookie_that_the_browser_has_then(cookie, shop, client_of):
    browser = client_of("machinist")
    browser.handler.enforce_csrf_checks = True
    if cookie:
        browser.cookies["gripbook_csrf"] = cookie

    page = browser.get(reverse("find"), {"size": "2 in"})
    fields = dict(re.findall(r'name="(csrfmiddlewaretoken|token|next)" value="([^"]+)"', page.content.decode()))
    answer = browser.post(reverse("tool_issue", args=["K-1"]), fields)

    assert answer.status_code == 302 and Loan.objects.filter(returned_at=None).exists()
