"""What the work weighs and who lifts it: known from shape, size, length and material."""

import pytest
from msgspec.structs import replace

from fitfinder.holding.mechanics import weights
from fitfinder.holding.parts import Act
from inventory.measures import masses
from inventory.measures.lengths import parse
from inventory.reference import practice
from inventory.reference.lifting import Lift
from inventory.reference.materials import Material
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import job, way_by, words


def weight(size="1", **texts):
    return weights.of_work(job(size, **texts))


def lifting_of(way):
    return [caution.text for caution in way.cautions if "not one person" in caution.text]


def test_without_a_length_nothing_is_known_and_a_typed_weight_is_enough():
    assert weight("5") is None
    assert weight("5", weight="12 kg").ug == masses.parse("12 kg")


def test_a_typed_weight_wins_over_what_is_worked_out():
    assert weight("5", length="10", weight="12 kg").ug == masses.parse("12 kg")


def test_steel_is_taken_where_no_grade_is_told_and_it_is_said():
    taken = weight("5", length="10")

    assert (taken.material, taken.is_taken) == (Material.STEEL, True)


@pytest.mark.parametrize(
    ("texts", "material"),
    [
        ({"grade": "stainless"}, Material.STAINLESS),
        ({"grade": "aluminium"}, Material.ALUMINIUM),
        ({"grade": "brass"}, Material.BRASS),
        ({"grade": "hot-rolled"}, Material.STEEL),
        ({"material": "aluminum"}, Material.ALUMINIUM),
        ({"material": "Cast iron"}, Material.CAST_IRON),
        ({"grade": "h9", "unit": "mm", "material": "titanium"}, Material.TITANIUM),
    ],
)
def test_the_grade_says_the_material_and_a_told_one_wins(texts, material):
    told = weight("1", length="10", **texts)

    assert (told.material, told.is_taken) == (material, False)


def test_a_grade_of_a_tolerance_says_no_material():
    assert weight("20", length="100", grade="h9", unit="mm").is_taken


def test_uneven_work_weighs_at_most_the_cylinder_around_it():
    assert weight("12", length="3", shape="casting").is_at_most
    assert not weight("12", length="3").is_at_most


def test_bar_that_is_fed_is_lifted_as_it_lies_in_the_spindle():
    lathe = replace(small_shop.lathe(), spindle_length=parse("30"))

    fed = weights.of_work(job("1", length="2", fed="yes"), lathe)
    assert fed.ug == weight("1", length="30").ug
    assert weights.of_work(job("1", length="40", fed="yes"), lathe).ug == weight("1", length="40").ug
    assert weights.of_work(job("1", length="2"), lathe).ug == weight("1", length="2").ug


def test_a_chuck_whose_weight_is_not_entered_weighs_about_what_its_body_says():
    told = weights.of_piece(on_hand.chuck(body=parse("8"), weight_ug=masses.parse("44 lb")))
    about = weights.of_piece(on_hand.chuck(body=parse("8")))

    assert (told.is_about, about.is_about) == (False, True)
    assert weights.of_piece(on_hand.chuck()) is None
    assert weights.of_piece(replace(small_shop.faceplate(), body=parse("8"))) is None


@pytest.mark.parametrize(
    ("pounds", "lift"), [("25", Lift.ALONE), ("25.1", Lift.TWO), ("75", Lift.TWO), ("75.1", Lift.HOIST)]
)
def test_one_lifts_to_the_first_limit_two_to_the_second_and_above_a_hoist(pounds, lift):
    assert Lift.of(weight(weight=f"{pounds} lb").ug) is lift


def test_heavy_work_is_told_without_anybody_typing_its_weight():
    way = way_by("universal chuck", job("5", length="10"), on_hand.chuck(max_rpm=2000))

    (text,) = lifting_of(way)
    assert text.startswith("The work weighs 55.7 lb (25.3 kg): not one person over the bed. Two people or a cradle.")
    assert "Weighed as steel: tell the material" in text
    assert lifting_of(way_by("universal chuck", job("5", length="10", material="aluminium"), on_hand.chuck())) == []


def test_all_that_is_lifted_stands_in_one_caution_the_heaviest_first_with_both_figures():
    chuck = on_hand.chuck(tag="K-1", body=parse("12"), max_rpm=900, outside=("1/2", "12"))
    (text,) = lifting_of(way_by("universal chuck", job("5", length="10", material="steel"), chuck))

    assert text == (
        "K-1 weighs about 138.2 lb (62.7 kg), and the work 55.7 lb (25.3 kg): not one person over the bed. "
        "A hoist above 75 lb, for the rest two people or a cradle. Board on the ways, power isolated. "
        "Of K-1 no weight is entered: look for its marking."
    )


def test_what_is_on_the_lathe_is_not_lifted():
    lathe = small_shop.lathe()
    chuck = on_hand.chuck(body=parse("12"), mounted_on=lathe.id, max_rpm=2000)

    assert lifting_of(way_by("universal chuck", job("1", length="2"), chuck, lathes=(lathe,))) == []


@pytest.mark.parametrize(("length", "is_held_up"), [("13", False), ("14", True)])
def test_work_that_takes_a_hoist_hangs_in_it_before_the_jaws_close(length, is_held_up):
    # 5 in of steel weigh 5.57 lb to the inch (geometry).
    for method in ("universal chuck", "independent chuck"):
        way = way_by(method, job("5", length=length, material="steel"), on_hand.chuck(), on_hand.independent_chuck())
        acts = [step.act for step in way.steps]
        assert (Act.HOLD_UP in acts) is is_held_up
        assert not is_held_up or acts.index(Act.HOLD_UP) < acts.index(Act.GRIP)


def test_the_material_is_asked_where_a_heavier_metal_would_take_two():
    light, near = job("1", length="10"), job("2", length="26")

    assert not any("copper" in text for text in words(way_by("universal chuck", light, on_hand.chuck()).reasons))
    assert any("copper" in text for text in words(way_by("universal chuck", near, on_hand.chuck()).reasons))


def test_the_limits_are_those_of_the_table():
    assert practice.caution("lift alone").limit == 25
    assert practice.caution("two people or a cradle").limit == 75
