"""What is asked for, and what people looked for."""

from datetime import date

import pytest
from django.urls import reverse

from inventory.measures.lengths import parse
from inventory.models import Ask, Want
from tests import factories


@pytest.fixture
def machinists_browser(client_of, machinist):
    return client_of(machinist)


def missing(client):
    return client.get(reverse("buying")).content.decode()


def ask_for(client, *, series="5C", shape="round", size="3/4", **more):
    return client.post(
        reverse("want_add"),
        {"series": series, "shape": shape, "nm": parse(size).nm, **more},
        follow=True,
    ).content.decode()


def test_a_page_with_nothing_missing_says_what_would_be_here(machinists_browser):
    page = missing(machinists_browser)

    assert "Nothing is to order." in page
    assert "Every question so far had a good answer." in page


def test_a_size_is_asked_for_with_a_reason(machinists_browser, machinist):
    page = ask_for(machinists_browser, why="0.7485 round")

    want = Want.objects.get()
    assert (str(want.size), want.asked_by, want.why) == ("3/4 round 5C", machinist, "0.7485 round")
    assert "3/4 round 5C is asked for." in page
    assert "to order" in page


def test_a_size_that_is_asked_for_again_stands_once(machinists_browser):
    ask_for(machinists_browser)

    page = ask_for(machinists_browser)

    assert "3/4 round 5C is asked for already." in page
    assert Want.objects.count() == 1


def test_a_size_that_was_dropped_can_be_asked_for_again(machinists_browser):
    factories.want(state=Want.State.DROPPED)

    ask_for(machinists_browser)

    assert Want.objects.filter(state=Want.State.WANTED).count() == 1


@pytest.mark.parametrize(
    ("asked", "reason"),
    [
        ({"series": "9Z"}, "“9Z” has no round collets here."),
        ({"size": "3"}, "3 in was read; 5C round collets go from"),
        ({"shape": "oval"}, "“oval” is none of the choices here. Choose round, hex, square."),
    ],
    ids=["series", "size", "shape"],
)
def test_a_size_that_cannot_be_is_refused_with_a_sentence(asked, reason, machinists_browser):
    page = ask_for(machinists_browser, **asked)

    assert reason in page
    assert not Want.objects.exists()


@pytest.mark.parametrize("nm", ["", "0", "-1", "abc", "9" * 30])
def test_a_size_that_is_no_number_of_nanometres_is_refused(nm, machinists_browser):
    answer = machinists_browser.post(reverse("want_add"), {"series": "5C", "shape": "round", "nm": nm}, follow=True)

    assert "Nothing was asked for." in answer.content.decode()
    assert not Want.objects.exists()


def test_purchasing_drops_a_want(client_of):
    want = factories.want()

    client_of("purchasing").post(reverse("want_drop", args=[want.pk]))

    want.refresh_from_db()
    assert want.state == Want.State.DROPPED


def test_a_dropped_want_is_asked_for_again_by_undo(client_of):
    want, browser = factories.want(), client_of("purchasing")

    page = browser.post(reverse("want_drop", args=[want.pk]), follow=True).content.decode()
    assert "Undo: ask for it again" in page
    page = browser.post(reverse("want_drop", args=[want.pk]), {"undo": "yes"}, follow=True).content.decode()

    want.refresh_from_db()
    assert want.state == Want.State.WANTED
    assert "3/4 round 5C is asked for again." in page
    assert "Undo" not in page


def test_undo_of_a_drop_leaves_a_newer_want_of_the_size_alone(client_of):
    dropped = factories.want(state=Want.State.DROPPED)
    factories.want()

    page = client_of("purchasing").post(reverse("want_drop", args=[dropped.pk]), {"undo": "yes"}, follow=True)

    dropped.refresh_from_db()
    assert dropped.state == Want.State.DROPPED
    assert "nothing was changed" in page.content.decode()


@pytest.mark.parametrize("dropped", ["", "x", "-1", "9" * 30, "77"])
def test_an_undo_of_what_was_not_dropped_is_not_offered(dropped, client_of):
    page = client_of("purchasing").get(reverse("buying"), {"dropped": dropped})

    assert page.status_code == 200
    assert "Undo" not in page.content.decode()


def test_a_want_leads_to_the_question_of_its_size(machinists_browser):
    factories.want(factories.size("12 mm", series="ER32"))

    assert f'"{reverse("find")}?size=12+mm&amp;shape=round"' in missing(machinists_browser)


def test_a_want_names_the_lathe_that_the_question_was_for(machinists_browser):
    ask_for(machinists_browser, why="0.7485 in round", next="/?size=.7485&lathe=Lathe+1")

    assert Want.objects.get().why == "0.7485 in round, on Lathe 1"


def test_a_question_that_differs_by_lathe_says_which(machinists_browser):
    for lathe in ("", "&lathe=Lathe+1"):
        Ask.objects.count_one(
            question=f"size=.7485{lathe}", read_as="0.7485 in round", verdict="none", on=date(2026, 3, 1)
        )

    page = missing(machinists_browser)

    assert ">0.7485 in round<" in page
    assert ">0.7485 in round, on Lathe 1<" in page


def test_a_received_want_stays_received(client_of):
    want = factories.want(state=Want.State.RECEIVED)

    client_of("purchasing").post(reverse("want_drop", args=[want.pk]))

    want.refresh_from_db()
    assert want.state == Want.State.RECEIVED


def test_what_people_looked_for_is_counted_over_the_days_and_leads_to_the_answer(machinists_browser):
    for day, times in ((1, 2), (4, 3)):
        for _ in range(times):
            Ask.objects.count_one(
                question="size=.7485&shape=round",
                read_as="0.7485 in round",
                verdict="none",
                on=date(2026, 3, day),
            )

    page = missing(machinists_browser)

    assert f'"{reverse("find")}?size=.7485&amp;shape=round"' in page
    assert "5 times" in page
    assert "last 2026-03-04" in page


def dismiss(client, read_as="0.8125 in round, measured", lathe=""):
    return client.post(reverse("ask_dismiss"), {"read_as": read_as, "lathe": lathe}, follow=True).content.decode()


def looked_for(question, *, read_as="0.8125 in round, measured", on=date(2026, 3, 18), times=1):
    return Ask.objects.create(question=question, read_as=read_as, verdict="chuck", asked_on=on, times=times)


def test_the_same_size_asked_for_in_other_words_is_one_line(machinists_browser):
    looked_for("size=.8125", times=2)
    looked_for("size=13%2F16", times=3)

    page = missing(machinists_browser)

    assert page.count("0.8125 in round, measured</a>") == 1
    assert "5 times" in page


def test_the_same_size_on_another_lathe_is_another_line(machinists_browser):
    looked_for("size=.8125")
    looked_for("size=.8125&lathe=Lathe+2")

    page = missing(machinists_browser)

    assert "0.8125 in round, measured</a>" in page
    assert "0.8125 in round, measured, on Lathe 2</a>" in page


def test_purchasing_dismisses_what_people_looked_for(client_of):
    looked_for("size=.8125")
    looked_for("size=13%2F16", on=date(2026, 3, 19))

    page = dismiss(client_of("purchasing"))

    assert "is dismissed. Asked for again, it comes back." in page
    assert "Every question so far had a good answer." in page


def test_only_that_lathes_line_is_dismissed(client_of):
    looked_for("size=.8125")
    looked_for("size=.8125&lathe=Lathe+2")

    page = dismiss(client_of("keeper"), lathe="Lathe 2")

    assert "on Lathe 2</a>" not in page
    assert "0.8125 in round, measured</a>" in page


def test_a_question_that_is_asked_again_after_it_was_dismissed_comes_back(client_of):
    kept = looked_for("size=.8125")
    dismiss(client_of("purchasing"))

    Ask.objects.count_one(question=kept.question, read_as=kept.read_as, verdict="chuck", on=kept.asked_on)

    assert Ask.objects.standing().get().times == 2


def test_what_was_dismissed_already_is_said_to_be(client_of):
    assert "was dismissed already" in dismiss(client_of("purchasing"))


def test_a_machinist_is_offered_nothing_to_dismiss(machinists_browser):
    looked_for("size=.8125")

    assert "Dismiss" not in missing(machinists_browser)
