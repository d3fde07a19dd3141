"""What leads where several ways would do, and what overtakes what as the lot grows."""

from fractions import Fraction

from fitfinder.holding.method import Method
from inventory.reference.kinds import Kind
from tests.fitfinder import on_hand
from tests.fitfinder.holding import small_shop
from tests.fitfinder.holding.small_shop import CENTERED, job


def test_every_plan_has_each_method_once_also_in_an_empty_shop():
    made = small_shop.planned(job(), lathes=())

    # A name in holding/method.py without its row in the table of plan/ways.py is missing here.
    assert sorted(entry.method for entry in made.ways) == sorted(Method)


def test_ways_that_can_stand_before_those_that_cannot_and_those_that_are_here_before_the_rest():
    made = small_shop.planned(job("1", bore="1/2"), on_hand.chuck(), small_shop.faceplate())
    states = [(entry.can, entry.is_here) for entry in made.ways]

    assert states == sorted(states, reverse=True)


def test_a_bushing_that_has_to_be_made_first_never_leads_over_what_is_here():
    asked = job("3/4", length="9", parts=12, setups=2, tir=".001")
    rest = on_hand.piece(Kind.STEADY_REST, outside=("1/2", "4"))
    plan = small_shop.planned(asked, *CENTERED, on_hand.chuck(), on_hand.independent_chuck(), rest)
    names = [entry.method for entry in plan.usable]

    assert names[0] == "between centers"
    assert names.index("independent chuck") < names.index("split bushing")


def test_without_six_jaws_soft_jaws_lead_for_a_thin_tube():
    chuck = on_hand.chuck()
    asked = job("3", shape="tube", bore="2.75")

    assert small_shop.lead(asked, chuck, jaw_sets=[small_shop.soft_jaws(chuck)]).method == "soft jaws"


def test_what_has_something_against_it_overtakes_nothing():
    made = small_shop.planned(job("1", parts=3), on_hand.chuck(), on_hand.independent_chuck())

    assert not any("split bushing" in str(crossing) for crossing in made.crossings)


def test_where_two_ways_cross_is_the_first_number_of_parts_at_which_the_other_is_quicker():
    own = {
        "universal chuck": Fraction(2), "collet": Fraction(1), "closer fit": Fraction(20),
        "collet change": Fraction(3), "chuck change, camlock": Fraction(1),
    }  # fmt: skip
    rig = [on_hand.chuck(), on_hand.closer(), on_hand.collet("1")]
    made = small_shop.planned(job("1", parts=5), *rig, minutes=own)
    crossing = next(item for item in made.crossings if item.many.method == "collet")

    # 1 + 2 n against 23 + n: even at 22.
    assert (crossing.few.method, crossing.parts) == ("universal chuck", 23)


def test_irregular_work_is_for_the_independent_chuck_and_the_faceplate():
    rig = [on_hand.chuck(), on_hand.independent_chuck(), small_shop.faceplate()]
    made = small_shop.planned(job("4", irregular="yes"), *rig)

    assert {entry.method for entry in made.usable} == {"independent chuck", "faceplate"}
