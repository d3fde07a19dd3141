"""The plan's pages: the question, the table of the ways, and the page of one way."""

import pytest
from django.urls import reverse

from fitfinder.holding.method import Method
from inventory.measures.lengths import parse
from inventory.models import Lathe, Tool
from tests import factories

pytestmark = pytest.mark.one_database("how a plan is shown; test_every_address.py opens its pages on each database")


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tag="H-0061", tir="0.0002")
    factories.collet("3/4", tag="C-0011", location="A2", tir="0.0003")
    factories.chuck(tag="K-0081", tir="0.0030")


@pytest.fixture
def machinist(client_of, shop):
    return client_of("machinist")


def page(client, name, *args, **texts):
    return client.get(reverse(name, args=args), texts)


def test_the_question_stands_alone_until_a_size_is_given(machinist):
    answer = page(machinist, "plan")

    assert answer.status_code == 200
    assert "How do I hold this job?" in answer.content.decode()


def test_the_table_has_each_method_with_a_way_to_its_page(machinist):
    text = page(machinist, "plan", size="0.7485").content.decode()

    for method in Method:
        assert f"/plan/{method.slug}/?size=0.7485" in text


def test_the_best_way_leads_with_its_pieces_and_its_minutes(machinist):
    text = page(machinist, "plan", size="0.7485", parts="1").content.decode()

    assert "</svg>All here</p>" in text
    assert "K-0081" in text
    assert "6 min" in text  # common practice: 5 to change the chuck, 1 for the part


def test_a_lead_that_is_not_all_checked_says_so_and_why_above_all(machinist):
    Lathe.objects.all().delete()
    Tool.objects.exclude(kind="universal chuck").delete()
    text = page(machinist, "plan", size="0.7485").content.decode()

    assert "Here, not all checked</p>" in text
    assert text.index("not checked") < text.index("</dl>")


def test_a_lathe_that_is_chosen_in_the_plan_is_remembered_and_so_is_whichever_is_best(machinist):
    def chosen():
        return page(machinist, "plan").context["form"].initial["lathe"]

    answer = page(machinist, "plan", size="0.7485", size2="", bore="", lathe="Lathe 1").content.decode()
    assert "For <b>Lathe 1</b> only." in answer
    assert (chosen(), page(machinist, "find").context["form"].initial["lathe"]) == ("Lathe 1", "Lathe 1")

    page(machinist, "plan", size="0.7485", size2="", bore="", lathe="")
    assert chosen() == ""


@pytest.mark.parametrize(("stick_out", "said"), [("2", True), ("3-1/4", True), ("4", False), ("", False)])
def test_work_that_stands_out_further_than_was_asked_is_said_above_all(stick_out, said, machinist):
    # The chuck of 6 in is bored 1 in, and its jaws are 1 in long: 4 in stand out of 5.
    Tool.objects.filter(tag="K-0081").update(through=parse("1"), jaw_length=parse("1"))
    text = page(machinist, "plan", size="2", length="5", stick_out=stick_out).content.decode()

    assert (f"It stands out 4 in, not {stick_out} in: no more of it goes inside." in text) is said


def test_an_address_that_is_passed_on_changes_no_choice(machinist):
    page(machinist, "plan", size="0.7485", size2="", bore="", lathe="Lathe 1")
    page(machinist, "plan", size="0.7485")
    page(machinist, "plan", size="0.7485", lathe="Lathe 2")

    assert page(machinist, "plan").context["form"].initial["lathe"] == "Lathe 1"


def test_the_wall_of_a_tube_that_was_picked_is_not_taken_for_the_side_of_a_flat(machinist):
    text = page(machinist, "plan", size="1-1/2 x .065", shape="tube").content.decode()

    assert "1-1/2 in tube, measured, bore 1.3700 in" in text


def test_what_keeps_most_ways_from_holding_it_is_said_once(machinist, db):
    factories.lathe("Lathe 3", swing_over_bed="13", swing_over_slide="8")

    text = page(machinist, "plan", size="14 in", lathe="Lathe 3").content.decode()

    assert text.count("It swings 14 in, and Lathe 3 takes 13 in over the bed.") == 1
    assert "Where no reason stands, it is the one above." in text


def test_a_way_that_misses_the_tir_says_so_in_words(machinist):
    assert "misses the TIR" in page(machinist, "plan", size="0.7485", setups="2", tir=".001").content.decode()


@pytest.mark.parametrize(("setups", "words"), [("1", "of one gripping"), ("2", "between set-ups")])
def test_the_table_says_between_what_its_run_out_is(setups, words, machinist, shop):
    text = page(machinist, "plan", size="0.7485", setups=setups).content.decode()

    assert f'<th scope="col">TIR {words}</th>' in text
    assert f"TIR</b> {words}, " in text


def test_a_collet_outside_its_true_zone_promises_nothing_in_the_plan_either(machinist, shop):
    Tool.objects.filter(tag="K-0081").update(condition="damaged")

    text = page(machinist, "plan", size="0.746", setups="1").content.decode()

    assert "at its marked size and not promised here" in text


def test_the_page_of_a_way_has_its_chain_its_steps_and_its_minutes(machinist):
    text = page(machinist, "plan_way", "collet", size="0.7485").content.decode()

    for words in ("H-0061", "C-0011", "A2", "0.0006 in TIR", "12 1/2 min", "Wipe every seat"):
        assert words in text


def test_a_way_that_cannot_says_why(machinist):
    assert (
        "It has no finished bore to be held by." in page(machinist, "plan_way", "mandrel", size="1/2").content.decode()
    )


def test_an_unknown_way_is_not_found(machinist):
    assert page(machinist, "plan_way", "magnet", size="1/2").status_code == 404


def test_what_cannot_be_read_keeps_all_that_was_typed(machinist):
    answer = page(machinist, "plan", size="0.7485", parts="many", length="9", throw="1/8")
    text = answer.content.decode()

    assert answer.status_code == 200
    assert "“many” is no number of parts. Write a whole number from 1 to 100,000." in text
    for typed in ("0.7485", "many", 'value="9"', 'value="1/8"'):
        assert typed in text


def test_a_bare_number_that_may_be_either_is_asked_back_with_both_readings(machinist):
    text = page(machinist, "plan", size="19").content.decode()

    assert "size=19+mm" in text
    assert "size=19+in" in text


def test_the_plan_as_json_is_what_the_command_prints(machinist):
    told = machinist.get(reverse("plan_json"), {"size": "0.7485"}).json()

    assert told["read_as"] == "0.7485 in round, measured"
    assert len(told["ways"]) == len(Method)


def test_the_json_refuses_whoever_has_not_signed_in_as_json(client, shop):
    answer = client.get(reverse("plan_json"), {"size": "0.7485"})

    assert answer.status_code == 401
    assert answer.json()["error"]["field"] == "authorization"


def test_the_json_says_what_could_not_be_read(machinist):
    answer = machinist.get(reverse("plan_json"), {"size": "three quarters"})

    assert answer.status_code == 400
    assert answer.json()["error"]["field"] == "size"


def test_the_way_is_drawn_and_the_list_says_the_same(machinist):
    text = page(machinist, "plan_way", "collet", size="0.7485").content.decode()

    assert 'aria-label="From the spindle to the tailstock: Lathe 1; H-0061, closer; C-0011, collet; the work.' in text


def test_an_independent_chuck_leads_to_the_dial_in_guide(machinist):
    factories.chuck(tag="K-0082", kind="independent chuck", jaws=4)
    text = page(machinist, "plan_way", "independent-chuck", size="0.7485").content.decode()

    assert reverse("arithmetic", args=["dial-in"]) in text


def test_where_a_lathe_cannot_another_one_is_offered(machinist):
    factories.lathe("Lathe 2", nose="1-1/2-8", bore="25/32")
    text = page(machinist, "plan", size="1", fed="yes", lathe="Lathe 2").content.decode()

    assert "Bar of 1 in does not pass the spindle of Lathe 2, 25/32 in." in text
    assert "On another lathe: universal chuck on Lathe 1" in text


def test_taper_and_turned_diameter_are_asked_on_the_page_and_read_from_the_address(machinist):
    asked = {"size": "1", "taper": "20", "taper_length": "2", "turned": ".940"}

    assert "a taper 2 in long, turned to 0.9400 in first" in page(machinist, "plan", **asked).content.decode().replace(
        " · ", ", "
    )
    form = page(machinist, "plan", change="1", **asked).content.decode()
    assert 'name="taper_length" value="2"' in form and 'name="turned" value=".940"' in form
    told = machinist.get(reverse("plan_json"), {**asked, "turned": "2"}).json()
    assert told["error"]["field"] == "turned"


def test_the_question_says_all_that_was_asked(machinist):
    text = page(machinist, "plan", size="0.7485", fed="yes", throw="1/8", weight="3 lb").content.decode()

    for words in ("fed through the spindle", "throw 1/8 in", "3.0 lb"):
        assert words in text


@pytest.mark.parametrize(
    ("texts", "read_as"),
    [
        ({"size": "4 x 2"}, "2 by 4 in flat"),
        ({"size": "50 x 25 mm"}, "0.9843 by 1.9685 in flat"),
        ({"size": "6 in casting"}, "6 in casting, measured"),
        ({"size": "4", "shape": "casting"}, "4 in casting, measured"),
        ({"size": "1-1/2 tube", "bore": "1"}, "1-1/2 in tube, measured, bore 1 in"),
    ],
)
def test_a_shape_is_read_behind_the_size_too(machinist, texts, read_as):
    assert read_as in page(machinist, "plan", **texts).content.decode()


def test_an_address_that_says_irregular_is_drawn_as_a_casting(machinist):
    text = page(machinist, "plan", size="4", irregular="yes", change="1").content.decode()

    assert 'value="casting" id="id_shape_5" checked' in text.replace(" required", "")


def test_what_cannot_be_read_is_told_beside_its_field_too(machinist):
    text = page(machinist, "plan", size="1-1/2", shape="tube").content.decode()

    assert '<p class="error" id="id_bore_error">A tube has a bore.' in text


@pytest.mark.parametrize("name", ["plan", "which_center", "which_holder"])
def test_a_new_question_begins_with_the_lathe_and_the_unit_of_the_last_one(machinist, name):
    factories.lathe("Lathe 2")
    machinist.get(reverse("find"), {"size": "19", "unit": "mm", "lathe": "Lathe 2", "whole": ""})
    text = page(machinist, name).content.decode()

    assert '<option value="Lathe 2" selected>' in text
    assert 'value="mm" id="id_unit_1" checked' in text


def test_what_supports_the_work_stands_beside_the_line_behind_it(demo, client_of):
    page = client_of("machinist").get("/plan/between-centers/?size=.7485&length=9&parts=12").content.decode()
    line = page.partition('<ol class="chain">')[2].partition("</ol>")[0]

    assert '<li class="beside">follow rest' in line
    assert line.index("live center") < line.index("the work") < line.index("follow rest")
