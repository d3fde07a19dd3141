"""Spindle noses against ASME B5.9 / ISO 702, and the threaded ones against what lathes are sold with."""

import re

import pytest

from inventory.measures.lengths import Length
from inventory.reference.noses import spindle_nose, spindle_noses
from tests.outside.prints import inches, lines, mm


def of_family(family):
    return [nose for nose in spindle_noses() if nose.family == family]


# ASME B5.9 type D1 / ISO 702-2, mm, typed again from memory: nominal and largest pilot, flange, pin circle, pins.
CAMLOCK = """
D1-3  53.975  53.983  92  70.6  3 15.1
D1-4  63.513  63.521  117 82.6  3 16.7
D1-5  82.563  82.573  146 104.8 6 19.8
D1-6  106.375 106.385 181 133.4 6 23
D1-8  139.719 139.731 225 171.4 6 26.2
D1-11 196.869 196.883 298 235   6 31
"""


def test_each_camlock_nose_is_that_of_the_standard():
    ours = [(one.code, one.pilot, one.pilot_max, one.flange, one.circle, one.held_by) for one in of_family("camlock")]

    assert ours == [(code, *map(mm, sizes), f"{pins} cam pins {pin} mm") for code, *sizes, pins, pin in lines(CAMLOCK)]


# The inch print of the same table, from memory: nominal pilot and pin circle.
CAMLOCK_INCHES = """
D1-3  2.1250  2.781
D1-4  2.5005  3.250
D1-5  3.2505  4.125
D1-6  4.1880  5.250
D1-8  5.5007  6.750
D1-11 7.7507  9.250
"""


@pytest.mark.parametrize(("code", "pilot", "circle"), lines(CAMLOCK_INCHES))
def test_a_camlock_nose_is_that_of_the_inch_print(code, pilot, circle):
    nose = spindle_nose(code)
    assert abs(nose.pilot - inches(pilot)) <= mm("0.002")
    assert abs(nose.circle - inches(circle)) <= mm("0.06")


# ASME B5.9 type A / ISO 702-1, mm, typed again from memory: nominal and largest pilot, flange, outer and inner circle;
# then its bolts.
TYPE_A = """
A1-5  82.563  82.575  133.4 104.8 61.9  outer 11 x 7/16-14 UNC, inner 8 x 7/16-14 UNC
A1-6  106.375 106.39  165.1 133.4 82.6  outer 11 x 1/2-13 UNC, inner 8 x 1/2-13 UNC
A1-8  139.719 139.735 209.5 171.4 111.1 outer 11 x 5/8-11 UNC, inner 8 x 5/8-11 UNC
A1-11 196.869 196.885 279.4 235   165.1 outer 11 x 3/4-10 UNC, inner 8 x 3/4-10 UNC
A2-3  53.975  53.985  92.1  70.66 -     3 x 7/16-14 UNC
A2-4  63.513  63.525  108   82.55 -     11 x 7/16-14 UNC
A2-5  82.563  82.575  133.4 104.8 -     11 x 7/16-14 UNC
A2-6  106.375 106.39  165.1 133.4 -     11 x 1/2-13 UNC
A2-8  139.719 139.735 209.5 171.4 -     11 x 5/8-11 UNC
A2-11 196.869 196.885 279.4 235   -     11 x 3/4-10 UNC
"""


def test_each_short_taper_is_that_of_the_standard():
    ours = [
        (one.code, one.pilot, one.pilot_max, one.flange, one.circle, one.inner_circle, one.held_by)
        for one in of_family("short taper")
    ]

    assert ours == [
        (code, *map(mm, sizes), " ".join(bolts))
        for code, *sizes, bolts in ([*row[:6], row[6:]] for row in lines(TYPE_A))
    ]


# ISO 702-3 / DIN 55027, mm, typed again from memory: pilot, flange, stud circle, studs and their thread.
BAYONET = """
55027-3  53.975  102 75    3 M10
55027-4  63.513  112 85    3 M10
55027-5  82.563  135 104.8 4 M10
55027-6  106.375 170 133.4 4 M12
55027-8  139.719 220 171.4 4 M16
55027-11 196.869 290 235   6 M20
"""


def test_each_bayonet_nose_is_that_of_the_standard():
    ours = [(one.code, one.pilot, one.flange, one.circle, one.held_by) for one in of_family("bayonet")]

    assert ours == [
        (code, *map(mm, sizes), f"{studs} studs {thread} and a bayonet ring")
        for code, *sizes, studs, thread in lines(BAYONET)
    ]


@pytest.mark.parametrize("number", ["5", "6", "8", "11"])
def test_a_bayonet_nose_has_the_circle_of_the_other_parts_of_iso_702(number):
    # ISO 702-1 to -3: from size 5 on one circle carries pins, bolts or studs.
    circles = {spindle_nose(f"{kind}-{number}").circle for kind in ("D1", "A2", "55027")}
    assert len(circles) == 1


def test_the_nominal_pilot_is_a_few_micrometres_under_the_largest():
    # ASME B5.9: the tolerance of the pilot is 8 to 16 micrometres, all of it above nominal.
    for nose in spindle_noses():
        if nose.pilot_max:
            assert mm("0.008") <= nose.pilot_max - nose.pilot <= mm("0.016"), nose.code


def test_noses_of_one_number_have_one_pilot():
    # ISO 702: the taper of a number is the same in all its parts; only what holds the chuck differs.
    by_number = {}
    for nose in spindle_noses():
        if nose.pilot_max or nose.family == "bayonet":
            by_number.setdefault(nose.code.rpartition("-")[2], set()).add(nose.pilot)
    assert {number: len(pilots) for number, pilots in by_number.items()} == dict.fromkeys(by_number, 1)


# ASME B1.1, unified coarse threads, from memory: threads per inch.
UNC = {"7/16": 14, "1/2": 13, "5/8": 11, "3/4": 10}


def test_the_bolts_of_a_short_taper_are_unified_coarse_threads():
    for nose in of_family("short taper"):
        for size, per_inch in re.findall(r"x (\S+)-(\d+) UNC", nose.held_by):
            assert UNC[size] == int(per_inch), nose.code


# ASME B5.9 type L, inches, from memory: large end of the taper, and the thread of the ring nut.
TYPE_L = """
L00 2.75  3-3/4 - 6
L0  3.25  4-1/2 - 6
L1  4.125 6 - 6
L2  5.25  7-3/4 - 5
"""


def test_each_long_taper_is_that_of_the_standard():
    ours = [(one.code, one.pilot, one.thread) for one in of_family("long taper")]

    assert ours == [(code, inches(large), f"ring nut {' '.join(nut)}") for code, large, *nut in lines(TYPE_L)]


def test_short_tapers_are_steep_and_long_ones_steeper_yet():
    # ASME B5.9: types A and D1 taper by 3 in per foot on diameter, type L by 3-1/2 in per foot, which is 7 in 24.
    tapers = {nose.code[:2]: nose.taper for nose in spindle_noses() if nose.taper}
    assert tapers == {
        **dict.fromkeys(("D1", "A1", "A2", "55"), "1:4 on diameter"),
        **dict.fromkeys(("L0", "L1", "L2"), "7:24 on diameter"),
    }
    assert {nose.taper for nose in of_family("long taper")} == {"7:24 on diameter"}
    assert {nose.taper for nose in (*of_family("camlock"), *of_family("short taper"), *of_family("bayonet"))} == {
        "1:4 on diameter"
    }


# Threaded noses that lathes have been sold with (common practice, from memory of lists of backplates; 1-1/4-8, 1-7/8-8,
# 2-1/4-8 and M39x4 read again in shop texts): diameter and threads to the inch; diameter and pitch in mm.
INCH_THREADS = "1-8 1-10 1-1/8-12 1-1/4-8 1-1/2-8 1-3/4-8 1-7/8-8 2-1/8-8 2-1/4-6 2-1/4-8 2-3/8-6"
METRIC_THREADS = "M33x3.5 M39x4 M45x2 M45x4.5 M52x5"
# ISO 261, coarse pitch in mm by diameter (from memory): DIN 800 has its noses cut so.
COARSE = {"M33": "3.5", "M39": "4", "M45": "4.5", "M52": "5"}


def test_the_threaded_noses_are_those_that_lathes_are_sold_with():
    assert [nose.code for nose in of_family("threaded inch")] == INCH_THREADS.split()
    assert [nose.code for nose in of_family("threaded metric")] == METRIC_THREADS.split()


def test_a_threaded_nose_goes_by_its_thread():
    # Common practice: diameter and threads to the inch make the name.
    for nose in of_family("threaded inch"):
        diameter, _, per_inch = nose.code.rpartition("-")
        assert nose.thread == f"{diameter} in x {per_inch} TPI"
    assert all(nose.thread == nose.code for nose in of_family("threaded metric"))


def test_a_nose_of_din_800_has_a_coarse_thread():
    for nose in of_family("threaded metric"):
        diameter, _, pitch = nose.code.partition("x")
        assert (COARSE[diameter] == pitch) is (nose.standard == "DIN 800"), nose.code


def test_just_the_threaded_noses_forbid_braking_in_reverse():
    # Common practice, read in a lathe reference text: a chuck that screws on can unscrew.
    assert all(nose.brakes_in_reverse is not nose.is_threaded for nose in spindle_noses())


def test_a_threaded_nose_has_no_pilot_on_file():
    # Common practice: the register behind the thread differs by maker.
    assert {nose.pilot for nose in spindle_noses() if nose.is_threaded} == {None}


def test_the_pilot_of_a_nose_lies_inside_its_bolts_and_these_inside_its_flange():
    # Geometry; the inner bolts of type A1 go through the taper itself.
    for nose in (*of_family("camlock"), *of_family("short taper"), *of_family("bayonet")):
        assert (nose.inner_circle or Length(0)) < nose.pilot < nose.circle < nose.flange, nose.code
