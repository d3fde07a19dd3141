"""What an operation of a setup sheet warns of: each caution where its numbers call for it, and silence where not."""

import pytest

from fitfinder.cutting.cut import Cut, CutSetup, SpeedMark
from fitfinder.cutting.hazards import of_all, of_cut
from inventory.measures.lengths import Length
from inventory.reference.cutting import Does

MARKED = CutSetup(marks=(SpeedMark(1800, "marked on K-0082"), SpeedMark(900, "half of the mark of K-0082")))


def inch(text):
    return Length.inches(text)


def warnings_of(cut, setup=CutSetup()):  # noqa: B008  # frozen
    return " ".join(caution.text for caution in of_cut(cut, setup))


def bar(thick="0.5", out="1", **fields):
    return Cut(does=Does.BORING, tool="T-0108", bar=inch(thick), stick_out=inch(out), hole=inch("1"), **fields)


@pytest.mark.parametrize(("out", "warns"), [("1.9", False), ("2", False), ("2.1", True)])
def test_a_steel_bar_chatters_beyond_four_of_its_thickness(out, warns):
    assert ("a bar chatters" in warnings_of(bar(out=out))) is warns


@pytest.mark.parametrize(("out", "warns"), [("3", False), ("3.1", True)])
def test_a_carbide_bar_goes_out_six_times_its_thickness(out, warns):
    assert ("a bar chatters" in warnings_of(bar(out=out, is_carbide=True))) is warns


@pytest.mark.parametrize(
    ("hole", "words"),
    [
        (None, "needs a hole first: 9/16 in at least"),
        ("0.5", "does not get into a hole of 1/2 in: drill 9/16 in first"),
        ("0.53", "drill 9/16 in first"),
        ("0.5625", ""),
    ],
)
@pytest.mark.parametrize("does", [Does.BORING, Does.THREADING_INSIDE, Does.GROOVING_INSIDE])
def test_a_bar_needs_a_hole_that_is_larger_than_itself(does, hole, words):
    text = warnings_of(Cut(does=does, tool="bar", bar=inch("0.5"), hole=inch(hole) if hole else None))

    assert words in text if words else "hole" not in text.replace("groove to run", "")


def test_parting_asks_for_oil_and_a_feel_for_the_feed():
    assert "oil" in warnings_of(Cut(does=Does.PARTING)) and "by feel" in warnings_of(Cut(does=Does.PARTING))


@pytest.mark.parametrize(
    ("is_hollow", "caught_by", "warns"), [(True, "", True), (True, "a rod", False), (False, "", False)]
)
def test_hollow_work_that_is_parted_off_is_caught(is_hollow, caught_by, warns):
    text = warnings_of(Cut(does=Does.PARTING, caught_by=caught_by), CutSetup(is_hollow=is_hollow))

    assert ("hollow" in text) is warns


@pytest.mark.parametrize(("out", "warns"), [("0.49", True), ("0.5", False)])
def test_a_blade_reaches_the_middle_of_what_it_parts(out, warns):
    text = warnings_of(Cut(does=Does.PARTING, diameter=inch("1"), stick_out=inch(out)))

    assert ("does not reach the middle" in text) is warns


@pytest.mark.parametrize(("rpm", "warns"), [(899, False), (900, False), (901, True)])
def test_a_speed_above_the_lowest_mark_is_told(rpm, warns):
    text = warnings_of(Cut(does=Does.TURNING, rpm=rpm), MARKED)

    assert ("At most 900 rpm, half of the mark of K-0082." in text) is warns


def test_a_knurl_that_does_not_track_says_the_nearest_blank_that_does():
    # 20 to the inch on 3/4 in: 47.1 teeth, on 0.7480 in 47.0.
    tracks = Cut(does=Does.KNURLING, diameter=inch("0.748"), pitch=inch("0.05"), pattern="straight")
    not_so = Cut(does=Does.KNURLING, diameter=inch("0.740"), pitch=inch("0.05"), pattern="straight")

    assert "track" not in warnings_of(tracks)
    assert "turn the blank to 0.7321 in, which has 46 teeth" in warnings_of(not_so)


def test_a_formed_knurl_presses_and_a_cut_one_does_not():
    assert "presses hard" in warnings_of(
        Cut(does=Does.KNURLING, is_formed=True, diameter=inch("1"), pitch=inch("0.05"))
    )
    assert "presses hard" not in warnings_of(Cut(does=Does.KNURLING, diameter=inch("1"), pitch=inch("0.05")))


@pytest.mark.parametrize(("has_taper_shank", "warns"), [(True, True), (False, False)])
def test_a_taper_is_seated_with_a_firm_knock(has_taper_shank, warns):
    text = warnings_of(Cut(does=Does.DRILLING, tool="T-0101", has_taper_shank=has_taper_shank))

    assert ("one firm knock" in text) is warns


def test_what_holds_for_all_cutting_is_said_once_and_nothing_without_a_cut():
    facing = Cut(does=Does.FACING)
    texts = [caution.text for caution in of_all([facing, facing], CutSetup(is_unbalanced=True))]

    assert len(texts) == 2
    assert "lowest speed" in texts[0] and "with a hook" in texts[1]
    assert of_all([], CutSetup(is_unbalanced=True)) == ()


CENTERS, MANDREL = CutSetup(centers="between centers", is_hollow=True), CutSetup(centers="on a mandrel")
NOT_ON_CENTERS = (
    Does.CENTER_DRILLING,
    Does.DRILLING,
    Does.REAMING,
    Does.TAPPING,
    Does.COUNTERBORING,
    Does.BORING,
    Does.THREADING_INSIDE,
    Does.GROOVING_INSIDE,
)


@pytest.mark.parametrize(("setup", "where"), [(CENTERS, "between centers"), (MANDREL, "on a mandrel")])
def test_nothing_is_parted_between_centers(setup, where):
    text = warnings_of(Cut(does=Does.PARTING), setup)

    assert f"Parting {where}: never." in text
    assert "gripped" not in text and "rod in the tailstock" not in text


@pytest.mark.parametrize("does", NOT_ON_CENTERS)
def test_an_end_that_a_center_holds_is_not_drilled_or_bored(does):
    assert "the center is in the way" in warnings_of(Cut(does=does), CENTERS)
    assert "the mandrel is in the way" in warnings_of(Cut(does=does), MANDREL)
    assert "in the way" not in warnings_of(Cut(does=does))


def test_a_face_between_centers_is_not_cut_to_the_middle_and_a_diameter_is():
    assert "not to the middle, where the center is" in warnings_of(Cut(does=Does.FACING), CENTERS)
    assert warnings_of(Cut(does=Does.TURNING), CENTERS) == "" == warnings_of(Cut(does=Does.FACING))


@pytest.mark.parametrize(("rpm", "warns"), [(190, False), (285, False), (286, True), (1500, True)])
def test_a_speed_well_above_the_table_is_said(rpm, warns):
    cut = Cut(does=Does.KNURLING, rpm=rpm, table_rpm=190, table_words="190 rpm by 50 ft/min at 1 in")

    assert ("times what the table gives: 190 rpm by 50 ft/min at 1 in." in warnings_of(cut)) is warns


def test_the_lean_of_an_angled_knurl_is_said_and_a_straight_one_has_none():
    fields = {"does": Does.KNURLING, "diameter": inch("0.71"), "pitch": inch("0.05")}

    assert "which has 39 teeth at 30°" in warnings_of(Cut(pattern="diamond", **fields))
    assert "which has 45 teeth." in warnings_of(Cut(pattern="straight", **fields))
