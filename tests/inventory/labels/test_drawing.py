"""How a label is drawn: whatever stands on it stays on it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.labels import drawing
from inventory.labels.grid import PAPERS, LabelGrid, single
from inventory.labels.wording import Belonging, Label
from inventory.measures.lengths import Length

SITE = "http://crib.example:8000"


def drawn(label, paper="small"):
    ((sheet,),) = [drawing.sheets([label], single(PAPERS[paper]), site=SITE)]
    return sheet.labels[0]


def a_label(name="A2", lines=(), stands_in="in Crib"):
    return Label(name, tuple(Belonging(line) for line in lines), stands_in, "/places/1/")


@given(
    st.text(st.characters(categories=["L", "N", "P"]), min_size=1, max_size=60),
    st.lists(st.text(min_size=1, max_size=60), max_size=8),
    st.sampled_from(["large", "small"]),
)
def test_whatever_stands_on_a_label_stays_on_it_and_the_name_is_large(name, lines, paper):
    made = drawn(a_label(name, lines), paper)

    # 14 points are 4.94 mm; ISO 80000 has the inch at 25.4 mm, and the point of print is 1/72 of it.
    assert all(float(line.size) >= 4.94 for line in made.lines if line.is_name)
    assert made.lines[0].is_name
    for line in made.lines:
        assert float(made.top) < float(line.y) <= float(made.top) + float(made.height)


def test_what_has_no_room_on_a_small_label_is_counted():
    made = drawn(a_label(lines=[f"K-00{number} chuck" for number in range(10, 30)], stands_in=""))

    told = [line.text for line in made.lines if not line.is_name]
    assert told == ["K-0010 chuck", "K-0011 chuck", "K-0012 chuck", "and 17 more"]


def test_a_size_is_as_large_as_its_label_allows():
    """Of 98 × 48 mm inside the margin three fifths are for words, less 2 mm; two lines go of 44 mm of height."""
    sizes = {
        name: float(drawn(a_label(name, ["5C round", "C-0011"], stands_in=""), "large").lines[0].size)
        for name in ("1", "3/4", "1-1/16", "0.7485 in of bar")
    }

    # The letters of the face: a figure .522, a stroke .417, a dash .364 of its height.
    widest, highest = 56.8 / (4 * 0.522 + 0.364 + 0.417), (44 - 2 * 9 * 0.353 * 1.2) / 0.94
    for name, most in (("1-1/16", widest), ("3/4", highest), ("1", highest)):
        assert most - 0.36 <= sizes[name] <= most
    assert sizes["1-1/16"] > 2 * sizes["0.7485 in of bar"]


@pytest.mark.parametrize("name", ["1", "3/4", "9 mm", "1-1/16", "0.7485 in"])
@pytest.mark.parametrize("rows", [5, 7, 9, 12])
@pytest.mark.parametrize(("drawer", "stands_in"), [("drawer E2", "in Crib, Cabinet E, drawer E2"), ("E2", "in E2")])
def test_the_drawer_of_a_piece_is_on_its_label_whatever_its_size(name, rows, drawer, stands_in):
    none, margin = Length(0), Length.mm(8)
    sides = dict.fromkeys(("top", "bottom", "left", "right"), margin)
    grid = LabelGrid(paper=PAPERS["a4"], columns=2, rows=rows, gap_across=none, gap_down=none, **sides)
    lines = (Belonging("5C round"), Belonging("C-0011"))
    label = Label(name, lines, stands_in, "/t/C-0011/", tag="C-0011", drawer=drawer)

    made = drawing.sheets([label], grid, site=SITE)[0].labels[0]

    told = " ".join(line.text for line in made.lines)
    assert drawer in told and "C-0011" in told and "5C round" in told
    for line in made.lines:
        assert float(made.top) < float(line.y) <= float(made.top) + float(made.height)


def test_a_long_name_is_wrapped_and_not_made_smaller():
    made = drawn(a_label("Second cabinet on the left behind the horizontal mill"), "large")

    names = [line for line in made.lines if line.is_name]
    assert len(names) > 1
    assert " ".join(line.text for line in names) == "Second cabinet on the left behind the horizontal mill"


def test_labels_begin_at_the_first_free_one_and_go_on_to_the_next_sheet():
    none = Length(0)
    margins = dict.fromkeys(("top", "bottom", "left", "right", "gap_across", "gap_down"), none)
    grid = LabelGrid(paper=PAPERS["a4"], columns=1, rows=3, **margins)
    made = drawing.sheets([a_label(str(number)) for number in range(4)], grid, site=SITE, first=3)

    assert [[drawn.label.name for drawn in sheet.labels] for sheet in made] == [["0"], ["1", "2", "3"]]
