"""`manage.py plan`, as a person and as a program read it."""

import json

import pytest

from fitfinder.holding.method import Method
from inventory.measures.lengths import parse
from tests import factories
from tests.commands import run

pytestmark = pytest.mark.one_database("how a plan is printed; what it is read from is the reader of the page")

WAY_KEYS = [
    "method", "can", "here", "missing", "chain", "tir", "tir_basis", "true_enough", "minutes", "reasons", "cautions",
    "support", "steps", "grip", "stick_out", "speed_limit", "weight", "tir_of", "one_gripping",
]  # fmt: skip


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1", tir="0.0001")
    factories.closer(tag="H-0061", tir="0.0002")
    factories.collet("3/4", tag="C-0011", location="A2", tir="0.0003")


def planned(*words):
    return run("plan", *words)


def test_the_plan_as_json_has_the_promised_keys_and_each_method_once(shop):
    code, out, _ = planned("0.7485", "--parts", "12", "--setups", "2", "--tir", ".001", "--json")
    told = json.loads(out)

    assert code == 0
    assert list(told) == ["read_as", "stock", "ways"]
    assert sorted(way["method"] for way in told["ways"]) == sorted(Method)
    assert all(list(way) == WAY_KEYS for way in told["ways"])


def test_a_way_tells_its_chain_its_run_out_and_its_minutes(shop):
    told = json.loads(planned("0.7485", "--json")[1])
    collet = next(way for way in told["ways"] if way["method"] == "collet")

    assert (collet["can"], collet["here"], collet["chain"]) == (True, True, ["H-0061", "C-0011"])
    assert (collet["tir"]["in"], collet["tir_basis"], collet["true_enough"]) == ("0.0006", "measured", True)
    # Common practice: 10 to fit the closer, 2 to change the collet, 1/2 for the part.
    assert collet["minutes"] == 12.5


def test_what_find_tells_of_a_collet_is_of_one_gripping_and_the_plan_says_between_what_it_tells_it(shop):
    (grip,) = json.loads(run("fit", "0.7485", "--json")[1])["grips"]
    ways = [json.loads(planned("0.7485", "--setups", setups, "--json")[1])["ways"] for setups in ("1", "2")]
    once, twice = (next(way for way in one if way["method"] == "collet") for one in ways)

    assert (once["tir_of"], once["tir"]) == ("of one gripping", grip["tir"])
    assert (twice["tir_of"], twice["tir"]["in"]) == ("between set-ups", "0.0012")
    assert once["one_gripping"] == twice["one_gripping"] == grip["tir"]
    assert "TIR between set-ups 0.0012 in, measured" in planned("0.7485", "--setups", "2")[1]


def test_the_first_line_for_a_person_is_how_the_question_was_read(shop):
    assert planned("20h9")[1].startswith("Read as: 20 mm round, nominal, h9")


def test_taper_and_turned_diameter_are_read_by_their_flags(shop):
    assert planned("3/4", "--taper", "20", "--taper-length", "2", "--turned", ".7")[0] == 0


@pytest.mark.parametrize(("flags", "why"), [(("--both-ends", "yes"), "turned end for end"), ((), "put back between")])
def test_work_that_is_turned_end_for_end_can_be_asked_in_a_terminal(flags, why, shop):
    ways = json.loads(planned("3/4", "--length", "4", "--setups", "2", *flags, "--json")[1])["ways"]
    centers = next(way for way in ways if way["method"] == "between centers")

    assert any(why in reason for reason in centers["reasons"])


def test_a_tag_is_read_as_the_piece(shop):
    factories.collet("1/2", shape="hex", tag="C-0024")

    assert planned("C-0011")[1].startswith("Read as: 3/4 in round, the size of C-0011, a 3/4 round 5C collet")
    assert json.loads(planned("C-0024", "--json")[1])["stock"]["shape"] == "hex"
    assert planned("H-0061")[0] == planned("H-9999")[0] == 2


def test_a_unit_that_is_given_is_never_asked_back(shop):
    assert planned("40", "--unit", "in")[1].startswith("Read as: 40 in round")
    assert planned("40")[0] == 2


def test_exit_1_where_no_way_can_hold_it(shop):
    factories.lathe("Small", swing_over_bed=parse("10"), swing_over_slide=parse("6"))

    assert planned("20 in", "--lathe", "Small")[0] == 1


@pytest.mark.parametrize(
    ("words", "field"),
    [
        (["three quarters"], "size"),
        (["1", "--parts", "none"], "parts"),
        (["1", "--lathe", "Lathe 9"], "lathe"),
        (["1", "--shape", "tube"], "bore"),
        (["1", "--tir", "0"], "tir"),
        (["1", "--taper-length", "2"], "taper_length"),
        (["1", "--turned", "1"], "turned"),
        (["3/4-10"], "size"),
    ],
)
def test_what_cannot_be_read_is_one_sentence_that_names_its_field_and_exit_2(shop, words, field):
    code, out, err = planned(*words)

    assert (code, out) == (2, "")
    assert err.startswith(f"{field}: ")
    assert json.loads(planned(*words, "--json")[1])["error"]["field"] == field


def test_a_way_tells_what_the_work_weighs_where_that_is_known(shop):
    told = json.loads(planned("5 in", "--length", "10", "--material", "aluminium", "--json")[1])
    untold = json.loads(planned("5 in", "--json")[1])

    assert all(way["weight"] == {"kg": 8.684, "lb": 19.144} for way in told["ways"])
    assert all(way["weight"] is None for way in untold["ways"])


def test_a_material_that_nobody_knows_is_refused_with_those_that_are_read(shop):
    code, out, err = planned("5 in", "--length", "10", "--material", "mithril", "--json")

    assert code == 2
    assert json.loads(out or err)["error"]["field"] == "material"


def test_a_way_tells_a_program_its_steps_with_their_pieces_and_what_only_supports_the_work(shop):
    _, out, _ = planned("0.7485", "--json")
    way = next(way for way in json.loads(out)["ways"] if way["method"] == "collet")

    assert way["steps"][0] == {"do": "Power off and isolated, a board over the ways.", "with": []}
    assert ["C-0011"] in [step["with"] for step in way["steps"]]
    assert set(way["support"]) <= set(way["chain"])
    assert "C-0011" not in way["support"]
