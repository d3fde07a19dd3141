"""The routes of a rig, of which those that another replaces in everything are not tried."""

from hypothesis import given
from hypothesis import strategies as st

from fitfinder.holding.chains import Missing, chains_to
from fitfinder.holding.routes import best_chain, routes_of
from tests.fitfinder import on_hand

LATHES = (on_hand.lathe("Lathe 1", tir="0.0001"), on_hand.lathe("Lathe 2", tir=""))
links = st.lists(
    st.tuples(
        st.sampled_from([("closer", "D1-4", "5C"), ("collet chuck", "MT3", "5C"), ("sleeve", "MT5", "MT3")]),
        st.sampled_from(["good", "worn"]),
        st.sampled_from([None, "0.0001", "0.0003"]),
        st.sampled_from([None, None, LATHES[0].id, LATHES[1].id]),
    ),
    max_size=10,
)


@given(links)
def test_the_best_way_is_among_those_that_are_tried(drawn):
    rig = [
        on_hand.piece(kind, mount=mount, takes=takes, condition=condition, tir=tir, mounted_on=on)
        for (kind, mount, takes), condition, tir, on in drawn
    ]
    rig += [on_hand.drawbar(mount="MT3"), on_hand.drawbar(mount="MT3", condition="worn")]
    every = chains_to("5C", rig=sorted(rig, key=lambda piece: (piece.condition, piece.tag)), lathes=LATHES)
    routes = routes_of(on_hand.crib(*rig, lathes=LATHES))

    assert routes.are_there("5C") == (not isinstance(every, Missing))
    if not isinstance(every, Missing):
        assert routes.best("5C") == best_chain(every)


def test_what_a_drawbar_runs_out_keeps_none_from_being_tried():
    """It only draws, and its run-out counts for nothing: of two that are alike it is the first by its tag."""
    rig = [
        on_hand.piece("collet chuck", mount="MT3", takes="ER32"),
        on_hand.sleeve(mount="MT5", takes="MT3"),
        on_hand.drawbar(tag="A", mount="MT3", tir="0.0003"),
        on_hand.drawbar(tag="B", mount="MT3", tir="0.0001"),
    ]
    routes = routes_of(on_hand.crib(*rig, lathes=LATHES))

    assert "A" in [link.tag for link in routes.best("ER32").links]
    assert routes.best("ER32") == best_chain(chains_to("ER32", rig=rig, lathes=LATHES))
