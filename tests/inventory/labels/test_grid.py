import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.labels.grid import PAPERS, LabelGrid, single
from inventory.measures.lengths import Length

MARGINS = {name: Length.mm(10) for name in ("top", "bottom", "left", "right")}


def grid(paper="a4", *, columns=2, rows=5, gap_across=0, gap_down=0, **margins):
    return LabelGrid(
        paper=PAPERS[paper],
        columns=columns,
        rows=rows,
        gap_across=Length.mm(gap_across),
        gap_down=Length.mm(gap_down),
        **{**MARGINS, **margins},
    )


def test_what_the_margins_and_gaps_leave_is_shared_by_the_labels():
    made = grid(columns=3, rows=4, gap_across=5, gap_down=3)

    assert made.label_width == Length.mm(60)
    assert made.label_height == Length.mm(67)
    assert made.holds == 12


def test_a_label_is_told_to_a_tenth_of_a_millimetre():
    assert grid(columns=2, rows=7).label_words == "95 × 39.6 mm"
    assert grid(columns=3, rows=4).label_words == "63.3 × 69.3 mm"


def test_labels_run_along_the_rows():
    made = grid(columns=3, rows=4, gap_across=5, gap_down=3)

    assert (made.box(0).left, made.box(0).top) == (10_000, 10_000)
    assert (made.box(1).left, made.box(1).top) == (75_000, 10_000)
    assert (made.box(3).left, made.box(3).top) == (10_000, 80_000)


millimetres = st.integers(0, 20)


@given(
    st.sampled_from(["a4", "letter"]),
    st.integers(1, 4),
    st.integers(1, 9),
    st.tuples(millimetres, millimetres, millimetres, millimetres),
    st.tuples(st.integers(0, 5), st.integers(0, 5)),
)
def test_no_label_leaves_the_margins_or_lies_on_another(paper, columns, rows, margins, gaps):
    sides = {name: Length.mm(side) for name, side in zip(MARGINS, margins, strict=True)}
    made = grid(paper, columns=columns, rows=rows, gap_across=gaps[0], gap_down=gaps[1], **sides)
    boxes = [made.box(position) for position in range(made.holds)]

    for box in boxes:
        assert box.left >= made.left.nm // 1000
        assert box.top >= made.top.nm // 1000
        assert box.left + box.width <= (made.paper.width.nm - made.right.nm) // 1000
        assert box.top + box.height <= (made.paper.height.nm - made.bottom.nm) // 1000
    for one, next_one in zip(boxes, boxes[1:], strict=False):
        assert next_one.top >= one.top + one.height or next_one.left >= one.left + one.width


@pytest.mark.parametrize(("columns", "is_enough"), [(4, True), (5, False)])
def test_a_label_that_is_too_small_is_told(columns, is_enough):
    assert grid(columns=columns, rows=9).is_large_enough is is_enough


@pytest.mark.parametrize(
    ("right", "is_enough"), [(Length.mm(10), True), (Length.mm(10) + Length(4), False), (Length.mm(9), True)]
)
def test_the_narrowest_label_is_40_mm_wide(right, is_enough):
    made = grid(columns=4, left=Length.mm(40), right=right)

    assert made.is_large_enough is is_enough


def test_a_single_label_fills_its_paper():
    made = single(PAPERS["small"])

    assert (made.holds, made.label_width, made.label_height) == (1, Length.mm(58), Length.mm(28))
