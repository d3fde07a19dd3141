"""Which link is missing between what is on hand and the lathes, and what it would open."""

import time

import pytest

from fitfinder.holding.chains import Missing, chains_to
from fitfinder.holding.pieces import LatheOnHand, Piece
from fitfinder.short.links import Shank, Shelf, missing_links
from tests.fitfinder.on_hand import seat

LATHE_1 = LatheOnHand(id=1, name="Lathe 1", nose=seat("D1-4"), headstock_taper=seat("MT5"), tailstock_taper=seat("MT3"))
LATHE_2 = LatheOnHand(
    id=2, name="Lathe 2", nose=seat("1-1/2-8"), headstock_taper=seat("MT3"), tailstock_taper=seat("MT2")
)
CLOSER = Piece(id=11, tag="H-0061", kind="closer", mounts_in=seat("D1-4"), offers="5C")
CHUCK = Piece(id=12, tag="H-0064", kind="collet chuck", mounts_in=seat("MT3"), offers="ER16")
SHELF_5C = Shelf(series="5C", seat="5C", sizes=3, pieces=4)
SHELF_ER16 = Shelf(series="ER16", seat="ER16", sizes=2, pieces=2)


def sleeve(mount, takes, **fields):
    return Piece(id=20, tag="H-0066", kind="sleeve", mounts_in=seat(mount), offers=takes, **fields)


def names(links):
    return [link.name for link in links]


def test_nothing_is_missing_where_every_lathe_takes_what_is_here():
    assert missing_links(lathes=[LATHE_1], rig=[CLOSER], shelves=[SHELF_5C], shanks=[]) == []


def test_without_a_lathe_no_link_is_missing():
    assert missing_links(lathes=[], rig=[], shelves=[SHELF_5C], shanks=[]) == []


def test_a_lathe_without_a_closer_says_what_one_would_open():
    (link,) = missing_links(lathes=[LATHE_1, LATHE_2], rig=[CLOSER], shelves=[SHELF_5C], shanks=[])

    assert (link.name, link.mount, link.takes) == ("5C closer for 1-1/2-8", "1-1/2-8", "5C")
    assert link.opens == ("5C on Lathe 2",)
    assert (link.sizes, link.pieces, link.nowhere) == (3, 4, 0)
    assert link.why == "H-0061, which takes 5C, does not fit Lathe 2"


def test_what_can_be_used_nowhere_comes_first():
    links = missing_links(lathes=[LATHE_1, LATHE_2], rig=[CLOSER, CHUCK], shelves=[SHELF_5C, SHELF_ER16], shanks=[])

    assert names(links) == ["MT3 drawbar", "5C closer for 1-1/2-8", "ER16 collet chuck for D1-4"]
    assert [link.nowhere for link in links] == [2, 0, 0]


def test_a_drawbar_that_opens_a_series_on_both_lathes_is_told_once():
    links = missing_links(lathes=[LATHE_1, LATHE_2], rig=[CHUCK, sleeve("MT5", "MT3")], shelves=[SHELF_ER16], shanks=[])

    assert names(links) == ["MT3 drawbar"]
    assert links[0].opens == ("ER16 on Lathe 1 and Lathe 2",)


def test_a_closer_that_is_damaged_is_the_link_to_get():
    damaged = Piece(id=11, tag="H-0061", kind="closer", mounts_in=seat("D1-4"), offers="5C", why_not="damaged")

    (link,) = missing_links(lathes=[LATHE_1], rig=[damaged], shelves=[SHELF_5C], shanks=[])

    assert link.name == "5C closer for D1-4"
    assert "H-0061, which takes 5C, is damaged" in link.why


def test_no_sleeve_from_mt5_to_mt2_is_told_with_the_shanks_that_wait():
    links = missing_links(
        lathes=[LATHE_1],
        rig=[sleeve("MT3", "MT2")],
        shelves=[],
        shanks=[Shank("N-0092", "MT2"), Shank("N-0091", "MT3")],
    )

    assert names(links) == ["MT5 to MT2 sleeve", "MT5 to MT3 sleeve"]
    assert links[0].why == "no sleeve from MT5 to MT2"
    assert links[0].opens == ("MT2 shanks in the headstock of Lathe 1",)


def test_two_sleeves_in_each_other_carry_a_shank():
    rig = [sleeve("MT5", "MT3"), sleeve("MT3", "MT2")]

    assert missing_links(lathes=[LATHE_1], rig=rig, shelves=[], shanks=[Shank("N-0092", "MT2")]) == []


@pytest.mark.parametrize("taper", ["MT5", "JT33", "MT7"])
def test_a_shank_that_no_sleeve_makes_smaller_asks_for_none(taper):
    assert missing_links(lathes=[LATHE_1], rig=[], shelves=[], shanks=[Shank("X-1", taper)]) == []


@pytest.mark.parametrize("rig", [[], [CLOSER], [CHUCK], [CLOSER, CHUCK, sleeve("MT5", "MT3")]])
def test_the_links_that_are_told_open_all_that_is_closed(rig):
    lathes, shelves = [LATHE_1, LATHE_2], [SHELF_5C, SHELF_ER16]

    links = missing_links(lathes=lathes, rig=rig, shelves=shelves, shanks=[])

    bought = [
        Piece(id=100 + place, tag="new", kind=link.kind, mounts_in=seat(link.mount), offers=link.takes or None)
        for place, link in enumerate(links)
    ]
    for lathe in lathes:
        for shelf in shelves:
            assert not isinstance(chains_to(shelf.seat, rig=[*rig, *bought], lathes=[lathe]), Missing)


def test_a_shop_of_many_lathes_and_series_is_told_at_once():
    """Seconds of the processor: it grew with the square of both, to half a minute with twice as many."""
    noses = [seat(code) for code in ("D1-4", "D1-5", "D1-6", "A2-5", "A2-6", "L00", "1-1/2-8", "2-1/4-8")]
    lathes = [
        LatheOnHand(id=n, name=f"Lathe {n}", nose=noses[n % 8], headstock_taper=seat(f"MT{3 + n % 4}"))
        for n in range(1, 13)
    ]
    shelves = [Shelf(series=f"S{n}", seat=f"S{n}", sizes=10, pieces=20) for n in range(30)]
    rig = [Piece(id=n, tag=f"H-{n}", kind="closer", mounts_in=noses[n % 8], offers=f"S{n % 30}") for n in range(100)]

    started = time.process_time()
    links = missing_links(lathes=lathes, rig=rig, shelves=shelves, shanks=[])

    assert (len(links), sum(len(link.opens) for link in links)) == (140, 140)
    assert time.process_time() - started < 2
