"""The question and its answer, as a page."""

import re
from datetime import UTC, date, datetime, timedelta
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse
from django.utils import timezone

from inventory.measures.lengths import parse
from inventory.models import Ask, Kind, Loan, ShopFigures, Tool, User, Want
from tests import factories


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tag="H-0061", tir="0.0002")
    factories.collet("3/4", tag="C-0011", location="A2", tir="0.0003")


@pytest.fixture
def browser(client_of):
    return client_of("machinist")


def ask(client, size=None, **question):
    return client.get(reverse("find"), {**({} if size is None else {"size": size}), **question})


def words(page):
    return unescape(page.content.decode())


def test_the_first_page_asks_what_is_in_the_hand(shop, browser):
    assert "What are you holding?" in words(ask(browser))


def test_nobody_gets_an_answer_without_signing_in(shop, client_of):
    assert ask(client_of(None), "3/4").status_code == 302


def test_what_holds_it_is_named_with_piece_drawer_and_way(shop, browser):
    page = words(ask(browser, "0.7485"))

    assert "Holds" in page
    assert reverse("tool", args=["C-0011"]) in page
    for said in ("3/4 round", "5C", "A2", "H-0061", "Lathe 1 nose", "0.0006"):
        assert said in page


def test_a_collet_chuck_begins_in_the_headstock_taper(shop, browser):
    factories.piece("collet chuck", tag="H-0062", mount="MT5", takes="ER32")
    factories.piece("drawbar", tag="H-0063", mount="MT5")
    factories.collet("11 mm", series="ER32", tag="C-0058")

    page = words(ask(browser, "11 mm"))

    assert "Lathe 1 headstock taper, MT5" in page
    assert "Lathe 1 nose" not in page.partition("How true")[0]


def test_the_verdict_is_a_word(shop, browser):
    for size, verdict in (("0.7485", "Holds"), ("0.755", "At the limit")):
        assert re.search(rf'<p class="verdict"><svg.*?</svg>{verdict}', words(ask(browser, size)))


def test_at_the_limit_the_caution_stands_open_on_the_page(shop, browser):
    page = words(ask(browser, "0.7548"))

    assert "0.0002 in from the limit of C-0011" in page
    assert "common practice, no source" in page


def test_a_bar_to_be_measured_first_says_between_what_the_collet_holds(shop, browser):
    page = words(ask(browser, "3/4", grade="hot-rolled"))

    assert "Mic it first" in page
    assert "holds it from 0.7450 to 0.7550 in" in page


def test_a_blank_is_named_with_its_drawer_and_what_to_bore_it_to(shop, browser):
    factories.blank(tag="C-0046", location="A4")

    page = words(ask(browser, "0.760"))

    assert "Bore blank C-0046 from drawer A4 to 0.7600 in" in page
    assert "never closed" in page


def test_a_chuck_is_named_with_its_drawer(shop, browser):
    factories.chuck(tag="K-0001", location="floor")

    page = words(ask(browser, "2 in"))

    assert "No collet here holds it" in page
    for said in ("K-0001", "floor", "3 jaws"):
        assert said in page


def test_where_nothing_holds_it_the_nearest_and_the_missing_size_are_told(shop, browser):
    page = words(ask(browser, "0.734375"))

    assert "Nothing" in page
    assert "C-0011" in page
    assert "47/64" in page
    assert reverse("want_add") in page


def test_what_was_left_out_is_told_with_the_reason(shop, browser):
    factories.collet("3/4", tag="C-0024", condition="damaged")

    page = words(ask(browser, "3/4"))

    assert "C-0024" in page
    assert "damaged" in page


def test_a_fraction_by_number_keys_goes_to_the_address_of_its_answer(shop, browser):
    answer = ask(browser, "", whole="", over="3", parts="4", shape="round", unit="in")

    assert answer.status_code == 302
    assert parse_qs(urlsplit(answer["Location"]).query) == {"size": ["3/4"]}


def test_a_mixed_number_by_number_keys_keeps_its_whole(shop, browser):
    answer = ask(browser, "", whole="1", over="1", parts="8", shape="hex")

    assert parse_qs(urlsplit(answer["Location"]).query) == {"size": ["1-1/8"], "shape": ["hex"]}


def test_a_size_written_and_keyed_alike_is_one_size(shop, browser):
    answer = ask(browser, "1-1/8", whole="1", over="1", parts="8")

    assert parse_qs(urlsplit(answer["Location"]).query) == {"size": ["1-1/8"]}


def test_two_different_sizes_are_asked_back(shop, browser):
    page = words(ask(browser, ".7485", whole="1", over="1", parts="8"))

    assert "Two sizes were given, “.7485” and 1-1/8." in page


def test_a_fraction_without_its_lower_number_is_asked_back(shop, browser):
    page = words(ask(browser, "", whole="", over="7", parts=""))

    assert "The fraction 7/… has no bottom number." in page


def test_the_address_of_an_answer_is_the_whole_question(shop, browser):
    asked = {"lathe": "Lathe 1", "tir": ".001", "unit": "mm", "grade": "h9", "size2": ""}
    answer = ask(browser, "19", whole="", over="", parts="64", **asked)

    assert parse_qs(urlsplit(answer["Location"]).query) == {
        "size": ["19"], "lathe": ["Lathe 1"], "tir": [".001"], "unit": ["mm"], "grade": ["h9"],
    }  # fmt: skip


def test_what_the_browser_remembers_fills_the_form_and_answers_nothing(shop, browser):
    ask(browser, "19", whole="", unit="mm", lathe="Lathe 1")

    form = ask(browser).context["form"]
    answer = words(ask(browser, "3/4"))

    assert (form.initial["unit"], form.initial["lathe"]) == ("mm", "Lathe 1")
    assert "19.050 mm" in answer and "19.050 mm · Lathe 1" not in answer


def test_the_lathe_that_is_meant_is_said_with_one_tap_to_ask_all_and_that_is_remembered(shop, browser):
    ask(browser, "19", whole="", unit="mm", lathe="Lathe 1")
    assert "Lathe 1 was chosen last." in words(ask(browser))
    answer = words(ask(browser, "3/4", lathe="Lathe 1"))
    assert 'For <b>Lathe 1</b> only. <a class="link" href="/?size=3%2F4&lathe=">Ask all lathes</a>' in answer

    of_all = browser.get("/?size=3%2F4&lathe=", follow=True)

    assert of_all.redirect_chain == [("/?size=3%2F4", 302)]
    assert "only. <a" not in words(of_all)
    assert ask(browser).context["form"].initial["lathe"] == ""
    assert ask(browser).context["form"].initial["unit"] == "mm"


@pytest.mark.parametrize("page", ["find", "plan"])
def test_all_lathes_are_a_tap_away_before_anything_is_asked(page, shop, browser):
    ask(browser, "19", whole="", lathe="Lathe 1")
    before = words(browser.get(reverse(page)))
    assert f'Lathe 1 was chosen last. <a class="link" href="{reverse(page)}?lathe=">Ask all lathes</a>' in before

    assert "was chosen last" not in words(browser.get(reverse(page), {"lathe": ""}))
    assert "was chosen last" not in words(browser.get(reverse("find")))


def test_change_brings_the_question_back_as_it_was_asked(shop, browser):
    page = ask(browser, "0.7485", tir=".001", change="1")

    assert page.context["form"].initial["size"] == "0.7485"
    assert page.context["form"].initial["tir"] == ".001"


def test_a_bare_number_too_large_for_inches_offers_both_readings(shop, browser):
    page = ask(browser, "12")

    addresses = [parse_qs(urlsplit(address).query)["size"] for _, address in page.context["suggestions"]]
    assert addresses == [["12 mm"], ["12 in"]]
    for reading, address in page.context["suggestions"]:
        assert f'href="{address}">{reading}</a>' in words(page)
        assert browser.get(address).status_code == 200
        assert "change=1" in words(browser.get(address))


@pytest.mark.parametrize(
    ("size", "taps"),
    [("7485", [".7485"]), ("750", [".750"]), (".752 knurled", [".752"]), ("18.95-19.05", ["18.95 to 19.05 mm"])],
)
def test_what_may_be_meant_is_a_tap_away(size, taps, shop, browser):
    suggestions = ask(browser, size).context["suggestions"]

    assert [reading for reading, _ in suggestions][:1] == taps
    answer = browser.get(suggestions[0][1])
    assert "change=1" in words(answer)


@pytest.mark.parametrize("page", ["find", "plan"])
def test_a_tag_typed_as_size_shows_the_piece(page, shop, browser):
    factories.collet("3/4", tag="C-0024", condition="damaged")
    answer = words(browser.get(reverse(page), {"size": "c-0024"}))

    assert f'<a href="{reverse("tool", args=["C-0024"])}">C-0024 is a 3/4 round 5C collet</a>' in answer
    assert "3/4 in round, the size of C-0024, a 3/4 round 5C collet" in answer
    assert "measured</b>" not in answer


@pytest.mark.parametrize("page", ["find", "plan"])
def test_a_tag_of_a_piece_without_a_size_is_said_and_leads_to_it(page, shop, browser):
    answer = words(browser.get(reverse(page), {"size": "h-0061"}))

    assert "H-0061 is a closer, which holds no one size" in answer
    assert f'href="{reverse("tool", args=["H-0061"])}"' in answer
    assert "no piece here has that tag" in words(browser.get(reverse(page), {"size": "H-9999"}))


@pytest.mark.parametrize("size", ["SW 13", "13 mm hex", "13 A/F", "13 mm A/F"])
def test_hex_in_millimetres_is_asked_for_and_wanted_like_any_other_size(size, shop, browser):
    page = ask(browser, size)

    assert "13 mm hex, measured" in words(page)
    assert "hex 5C</b> would hold it" in words(page)
    gap = page.context["reply"].gap
    asked = {"series": gap.series, "shape": gap.shape, "nm": gap.size.nm, "why": "a test", "next": "/buying/"}
    browser.post(reverse("want_add"), asked)
    assert [want.name for want in Want.objects.open()] == ["13 mm hex 5C"]


def test_a_unit_that_was_chosen_is_not_asked_back(shop, browser):
    assert "40 in round, measured" in words(ask(browser, "40", unit="in"))
    assert "change=1" not in words(ask(browser, "40", unit=""))


def test_a_form_that_nobody_touched_asks_back(shop, browser):
    unit = ask(browser).context["form"]["unit"]

    assert [choice.data["value"] for choice in unit if choice.data["selected"]] == [""]


@pytest.mark.parametrize(
    ("question", "said"),
    [
        pytest.param({"size": "3/4-10"}, "“3/4-10” is a thread, 3/4 in, 10 to the inch", id="thread"),
        pytest.param({"size": "3/4", "size2": "10"}, "more than one bar measures", id="two bars"),
        pytest.param({"size": "three quarters"}, "“three quarters” cannot be read as a length", id="size"),
        pytest.param({"size": ""}, "No size was given", id="no size"),
        pytest.param({"size": ".75", "size2": ".74"}, "smallest, then the largest", id="reversed"),
        pytest.param({"size": "3/4", "grade": "wood"}, "“wood” is no stock grade", id="grade"),
        pytest.param({"size": "3/4", "shape": "oval"}, "“oval” is no shape", id="shape"),
        pytest.param({"size": "3/4", "lathe": "Lathe 9"}, "“Lathe 9” is no lathe", id="lathe"),
        pytest.param({"size": "3/4", "tir": "little"}, "“little” cannot be read", id="tir"),
        pytest.param({"size": "3/4", "unit": "cubit"}, "“cubit” is no unit", id="unit"),
        pytest.param({"size": "<b>1</b>"}, "cannot be read", id="markup"),
    ],
)
def test_what_cannot_be_read_is_said_above_the_form(question, said, shop, browser):
    page = ask(browser, **question)

    assert page.status_code == 200
    assert 'role="alert"' in words(page)
    assert said in words(page)


def test_what_was_typed_is_never_markup(shop, browser):
    assert "<b>1</b>" not in ask(browser, "<b>1</b>").content.decode()


def test_a_machinist_can_issue_what_is_found(shop, browser):
    page = words(ask(browser, "3/4"))

    assert reverse("tool_issue", args=["C-0011"]) in page
    assert "Take C-0011" in page


def test_purchasing_sees_the_answer_and_no_issue_button(shop, client_of):
    page = words(ask(client_of("purchasing"), "3/4"))

    assert "C-0011" in page
    assert reverse("tool_issue", args=["C-0011"]) not in page


def test_what_the_asker_has_is_not_issued_to_him_again(client_of, machinist, db):
    factories.lathe()
    factories.closer()
    factories.loan(factories.collet(tag="C-0011"), to=machinist)

    page = words(ask(client_of(machinist), "3/4"))

    assert "with you" in page
    assert reverse("tool_issue", args=["C-0011"]) not in page


@pytest.mark.parametrize("size", ["3/4", "0.755"], ids=["holds", "at the limit"])
def test_a_question_that_is_answered_well_is_not_kept(size, shop, browser):
    ask(browser, size)

    assert not Ask.objects.exists()


@pytest.mark.parametrize(
    ("question", "verdict"),
    [
        pytest.param({"size": "2 in"}, "nothing", id="nothing"),
        pytest.param({"size": "3/4", "grade": "hot-rolled"}, "measure first", id="measure first"),
        pytest.param({"size": "3/4", "tir": ".0001"}, "holds", id="known to miss the TIR"),
    ],
)
def test_a_question_that_is_not_answered_well_is_kept(question, verdict, shop, browser):
    ask(browser, **question)

    assert Ask.objects.get().verdict == verdict


def test_the_same_question_again_counts_up(shop, browser, client_of):
    ask(browser, "2 in")
    ask(client_of("keeper"), "2 in")

    assert Ask.objects.get().times == 2


def test_a_page_that_is_loaded_again_is_not_asked_for_again(shop, browser):
    ask(browser, "2 in")
    ask(browser, "2 in")

    assert Ask.objects.get().times == 1


def test_the_same_question_on_another_day_is_another_row(shop, browser, client_of):
    ask(browser, "2 in")
    Ask.objects.update(asked_on=timezone.localdate() - timedelta(days=1))
    ask(client_of("keeper"), "2 in")

    assert Ask.objects.count() == 2


def test_what_is_asked_of_an_empty_book_is_not_kept(browser):
    ask(browser, "2 in")

    assert not Ask.objects.exists()


def test_a_question_that_cannot_be_read_is_not_kept(shop, browser):
    ask(browser, "three quarters")

    assert not Ask.objects.exists()


def test_a_kept_question_leads_to_its_answer_and_names_nobody(shop, browser):
    ask(browser, "2 in", lathe="Lathe 1")
    kept = Ask.objects.get()

    assert parse_qs(kept.question) == {"size": ["2 in"], "lathe": ["Lathe 1"]}
    assert kept.read_as == "2 in round, measured"
    assert not [field.name for field in Ask._meta.get_fields() if field.is_relation]


@pytest.mark.parametrize("shape", ["round", "hex", "square"])
def test_an_empty_book_answers_without_stumbling(shape, db, browser):
    page = ask(browser, "3/4", shape=shape)

    assert page.status_code == 200
    assert "Nothing" in words(page)


def test_a_bar_from_a_label_is_told_with_its_signed_band_and_the_standard(shop, browser):
    page = words(ask(browser, "3/4", grade="cold-drawn"))

    assert "0.7480 in to 0.7500 in, +0.0000 -0.0020 in of nominal" in page
    assert "ASTM A108" in page


def test_what_is_to_be_measured_first_says_which_bars_fit_and_what_to_mic_for(shop, browser):
    page = words(ask(browser, "3/4", grade="hot-rolled"))

    assert "only those from 0.7450 in (18.923 mm) to 0.7550 in (19.177 mm) fit" in page


def test_the_answer_leads_to_where_its_numbers_come_from(shop, browser):
    assert words(ask(browser, "3/4")).count('<a href="/numbers/?q=5C">Where our numbers come from</a>') == 1


def test_an_answer_without_a_collet_leads_to_the_numbers_too(shop, browser):
    assert '<a href="/numbers/">Where our numbers come from</a>' in words(ask(browser, "12 in"))


@pytest.mark.parametrize(
    ("question", "offered", "not_offered"),
    [
        ({"shape": "hex", "size": "20 mm"}, {"h11"}, {"h9", "drill-rod"}),
        ({"shape": "round", "size": "3/4"}, {"h9", "drill-rod", "cold-drawn"}, set()),
        ({"shape": "round", "size": "5"}, {"cold-drawn"}, {"drill-rod", "stainless"}),
        ({"shape": "hex", "size": "what"}, {"h11"}, {"h9"}),
    ],
)
def test_only_grades_that_such_bar_is_made_in_are_offered(question, offered, not_offered, shop, browser):
    form = ask(browser, change="1", **question).context["form"]
    codes = {code for code, _ in form.fields["grade"].choices}

    assert offered <= codes and not codes & not_offered


def test_a_grade_that_makes_no_sense_is_refused_with_those_that_do(shop, browser):
    page = ask(browser, "20 mm", shape="hex", grade="h9")

    assert "The tables have no hex h9 bar of 20 mm." in words(page) and "h11" in words(page)
    assert "h9" in {code for code, _ in page.context["form"].fields["grade"].choices}


def test_the_shops_measuring_allowance_widens_what_is_measured_once(shop, browser, keeper):
    assert "At the limit" in words(ask(browser, "0.7549"))

    ShopFigures.objects.create(measuring_allowance=parse("0.0002"), changed_by=keeper)

    measured_once = words(ask(browser, "0.7549"))
    assert "Mic it first" in measured_once and "0.7549 in round, measured ± 0.0002" in measured_once
    assert "At the limit" in words(ask(browser, ".7545-.7549"))
    assert "0.7480 in to 0.7500 in" in words(ask(browser, "3/4", grade="cold-drawn"))


def test_while_the_book_is_empty_a_keeper_is_told_how_to_begin(client_of, db):
    for page in (ask(client_of("keeper")), ask(client_of("keeper"), "3/4")):
        assert "Nothing is in Gripbook yet" in words(page)
        assert reverse("import_sheet") in words(page)


def test_while_the_book_is_empty_a_machinist_is_told_who_fills_it(client_of, db):
    page = words(ask(client_of("machinist"), "3/4"))

    assert "once a crib keeper has entered the pieces" in page
    assert reverse("import_sheet") not in page


def test_a_book_with_pieces_is_not_called_empty(shop, browser):
    assert "Nothing is in Gripbook yet" not in words(ask(browser))
    assert "Nothing is in Gripbook yet" not in words(ask(browser, "7"))


def test_where_no_lathe_is_described_a_keeper_is_led_to_them(client_of, db):
    factories.collet("3/4")
    factories.closer()

    assert reverse("lathe_list") in words(ask(client_of("keeper"), "3/4"))


def test_who_counts_missing_details_is_led_to_where_they_are(shop, client_of):
    factories.chuck(outside=None)

    assert reverse("details_missing") in words(ask(client_of("keeper"), "3/4"))
    assert f"{reverse('tool_list')}?state=details" in words(ask(client_of("machinist"), "3/4"))


def test_what_the_asker_has_stands_in_the_way_as_with_him(shop, client_of):
    browser = client_of("machinist")
    browser.post(reverse("tool_issue", args=["C-0011"]), {"token": "0" * 32})

    assert "C-0011</b> <span>· with you" in words(ask(browser, "3/4"))


def test_a_way_between_centers_names_all_its_pieces_in_a_list(shop, browser):
    factories.chuck(tag="K-0064")
    factories.piece(Kind.LATHE_DOG, tag="H-0077", outside=("1/4", "3"))
    factories.center(tag="N-0091")

    assert "K-0064 → H-0077 → N-0091 · holds" in words(ask(browser, "2"))


def test_a_shape_behind_the_size_is_taken_for_the_shape(shop, browser):
    assert "1-1/8 in hex, measured" in words(ask(browser, "1-1/8 hex"))


@pytest.mark.parametrize("size", ["4 x 2", "1-1/2 tube", "6 in casting"])
def test_what_is_no_plain_bar_goes_on_to_the_plan(shop, browser, size):
    answer = ask(browser, size, lathe="Lathe 1")

    assert urlsplit(answer["Location"]).path == reverse("plan")
    assert parse_qs(urlsplit(answer["Location"]).query) == {"size": [size], "lathe": ["Lathe 1"]}


def test_the_plan_reads_bare_numbers_in_the_unit_in_which_find_was_asked(shop, browser):
    answer = browser.get("/", {"size": "40 x 20", "unit": "mm"}, follow=True)

    assert "0.7874 by 1.5748 in flat, measured" in answer.content.decode()


def test_pieces_of_one_size_by_one_way_share_a_row_each_with_its_place_and_link(shop, browser):
    for tag, drawer, condition in (("C-0012", "A3", "good"), ("C-0013", "A4", "worn")):
        factories.collet("3/4", tag=tag, location=drawer, condition=condition)

    page = words(ask(browser, "0.7485"))

    also = page.partition("<h2>Also holds</h2>")[2].partition("</ul>")[0]
    assert also.count("<li>") == 1
    for tag, place in (("C-0012", "A3"), ("C-0013", "A4")):
        assert f'href="{reverse("tool", args=[tag])}"' in also
        assert place in also
    assert "worn" in also


# The same question again ---------------------------------------------------------------------------------------------


@pytest.fixture
def chuck(db):
    factories.lathe("Lathe 1")
    return factories.chuck(tag="K-1")


def token_in(page):
    return re.search(r'name="token" value="([^"]+)"', page)[1]


def test_the_page_of_one_person_is_not_given_to_another(chuck, client_of):
    kim, lee = (
        client_of(factories.user(role, name=name)) for role, name in (("machinist", "kim"), ("purchasing", "lee"))
    )

    assert "Take K-1" in words(ask(kim, "2"))
    assert "Take K-1" not in words(ask(lee, "2"))
    assert "<span>lee</span>" in words(ask(lee, "2"))


def test_a_page_has_the_name_that_a_person_has_now(chuck, client_of):
    kim = client_of(factories.user("machinist", name="kim"))
    assert "<span>kim</span>" in words(ask(kim, "2"))

    User.objects.filter(username="kim").update(first_name="Kim <b>")

    assert "<span>Kim &lt;b&gt;</span>" in ask(kim, "2").content.decode()


def test_a_loan_and_its_end_change_the_answer_at_once(chuck, browser):
    assert "Take K-1" in words(ask(browser, "2"))

    loan = factories.loan(chuck, to=factories.user("machinist", name="lee"))
    assert "Take K-1" not in words(ask(browser, "2"))

    loan.delete()
    assert "Take K-1" in words(ask(browser, "2"))


def test_a_page_that_is_asked_for_again_has_another_token_for_its_tap(chuck, browser):
    assert token_in(words(ask(browser, "2"))) != token_in(words(ask(browser, "2")))


def test_a_message_is_shown_once(chuck, browser):
    token = token_in(words(ask(browser, "2")))
    address = f"{reverse('find')}?size=2"

    told = browser.post(reverse("tool_issue", args=["K-1"]), {"token": token, "next": address}, follow=True)

    assert 'class="notice"' in words(told)
    assert 'class="notice"' not in words(ask(browser, "2"))


@pytest.mark.parametrize("cookie", [None, "c" * 32, "no such token"])
def test_the_form_of_an_answer_goes_with_the_cookie_that_the_browser_has_then(cookie, chuck, browser):
    browser.handler.enforce_csrf_checks = True
    if cookie:
        browser.cookies["gripbook_csrf"] = cookie

    page = words(ask(browser, "2 in"))
    fields = dict(re.findall(r'name="(csrfmiddlewaretoken|token|next)" value="([^"]+)"', page))
    answer = browser.post(reverse("tool_issue", args=["K-1"]), fields)

    assert answer.status_code == 302 and Loan.objects.filter(tool=chuck, returned_at=None).exists()


@pytest.mark.parametrize(("size", "form"), [("0.7485", "lead"), ("0.755", "lead maybe"), ("7 in", "lead no")])
def test_each_verdict_has_a_form_of_its_own(size, form, shop, browser):
    assert f'<section class="{form}">' in words(ask(browser, size))


def test_what_can_hurt_stands_above_the_tap_that_takes_the_piece(shop, browser):
    page = words(ask(browser, "0.755"))

    assert page.index("Take care.") < page.index("Check that reading") < page.index(">Take C-")


def test_a_reading_of_a_bar_at_the_limit_is_the_next_question(shop, browser):
    page = ask(browser, "0.755", lathe="Lathe 1").content.decode()
    form = page.partition('<form class="fields" method="get"')[2].partition("</form>")[0]

    assert 'name="lathe" value="Lathe 1"' in form
    assert 'name="size" inputmode="decimal"' in form
    assert "0.755" not in form


def test_no_drawer_stands_without_its_word(shop, browser):
    page = words(ask(browser, "0.7485"))

    assert '<span class="drawer"><i>drawer</i> A2</span>' in page
    assert "· A2" not in page


def test_what_tightens_stands_beside_the_line_behind_the_bar(shop, browser):
    factories.piece("collet chuck", tag="H-0062", mount="MT5", takes="ER32")
    factories.piece("drawbar", tag="H-0063", mount="MT5")
    factories.collet("11 mm", series="ER32", tag="C-0058")

    line = words(ask(browser, "11 mm")).partition('<ol class="chain">')[2].partition("</ol>")[0]

    assert line.index("H-0062") < line.index("C-0058") < line.index("your bar") < line.index("H-0063")
    assert '<li class="beside">drawbar H-0063' in line


def test_what_was_asked_lately_is_a_tap_away_the_newest_first(shop, browser):
    for size, more in (("0.7485", {}), ("1/2", {"shape": "hex"}), ("0.7485", {})):
        ask(browser, size, **more)

    page = words(browser.get(reverse("find")))

    lately = page.partition('aria-label="Asked lately"')[2].partition("</nav>")[0]
    assert re.findall(r'href="([^"]+)">([^<]+)<', lately) == [
        ("/?size=0.7485", "0.7485"),
        ("/?size=1%2F2&shape=hex", "1/2 hex"),
    ]


@pytest.mark.parametrize("cookie", ["%0A%0A", "nonsense", "x" * 5000, "%3Cscript%3E", "size=%253Cb%253E"])
def test_a_cookie_that_nobody_here_wrote_does_no_harm(cookie, shop, browser):
    browser.cookies["gripbook_asked"] = cookie

    page = browser.get(reverse("find"))

    assert page.status_code == 200
    assert "<b>" not in page.content.decode().partition("Asked lately")[2].partition("</nav>")[0]


def test_a_size_in_words_has_a_field_of_its_own_and_comes_back_into_it(shop, browser):
    assert ask(browser, "", said="1-1/8 hex")["Location"] == "/?size=1-1%2F8&shape=hex"

    form = ask(browser, "letter F", change="1").context["form"]

    assert (form.typed_as, form.initial["said"], form.initial["size"]) == ("words", "letter F", "")


def test_two_different_sizes_in_figures_and_in_words_are_asked_back(shop, browser):
    assert "Two sizes were given" in words(ask(browser, "0.75", said="1/2"))


def test_a_day_is_said_as_the_shop_writes_it_and_to_a_program_in_iso(shop, browser, keeper):
    at = datetime(2026, 11, 29, 12, tzinfo=UTC)
    factories.loan(Tool.objects.get(tag="C-0011"), at=at, due_on=date(2026, 12, 3))
    ShopFigures.objects.create(day_order="d.m.y", changed_by=keeper)

    page = words(ask(browser, "0.7485"))
    assert "29.11.2026" in page and "03.12.2026" in page
    assert not re.findall(r"2026-1[12]-\d\d", page)

    told = browser.get(reverse("find_json"), {"size": "0.7485"}).content.decode()
    assert "2026-11-29" in told and "29.11.2026" not in told
