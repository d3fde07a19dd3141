"""The search for chains against a plain walk over every order of the holders: same ways, same least run-out.

Brute force, independent of the search: all orders of up to four pieces are tried and judged by what a seat is.
"""

from itertools import permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from fitfinder.holding.chains import Missing, chains_to
from fitfinder.holding.pieces import LatheOnHand, Piece, SeatOnHand
from inventory.measures.lengths import Length

SEATS = ("D1-4", "MT5", "MT3", "5C", "ER32")


def seat(code):
    return SeatOnHand(code, needs_drawbar=code.startswith("MT"))


@st.composite
def holders(draw):
    made = []
    for number in range(draw(st.integers(0, 5))):
        kind = draw(st.sampled_from(["closer", "collet chuck", "sleeve", "drawbar"]))
        made.append(
            Piece(
                id=number,
                tag=f"H-{number}",
                kind=kind,
                mounts_in=seat(draw(st.sampled_from(SEATS[:3]))),
                offers=None if kind == "drawbar" else draw(st.sampled_from(SEATS[1:])),
                tir=Length(draw(st.integers(0, 9)) * 2540),
                why_not=draw(st.sampled_from(["", "", "", "damaged"])),
            )
        )
    return made


def ways_by_hand(target, rig, lathe):
    """Every order of usable holders that seats link by link and ends at the target, with a drawbar where one pulls."""
    usable = [piece for piece in rig if piece.is_usable]
    links = [piece for piece in usable if piece.kind != "drawbar"]
    bars = [piece for piece in usable if piece.kind == "drawbar"]
    starts = {lathe.nose.code, lathe.headstock_taper.code}
    found = {()} if target in starts else set()
    for count in (1, 2, 3):
        for order in permutations(links, count):
            seats = [(one.offers, other.mounts_in.code) for one, other in zip(order, order[1:], strict=False)]
            if order[0].mounts_in.code not in starts or order[-1].offers != target:
                continue
            if any(given != taken for given, taken in seats) or any(piece.kind != "sleeve" for piece in order[:-1]):
                continue
            last = order[-1]
            if last.kind == "collet chuck" and last.mounts_in.needs_drawbar:
                found |= {
                    (bar.id, *(piece.id for piece in order))
                    for bar in bars
                    if bar.mounts_in.code == last.mounts_in.code
                }
            else:
                found.add(tuple(piece.id for piece in order))
    return found


def least(ways, rig):
    by_id = {piece.id: piece for piece in rig}
    return min(sum(by_id[one].tir.nm for one in way if by_id[one].kind != "drawbar") for way in ways)


@settings(deadline=None, max_examples=300)
@given(rig=holders(), target=st.sampled_from(["5C", "ER32", "MT3"]))
def test_the_search_finds_the_ways_and_the_least_run_out_that_a_plain_walk_finds(rig, target):
    lathe = LatheOnHand(id=1, name="Lathe 1", nose=seat("D1-4"), headstock_taper=seat("MT5"), nose_tir=Length(0))
    found = chains_to(target, rig=rig, lathes=[lathe])
    by_hand = ways_by_hand(target, rig, lathe)

    if isinstance(found, Missing):
        assert by_hand == set()
        return
    checked = {tuple(link.id for link in chain.links): chain for chain in found if chain.is_checked}
    assert set(checked) == by_hand
    if by_hand:
        assert min(chain.runout.total.nm for chain in checked.values()) == least(by_hand, rig)
