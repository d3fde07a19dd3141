"""Drill gauge sizes against ASME B94.11M, typed again from memory of the handbook's table, and against taps."""

import string

import pytest

from inventory.measures.lengths import Length, parse
from inventory.reference.drills import gauge_size, gauges

# Ten-thousandths of an inch, ten to a line: numbers from 80 down to 1, then the letters.
NUMBERS = """
135 145 160 180 200 210 225 240 250 260
280 292 310 320 330 350 360 370 380 390
400 410 420 430 465 520 550 595 635 670
700 730 760 785 810 820 860 890 935 960
980 995 1015 1040 1065 1100 1110 1130 1160 1200
1285 1360 1405 1440 1470 1495 1520 1540 1570 1590
1610 1660 1695 1730 1770 1800 1820 1850 1890 1910
1935 1960 1990 2010 2040 2055 2090 2130 2210 2280
"""
LETTERS = """
2340 2380 2420 2460 2500 2570 2610 2660 2720 2770 2810 2900 2950
3020 3160 3230 3320 3390 3480 3580 3680 3770 3860 3970 4040 4130
"""
NAMES = [*(str(number) for number in range(80, 0, -1)), *string.ascii_uppercase]


def test_each_gauge_size_is_that_of_the_standard():
    printed = [Length.inches(f"0.{int(size):04d}") for size in f"{NUMBERS} {LETTERS}".split()]

    assert [(one.name, one.diameter) for one in gauges()] == list(zip(NAMES, printed, strict=True))


def test_letter_e_is_a_quarter_inch():
    # ASME B94.11M: the one gauge size that is a common fraction.
    assert gauge_size("E") == parse("1/4")


# Handbook tables of tap drills, from memory: the thread, its major diameter and threads per inch, and its drill.
TAP_DRILLS = [
    ("2-56", "0.086", 56, "50"), ("4-40", "0.112", 40, "43"), ("6-32", "0.138", 32, "36"), ("8-32", "0.164", 32, "29"),
    ("10-24", "0.190", 24, "25"), ("10-32", "0.190", 32, "21"), ("1/4-20", "0.250", 20, "7"),
    ("1/4-28", "0.250", 28, "3"), ("5/16-18", "0.3125", 18, "F"), ("5/16-24", "0.3125", 24, "I"),
    ("3/8-24", "0.375", 24, "Q"), ("7/16-14", "0.4375", 14, "U"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("major", "per_inch", "drill"), [one[1:] for one in TAP_DRILLS], ids=[one[0] for one in TAP_DRILLS]
)
def test_the_drill_before_a_tap_leaves_about_three_quarters_of_the_thread(major, per_inch, drill):
    # Geometry of 60 degree threads: the full depth on diameter is 1.299 times the pitch.
    left = (parse(major).nm - gauge_size(drill).nm) / (1.299 * 25_400_000 / per_inch)

    assert 0.68 < left < 0.81
