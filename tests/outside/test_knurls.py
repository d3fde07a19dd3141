"""Whether a knurl tracks, against worked values of others and against laying teeth around a blank.

The pitch around of an angled wheel is that across its teeth over the cosine of 30 degrees: a sheet of a maker of knurls
has 0.0500 in for 20 to the inch and 0.0577 in around (read). The example of the same trade (read): a straight wheel of
47 teeth on 3/4 in rolls 31 teeth on 1/2 in.
"""

from fractions import Fraction
from math import cos, pi, radians

import pytest

from fitfinder.cutting.knurls import pitch_around, tracking
from inventory.measures.lengths import NM_PER_INCH, Length


def test_the_pitch_around_of_an_angled_wheel_is_that_of_the_sheet():
    assert round(pitch_around(Length.inches("0.05"), "diamond") / NM_PER_INCH, 4) == Fraction("0.0577")
    assert pitch_around(Length.inches("0.05"), "straight") == Length.inches("0.05").nm
    assert float(pitch_around(Length.inches("0.05"), "angled")) == pytest.approx(1_270_000 / cos(radians(30)))


def test_a_wheel_of_forty_seven_teeth_rolls_thirty_one_on_half_an_inch():
    wheel = Length(round(Fraction(3, 4) * NM_PER_INCH * Fraction(pi) / 47))

    assert tracking(Length.inches("0.5"), wheel, "straight").teeth == 31


@pytest.mark.parametrize("pattern", ["straight", "angled", "diamond"])
@pytest.mark.parametrize("pitch", ["0.03", "0.0476", "0.0714"])
@pytest.mark.parametrize("size", ["0.25", "0.5", "0.75", "1.3", "3"])
def test_the_nearest_blank_takes_whole_teeth_laid_one_by_one(size, pitch, pattern):
    found = tracking(Length.inches(size), Length.inches(pitch), pattern)
    step = float(pitch) / (cos(radians(30)) if pattern != "straight" else 1)
    around, laid = found.diameter.nm / NM_PER_INCH * pi, 0.0
    for _ in range(found.teeth):
        laid += step

    assert laid == pytest.approx(around, abs=1e-6)
    assert abs(found.diameter.nm - Length.inches(size).nm) * pi / NM_PER_INCH <= step / 2 + 1e-6


@pytest.mark.parametrize(("off", "tracks"), [("0.124", True), ("0.126", False), ("-0.124", True), ("-0.126", False)])
def test_an_eighth_of_a_tooth_is_as_near_as_it_gets(off, tracks):
    diameter = Length(round((40 + Fraction(off)) * 1_270_000 / Fraction(pi)))

    assert tracking(diameter, Length.inches("0.05"), "straight").tracks is tracks
