"""`manage.py arithmetic`, as a person and as a program read it."""

import json

import pytest

from tests.commands import run

# The unit that is meant where none is given is the shop's.
pytestmark = pytest.mark.django_db

CONTRACT = {
    "tir": ["tir=.015"],
    "dial-in": ["reading1=.012", "reading2=.002"],
    "packing": ["diameter=1", "throw=1/8"],
    "packing-throw": ["diameter=1", "packing=.1875"],
    "set-over": ["length=10", "ratio=20"],
    "taper": ["taper_per_foot=0.6"],
    "morse": ["code=MT3", "from_gauge=1"],
    "cone": ["pilot=1/8", "mouth=1/4"],
    "starts": ["positions=6"],
    "counterweight": ["mass=3lb", "radius=2", "at_radius=4"],
    "unbalance": ["mass=3lb", "radius=2", "rpm=800"],
    "speed": ["diameter=1", "surface_speed=100ft/min"],
    "deflection": ["force=100lbf", "length=3", "diameter=1", "modulus=30e6psi", "held=free-end"],
    "weight": ["shape=hex", "size=1", "length=12", "density=0.2836lb/in^3"],
    "corners": ["shape=hex", "flats=1"],
}
RESULT_KEYS = {
    "tir": ["tir", "offset"],
    "dial-in": ["move"],
    "packing": ["narrow", "flat", "tir"],
    "packing-throw": ["narrow", "flat"],
    "set-over": ["set_over"],
    "taper": ["taper_per_foot", "ratio", "half_angle"],
    "morse": ["diameter"],
    "cone": ["mouth", "depth"],
    "starts": ["possible", "step"],
    "counterweight": ["mass"],
    "unbalance": ["force"],
    "speed": ["rpm", "surface_speed"],
    "deflection": ["deflection", "l_over_d"],
    "weight": ["weight"],
    "corners": ["flats", "corners"],
}


def arithmetic(*words):
    return run("arithmetic", *words)


@pytest.mark.parametrize("name", CONTRACT)
def test_a_program_gets_the_whole_sum_in_one_form(name):
    code, out, err = arithmetic(name, *CONTRACT[name], "--json")
    answer = json.loads(out)

    assert (code, err) == (0, "")
    assert list(answer) == ["name", "inputs", "result", "formula", "source", "notes"]
    assert answer["name"] == name
    assert list(answer["result"]) == RESULT_KEYS[name]
    assert {tuple(told) for told in answer["result"].values()} == {("value", "unit")}
    assert set(answer["inputs"]) >= {word.partition("=")[0] for word in CONTRACT[name]}
    assert answer["formula"] and answer["source"] and answer["notes"]


def test_values_are_text_with_all_their_figures():
    answer = json.loads(arithmetic("packing", *CONTRACT["packing"], "--json")[1])

    assert answer["result"]["narrow"] == {"value": "0.175640604744", "unit": "in"}
    assert answer["inputs"]["throw"] == {"value": "0.125", "unit": "in"}


def test_what_is_counted_is_a_number_without_a_unit():
    answer = json.loads(arithmetic("starts", "positions=6", "starts=3", "--json")[1])

    assert answer["result"] == {"possible": {"value": [1, 2, 3, 6], "unit": None}, "step": {"value": 2, "unit": None}}


def test_bare_numbers_can_be_millimetres():
    answer = json.loads(arithmetic("tir", "tir=0.2", "--unit", "mm", "--json")[1])

    assert answer["result"]["offset"] == {"value": "0.1", "unit": "mm"}


def test_a_person_reads_the_result_first_in_both_units():
    code, out, _ = arithmetic("set-over", "length=10", "ratio=20")

    assert code == 0
    assert out.splitlines()[0] == "Set the tailstock over: 0.2500 in (6.350 mm)"
    assert "Formula: set-over = L" in out
    assert "Source: " in out


def test_without_a_name_all_sums_are_listed_with_their_keys():
    code, out, _ = arithmetic()

    assert code == 0
    assert [name for name in CONTRACT if name not in out] == []
    assert "keys: length and (large small taper_length, or taper_per_foot, or ratio)" in out


def test_a_program_can_ask_for_the_list_too():
    listed = {row["name"]: row for row in json.loads(arithmetic("--json")[1])["sums"]}

    assert listed["starts"]["keys"] == ["positions", "starts"]
    assert listed.keys() >= CONTRACT.keys()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["thread"], "name: “thread” is no sum"),
        (["tir", "swing=.015"], "swing: “swing” is no key"),
        (["tir"], "offset: offset is missing"),
        (["tir", ".015"], "key: “.015” is no key and value"),
        (["tir", "tir=.015", "tir=.016"], "tir: tir was given twice"),
        (["tir", "tir=.015lbf"], "tir: “.015lbf” cannot be read"),
        (["tir", "tir=-.015"], "tir: “-.015” is below zero"),
        (["tir", "tir=.015", "offset=.008"], "tir: offset and tir contradict"),
        (["tir", "tir=.015", "--unit", "ell"], "unit: “ell” is no unit"),
    ],
)
def test_what_cannot_be_read_is_one_sentence_and_exit_code_2(words, said):
    code, out, err = arithmetic(*words)

    assert (code, out) == (2, "")
    assert err.startswith(said)
    assert err.count("\n") == 1


def test_what_cannot_be_read_is_an_error_object_for_a_program():
    code, out, err = arithmetic("unbalance", "mass=3mm", "radius=2", "rpm=800", "--json")

    assert (code, err) == (2, "")
    error = json.loads(out)["error"]
    assert list(error) == ["field", "read", "message", "suggest"]
    assert (error["field"], error["read"]) == ("mass", "3mm")
