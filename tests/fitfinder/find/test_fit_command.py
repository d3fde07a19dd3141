"""`manage.py fit`, as a person and as a program read it."""

import json

import pytest

from tests import factories
from tests.commands import run

pytestmark = pytest.mark.one_database("how an answer is printed; what it is read from is the reader of the page")

ANSWER_KEYS = [
    "read_as", "stock", "verdict", "headline", "grips", "more", "left_out", "details_missing", "make_dos",
    "nearest", "gap", "cautions", "wants",
]  # fmt: skip
GRIP_KEYS = [
    "tag", "kind", "method", "series", "shape", "nominal", "clamps_from", "clamps_to", "verdict", "margin",
    "in_true_zone", "condition", "location", "chain", "chain_checked", "lathe", "tir", "tir_basis", "meets_tir",
    "passes_through", "reasons", "cautions",
]  # fmt: skip


@pytest.fixture
def shop(db):
    factories.lathe("Lathe 1", tir="0.0001", fastest_rpm=2000)
    factories.closer(tag="H-0061", tir="0.0002", max_rpm=3000)
    factories.collet("3/4", tag="C-0011", location="A2", tir="0.0003")


def fit(*words):
    return run("fit", *words)


def fit_json(*words):
    return json.loads(fit(*words, "--json")[1])


@pytest.mark.parametrize(
    ("words", "code"),
    [
        pytest.param(["0.7485"], 0, id="holds"),
        pytest.param(["0.755"], 0, id="at the limit"),
        pytest.param(["3/4", "--grade", "hot-rolled"], 0, id="measure first"),
        pytest.param([".748", ".750"], 0, id="two sizes"),
        pytest.param(["19", "--unit", "mm"], 0, id="millimetres"),
        pytest.param(["3/4", "--lathe", "lathe 1"], 0, id="a lathe in another case"),
        pytest.param(["2 in"], 1, id="nothing"),
        pytest.param(["3/4", "--shape", "hex"], 1, id="nothing in this shape"),
        pytest.param(["12"], 2, id="no unit to a large number"),
        pytest.param(["40", "--unit", "in"], 1, id="a large number whose unit is given"),
        pytest.param(["1.0051"], 1, id="a measured size larger than anything here"),
        pytest.param(["3/4-10"], 2, id="a thread"),
        pytest.param(["3/4", "10"], 2, id="two bars"),
        pytest.param(["three quarters"], 2, id="no size"),
        pytest.param(["0"], 2, id="zero"),
        pytest.param([".750", ".748"], 2, id="reversed order"),
        pytest.param(["3/4", "--grade", "wood"], 2, id="no grade"),
        pytest.param(["3/4", "--shape", "oval"], 2, id="no shape"),
        pytest.param(["3/4", "--unit", "cubit"], 2, id="no unit"),
        pytest.param(["3/4", "--lathe", "Lathe 9"], 2, id="no lathe"),
        pytest.param(["3/4", "--tir", "little"], 2, id="no TIR"),
    ],
)
def test_the_exit_code_says_how_it_went(words, code, shop):
    assert fit(*words)[0] == code


def test_a_blank_or_a_chuck_is_an_answer(shop):
    factories.blank()
    factories.chuck()

    assert fit_json("0.760")["verdict"] == "blank"
    assert fit("0.760")[0] == 0
    assert fit_json("2")["verdict"] == "chuck"
    assert fit("2")[0] == 0


def test_a_person_reads_what_to_do_first(shop):
    code, out, _ = fit("3/4")

    assert out.splitlines()[:2] == [
        "Take C-0011 from drawer A2: 3/4 round 5C holds it.",
        "Read as: 3/4 in round, measured",
    ]
    assert "H-0061 > C-0011" in out


def test_a_person_reads_what_was_left_out_what_is_nearest_and_what_is_missing(shop):
    factories.collet("1/2", tag="C-0024", condition="damaged")

    out = fit("1/2")[1]

    assert "Left out: C-0024, damaged" in out
    assert "Nearest: C-0011" in out
    assert "Missing: 1/2 round 5C" in out


def test_what_cannot_be_read_is_one_sentence_on_standard_error(shop):
    code, out, err = fit("three quarters")

    assert (code, out) == (2, "")
    assert err.startswith("size: “three quarters” cannot be read as a length.")


def test_what_cannot_be_read_is_an_object_for_a_program(shop):
    code, out, err = fit("12", "--json")

    assert (code, err) == (2, "")
    error = json.loads(out)["error"]
    assert list(error) == ["field", "read", "message", "suggest"]
    assert (error["field"], error["read"], error["suggest"]) == ("size", "12", "12 mm")


def test_a_unit_that_is_given_is_never_asked_back(shop):
    assert fit_json("40", "--unit", "in")["read_as"] == "40 in round, measured"
    assert fit_json("40", "41", "--unit", "in")["read_as"] == "40.0000 to 41.0000 in round, measured"
    assert fit_json("40", "--unit", "mm")["read_as"] == "40 mm round, measured"


def test_a_tag_is_read_as_the_piece(shop):
    assert fit_json("c-0011")["read_as"] == "3/4 in round, the size of C-0011, a 3/4 round 5C collet"
    assert json.loads(fit("h-0061", "--json")[1])["error"]["message"].startswith("H-0061 is a closer")


def test_a_shape_on_a_bars_label_is_the_shape(shop):
    answer = fit_json("1 hex brass")

    assert (answer["stock"]["shape"], answer["stock"]["largest"]["in"]) == ("hex", "1.0040")
    assert json.loads(fit("3/4 4140", "--json")[1])["error"]["suggest"] == "3/4 cold-drawn-annealed"


@pytest.mark.parametrize(("words", "flats"), [(["SW 13"], "13.000"), (["13 A/F"], "13.000"), (["1/2 A/F"], "12.700")])
def test_a_size_across_flats_is_of_hex(shop, words, flats):
    stock = fit_json(*words)["stock"]

    assert (stock["shape"], stock["largest"]["mm"]) == ("hex", flats)


def test_hex_in_millimetres_is_missing_as_its_own_size(shop):
    gap = fit_json("13 mm hex")["gap"]

    assert (gap["series"], gap["shape"], gap["size"]["mm"]) == ("5C", "hex", "13.000")


def test_a_number_that_lost_its_point_is_offered_with_it(shop):
    error = json.loads(fit("7485", "--json")[1])["error"]

    assert (error["suggest"], fit(error["suggest"])[0]) == (".7485", 0)
    assert "decimal point" in error["message"]


def test_a_program_gets_exactly_the_promised_keys(shop):
    factories.collet("0.7505", tag="C-0024", condition="damaged")
    answer = fit_json("3/4")

    assert list(answer) == ANSWER_KEYS
    assert list(answer["stock"]) == ["shape", "smallest", "largest", "out_of_round"]
    assert [list(grip) for grip in answer["grips"]] == [GRIP_KEYS]
    assert answer["left_out"] == [{"tag": "C-0024", "why": "damaged"}]
    assert [list(caution) for caution in answer["cautions"]] == [["text", "source"]]


def test_a_program_gets_exactly_the_promised_keys_where_nothing_holds(shop):
    answer = fit_json("0.734375")

    assert list(answer) == ANSWER_KEYS
    assert list(answer["gap"]) == ["series", "shape", "size", "why", "blanks"]
    assert [list(near) for near in answer["nearest"]] == [["tag", "nominal", "misses_by"]]


def test_make_dos_are_told_as_grips(shop):
    answer = fit_json("0.5303", "--shape", "square")

    assert answer["verdict"] == "nothing"
    assert [list(make_do) for make_do in answer["make_dos"]] == [GRIP_KEYS]


def test_a_grip_is_told_in_full(shop):
    (grip,) = fit_json("0.7485", "--tir", ".001")["grips"]

    assert grip == {
        "tag": "C-0011",
        "kind": "collet",
        "method": "collet",
        "series": "5C",
        "shape": "round",
        "nominal": {"nm": 19050000, "in": "0.7500", "mm": "19.050"},
        "clamps_from": {"nm": 18923000, "in": "0.7450", "mm": "18.923"},
        "clamps_to": {"nm": 19177000, "in": "0.7550", "mm": "19.177"},
        "verdict": "holds",
        "margin": {"nm": 88900, "in": "0.0035", "mm": "0.089"},
        "in_true_zone": True,
        "condition": "good",
        "location": "A2",
        "chain": ["H-0061", "C-0011"],
        "chain_checked": True,
        "lathe": "Lathe 1",
        "tir": {"nm": 15240, "in": "0.0006", "mm": "0.015"},
        "tir_basis": "measured",
        "meets_tir": True,
        "passes_through": True,
        "reasons": grip["reasons"],
        "cautions": [],
    }
    assert grip["reasons"]


def test_how_the_stock_was_read_is_told(shop):
    answer = fit_json("1", "--grade", "hot-rolled")

    assert answer["stock"] == {
        "shape": "round",
        "smallest": {"nm": 25171400, "in": "0.9910", "mm": "25.171"},
        "largest": {"nm": 25628600, "in": "1.0090", "mm": "25.629"},
        "out_of_round": {"nm": 330200, "in": "0.0130", "mm": "0.330"},
    }


def test_a_band_that_straddles_has_a_margin_below_zero(shop):
    (grip,) = fit_json("3/4", "--grade", "hot-rolled")["grips"]

    assert (grip["verdict"], grip["margin"]["in"]) == ("measure first", "-0.0030")


def test_without_a_lathe_the_chain_is_told_as_unchecked(db):
    factories.collet("3/4")
    (grip,) = fit_json("3/4")["grips"]

    assert (grip["verdict"], grip["lathe"], grip["chain_checked"]) == ("holds", None, False)


def test_without_a_tir_asked_none_is_met(shop):
    assert fit_json("3/4")["grips"][0]["meets_tir"] is None
