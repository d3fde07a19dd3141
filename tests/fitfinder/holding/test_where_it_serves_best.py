"""A chuck or plate that goes on several lathes is put together for the one that it serves best, and for no other."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.job import Job
from fitfinder.holding.methods.chucks import IndependentChuck, UniversalChuck
from fitfinder.holding.methods.faceplate import Faceplate
from fitfinder.holding.preference import best_first, rank
from fitfinder.holding.texts.stock_texts import stock_from
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand

METHODS = (UniversalChuck(), IndependentChuck(), Faceplate())
HEAVY = 20 * 10**9


def lathes(chance):
    return [
        replace(
            on_hand.lathe(
                f"Lathe {number}",
                nose=chance.choice(["D1-4", "D1-4", "1-1/2-8", None]),
                tir=chance.choice([None, "0.0001", "0.0001", "0.0004"]),
            ),
            swing_over_bed=chance.choice([None, parse("13"), parse("2")]),
        )
        for number in range(1, 1 + chance.randint(1, 5))
    ]


def piece(chance, on):
    kind = chance.choice(
        ["universal chuck", "universal chuck", "independent chuck", "faceplate", "closer", "key", "backplate"]
    )
    fields = {
        "tir": chance.choice([None, "0.0005", "0.001", "0.003"]),
        "condition": chance.choice(["good", "good", "worn"]),
        "mounted_on": chance.choice([None, None, None, chance.choice(on).id]),
        "weight_ug": chance.choice([None, None, HEAVY]),
        "is_with_asker": chance.random() < 0.2,
        "why_not": chance.choice(["", "", "", "", "damaged"]),
    }
    if kind == "key":
        return on_hand.piece(kind, tightens=chance.choice(["D1-4", "1-1/2-8"]), **fields | {"mounted_on": None})
    mount = chance.choice(["D1-4", "D1-4", "1-1/2-8", None])
    if kind == "backplate":
        return on_hand.piece(kind, mount=mount, takes=chance.choice(["D1-4", "1-1/2-8"]), **fields)
    if kind == "closer":
        return on_hand.piece(kind, mount=mount, takes="5C", **fields)
    chuck = {"jaws": chance.choice([3, 4, 6]), "outside": ("1/8", chance.choice(["2", "6"]))}
    of_kind = {} if kind == "faceplate" else chuck
    return on_hand.piece(kind, mount=mount, body=chance.choice([None, parse("8")]), **of_kind, **fields)


def made_up(seed):
    chance = random.Random(seed)
    on = lathes(chance)
    rig = [piece(chance, on) for _ in range(chance.randint(3, 14))]
    asked = chance.choice([None, None, parse("0.001"), parse("0.0035")])
    stock = stock_from(chance.choice(["0.75", "1.95", "1"]), shape=chance.choice(["round", "hex"]))
    return Job.of_stock(stock, runs_within=asked), PlanCrib(crib=on_hand.crib(*rig, lathes=on))


def of_every_pair(method, job, crib):
    """The plain way: each piece at each lathe that it goes on, put together and ranked."""
    each = [
        method.way_by(piece, job, here)
        for here in crib.by_lathe
        if method.why_not(job, here) is None
        for piece in here.chains_to(here.of_kind(*method.chosen_from))
    ]
    return [way for way in each if way.is_here]


def each_piece_once(ways):
    once = {}
    for way in best_first(ways):
        once.setdefault(way.hold.piece.tag, way)
    return [(tag, way.lathe.name, rank(way), way.tags, way.cautions) for tag, way in once.items()]


@settings(max_examples=400, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_it_is_the_lathe_that_all_pairs_together_would_say(seed):
    job, crib = made_up(seed)
    for method in METHODS:
        every = of_every_pair(method, job, crib)
        found = [way for way in method.ways(job, crib) if way.is_here]

        assert each_piece_once(found) == each_piece_once(every)


@pytest.mark.parametrize("lathes", [2, 9])
def test_a_loose_chuck_is_put_together_once_however_many_lathes_it_goes_on(lathes):
    chuck, on = on_hand.chuck(), [on_hand.lathe(f"Lathe {number}") for number in range(lathes)]

    ways = UniversalChuck().ways(Job.of_stock(stock_from("0.75")), PlanCrib(crib=on_hand.crib(chuck, lathes=on)))

    assert [(way.hold.piece, way.lathe.name) for way in ways] == [(chuck, "Lathe 0")]
