"""The answer from the few sizes that are looked into is the answer from all that is on hand."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fitfinder.find import answer, ranking
from fitfinder.find.shelves import Choice, Shelf, lacking, out_of_use
from fitfinder.find.ways import Ways
from fitfinder.holding.pieces import CribNow
from fitfinder.holding.stock_texts import stock_from
from inventory.measures.lengths import Length, parse
from tests.fitfinder import on_hand

TENTH = 2540
MIDDLE = parse("0.75")
SEATS = ("5C", "ER32", "16C", "3J")


def shelf_of(size, pieces, lathes):
    """The row that the book would have for this size with these pieces."""
    usable = sorted(piece.condition for piece in pieces if piece.is_usable)
    on_lathes = {lathe.id for lathe in lathes}
    return Shelf(
        size,
        condition=usable[0] if usable else None,
        has_mounted=any(piece.mounted_on in on_lathes for piece in pieces),
        unfit=min(3, sum(1 for piece in pieces if piece.condition == "damaged")),
    )


class Book:
    """All pieces of a crib by their size, handed out shelf by shelf."""

    def __init__(self, collets, lathes):
        self.by_size = {}
        for piece in collets:
            self.by_size.setdefault(piece.size.id, []).append(piece)
        self.shelves = [shelf_of(pieces[0].size, pieces, lathes) for pieces in self.by_size.values()]

    def usable(self, shelves):
        return [piece for shelf in shelves for piece in self.by_size[shelf.size.id] if piece.is_usable]

    def unusable(self, shelves):
        return [piece for shelf in shelves for piece in self.by_size[shelf.size.id] if not piece.is_usable]


def looked_into(stock, book, ways, *, asked, corners=False):
    """The pieces of the shelves that a Choice hands out, and how many shelves these were."""
    choice = Choice(book.shelves, stock=stock, ways=ways, asked=asked, corners=corners)
    found, count = [], 0
    while True:
        shelves = choice.next()
        count += len(shelves)
        pieces = book.usable(shelves)
        choice.see(pieces)
        found += pieces
        if choice.is_sure:
            return found, count


readings = st.none() | st.sampled_from(["0.0002", "0.0005", "0.001", "0.003"])
places = st.sampled_from(["drawer"] * 8 + ["first lathe", "second lathe", "read in a holder", "read on a lathe"])
collets = st.lists(
    st.tuples(
        st.integers(-70, 70).map(lambda tenths: Length(MIDDLE.nm + tenths * TENTH)),
        st.sampled_from(SEATS),
        st.sampled_from(["good"] * 4 + ["worn"] * 3 + ["damaged", "out"]),
        readings,
        places,
        st.none() | st.just("0.0005"),
    ),
    max_size=90,
)
links = st.lists(
    st.tuples(
        st.sampled_from(["D1-4", "MT5", None]),
        st.sampled_from(SEATS),
        st.sampled_from(["good", "worn"]),
        st.sampled_from(["drawer", "first lathe", "second lathe"]),
        readings,
    ),
    min_size=1,
    max_size=7,
)


def rig_of(drawn, lathes):
    mounted = {"first lathe": lathes[0].id, "second lathe": lathes[-1].id}
    found = [on_hand.drawbar()]
    for mount, takes, condition, place, tir in drawn:
        made = on_hand.collet_chuck if mount == "MT5" else on_hand.closer
        found.append(
            made(mount=mount, takes=takes, condition=condition, mounted_on=mounted.get(place), through="1", tir=tir)
        )
    return found


def collets_of(drawn, lathes, rig):
    mounted = {"first lathe": lathes[0].id, "second lathe": lathes[-1].id}
    found = []
    for nominal, series, state, tir, place, typical in drawn:
        piece = on_hand.collet(
            f"{nominal.inch_text}",
            series=series,
            typical=typical,
            condition={"out": "good"}.get(state, state),
            why_not={"out": "out to kim", "damaged": "damaged"}.get(state, ""),
            tir=tir,
            mounted_on=mounted.get(place),
            tir_in_holder=rig[-1].id if place == "read in a holder" else None,
            tir_on_lathe=lathes[0].id if place == "read on a lathe" else None,
        )
        # One size has one typical run-out.
        same = next((one.size for one in found if one.size.id == piece.size.id), piece.size)
        found.append(replace(piece, size=same))
    return found


@st.composite
def cribs(draw):
    lathes = (
        on_hand.lathe("Lathe 1", tir=draw(st.sampled_from(["0.0001", ""]))),
        on_hand.lathe("Lathe 2", tir=draw(st.sampled_from(["0.0002", ""]))),
    )[: draw(st.integers(1, 2))]
    rig = rig_of(draw(links), lathes)
    return lathes, rig, collets_of(draw(collets), lathes, rig)


stocks = st.tuples(st.integers(-10, 10), st.integers(0, 12)).map(
    lambda ends: stock_from(
        Length(MIDDLE.nm + ends[0] * TENTH).inch_text, Length(MIDDLE.nm + (ends[0] + ends[1]) * TENTH).inch_text
    )
)
tirs = st.none() | st.sampled_from([parse(text) for text in ("0.0003", "0.0008", "0.0015", "0.004")])
many = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def ways_of(rig, lathes, pieces):
    """The ways, with what the book knows of the readings: in which holders and on which lathes any was taken."""
    return Ways(
        rig,
        lathes,
        read_in=frozenset(piece.tir_in_holder for piece in pieces) - {None},
        read_on=frozenset(piece.tir_on_lathe for piece in pieces) - {None},
    )


def shown(reply):
    return [(grip.tags, grip.verdict, grip.meets_tir, grip.reasons) for grip in reply.grips]


@many
@given(cribs(), stocks, tirs)
def test_the_ways_that_are_shown_are_those_of_the_whole_crib(crib, stock, asked):
    lathes, rig, on_shelves = crib
    whole = CribNow(lathes=lathes, rig=tuple(rig), collets=tuple(on_shelves))
    found, _ = looked_into(stock, Book(on_shelves, lathes), ways_of(rig, lathes, on_shelves), asked=asked)

    few = replace(whole, collets=tuple(found))

    assert shown(answer.answer(stock, few, asked_tir=asked)) == shown(answer.answer(stock, whole, asked_tir=asked))


@many
@given(cribs(), stocks)
def test_what_is_left_out_is_what_the_whole_crib_leaves_out(crib, stock):
    lathes, rig, on_shelves = crib
    book, ways = Book(on_shelves, lathes), ways_of(rig, lathes, on_shelves)
    whole = CribNow(lathes=lathes, rig=tuple(rig), collets=tuple(on_shelves))
    band = stock.band
    overlapping = [
        shelf
        for shelf in book.shelves
        if shelf.size.reach.smallest <= band.largest and shelf.size.reach.largest >= band.smallest
    ]
    few = book.unusable(out_of_use(overlapping, stock)) + book.usable(lacking(overlapping, ways, stock))
    mounted = [piece for piece in on_shelves if piece.is_usable and piece.mounted_on is not None]
    few += [piece for piece in mounted if ways.are_there(piece.size.seat)]

    left_out = answer.answer(stock, replace(whole, collets=tuple(few))).left_out

    assert left_out == answer.answer(stock, whole).left_out


@many
@given(cribs(), st.sampled_from(["hex", "square"]), tirs)
def test_the_make_dos_are_those_of_the_whole_crib(crib, shape, asked):
    lathes, rig, on_shelves = crib
    stock = stock_from("0.5303" if shape == "square" else "0.6495", shape=shape)
    whole = CribNow(lathes=lathes, rig=tuple(rig), corner_collets=tuple(on_shelves))
    ways = ways_of(rig, lathes, on_shelves)
    found, _ = looked_into(stock, Book(on_shelves, lathes), ways, asked=asked, corners=True)

    few = replace(whole, corner_collets=tuple(found))

    assert answer.answer(stock, few, asked_tir=asked).make_dos == answer.answer(stock, whole, asked_tir=asked).make_dos


@pytest.mark.parametrize("asked", [None, parse("0.001")])
def test_no_more_sizes_are_looked_into_than_can_be_shown(asked):
    lathe = on_hand.lathe()
    rig = [on_hand.closer(tir="0.0001")]
    on_shelves = [on_hand.collet(f"0.7{number:02d}", tir="0.0002") for number in range(46, 55) for _ in range(3)]
    on_shelves += [on_hand.collet(f"0.7{number:02d}5", tir="0.0002") for number in range(46, 54)]

    found, count = looked_into(stock_from("0.7501"), Book(on_shelves, [lathe]), Ways(rig, [lathe]), asked=asked)

    assert count == ranking.MOST_SIZES
    assert len({piece.size.id for piece in found}) == ranking.MOST_SIZES


def test_a_seat_whose_truest_way_is_not_the_shortest_is_looked_into_once():
    lathe = on_hand.lathe()
    short, long = on_hand.closer(tag="K-1", tir="0.001"), on_hand.collet_chuck(tag="K-2", takes="5C", tir="0.0001")
    rig = [short, long, on_hand.drawbar()]
    on_shelves = [on_hand.collet(f"0.7{number:02d}", tir="0.0002") for number in range(40, 60)]

    ways = ways_of(rig, [lathe], on_shelves)

    assert ways.best("5C").links[-1] is long
    _, count = looked_into(stock_from("0.7501"), Book(on_shelves, [lathe]), ways, asked=None)
    assert count == ranking.MOST_SIZES


def test_a_reading_in_the_shorter_way_has_all_of_its_seat_looked_into():
    lathe = on_hand.lathe()
    short, long = on_hand.closer(tag="K-1", tir="0.001"), on_hand.collet_chuck(tag="K-2", takes="5C", tir="0.0001")
    rig = [short, long, on_hand.drawbar()]
    on_shelves = [on_hand.collet(f"0.7{number:02d}", tir="0.0002") for number in range(40, 60)]
    on_shelves.append(on_hand.collet("0.7605", tir="0.0002", tir_in_holder=short.id))

    found, _ = looked_into(
        stock_from("0.7501"), Book(on_shelves, [lathe]), ways_of(rig, [lathe], on_shelves), asked=None
    )

    assert on_shelves[-1] in found
