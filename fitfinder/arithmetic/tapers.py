"""Tapers: set-over of the tailstock, one taper in three ways to say it, and Morse tapers at any place.

A taper is a plain number here: so much on diameter for each unit of length, 1/20 for 1 in 20.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.frame import GEOMETRY, Key, Sum, SumOutcome, Values, refuse
from fitfinder.arithmetic.quantities import Measure, Quantity, atan_degrees, five_figures, tan_degrees
from fitfinder.arithmetic.sketches import Sketch, line, outline, share, words
from inventory.measures.length_words import measured
from inventory.reference.tapers import MorseTaper, morse, morse_tapers


def taper_between(large: Fraction, small: Fraction, length: Fraction) -> Fraction:
    """The taper from one diameter to the other over `length` along the axis."""
    return (large - small) / length


def taper_of_angle(half_angle: Fraction) -> Fraction:
    """The taper whose side leans by this many degrees to the axis."""
    return 2 * tan_degrees(half_angle)


def half_angle(taper: Fraction) -> Fraction:
    """Degrees between the side of a taper and its axis; what the compound is set to, from the lathe's axis."""
    return atan_degrees(taper / 2)


def set_over(whole_length: Fraction, taper: Fraction) -> Fraction:
    """How far the tailstock is moved across: half the taper over the whole length between the centers."""
    return whole_length * taper / 2


def morse_diameter(taper: MorseTaper, from_gauge: Fraction) -> Fraction:
    """Diameter in metres, at `from_gauge` metres from the gauge line toward the small end."""
    return Fraction(taper.large_end.nm, 10**9) - taper.taper_per_foot / 12 * from_gauge


def _taper(values: Values, length: str) -> Fraction:
    """The taper of whichever way it was given in."""
    if "taper_per_foot" in values:
        return values["taper_per_foot"]
    if "ratio" in values:
        return 1 / values["ratio"]
    if "half_angle" in values:
        return _of_half_angle(values)
    if values["large"] <= values["small"]:
        raise refuse(
            f"The large end, {values.quantity('large').short}, is not above the small end, "
            f"{values.quantity('small').short}. Give the larger diameter as large.",
            field="large",
            read=values.quantity("large"),
        )
    return taper_between(values["large"], values["small"], values[length])


def _of_half_angle(values: Values) -> Fraction:
    angle = values.quantity("half_angle")
    if angle.value >= 90:
        message = f"{angle.short} is no half angle of a taper. Write degrees above 0 and below 90, like 1.5."
        raise refuse(message, field="half_angle", read=angle)
    return taper_of_angle(angle.value)


def _set_over(values: Values) -> SumOutcome:
    taper = _taper(values, "taper_length")
    result = {"set_over": values.result(set_over(values["length"], taper), like="length")}
    notes = [
        "The length is that of the whole piece between the centers, not of the tapered part.",
        "Toward you the large end comes to the headstock, away from you to the tailstock. Cut a trial, measure, "
        "correct; the true length is a little less, as the points reach into the holes.",
        "Both center holes bear on their edges: long slow tapers only, lubricated, or ball-nosed centers. Set the "
        "tailstock back with a test bar afterwards.",
    ]
    if "taper_length" in values and values["taper_length"] > values["length"]:
        raise refuse(
            f"The tapered part, {values.quantity('taper_length').short}, is longer than the whole piece, "
            f"{values.quantity('length').short}. length is what stands between the centers.",
            field="taper_length",
            read=values.quantity("taper_length"),
        )
    if half_angle(taper) > 5:
        notes.insert(0, "Steep: more than 5° a side. Use the compound; a tailstock seldom goes so far.")
    return SumOutcome(result=result, notes=tuple(notes), sketch=_between_centers(result["set_over"]))


def _between_centers(moved: Quantity) -> Sketch:
    """Seen from above, the set-over far larger than it is."""
    marks = (
        line(20, 60, 338, 60),
        outline([(30, 50), (30, 70), (58, 60)]),
        outline([(328, 74), (328, 94), (300, 84)]),
        outline([(60, 42), (302, 66), (298, 102), (56, 78)], "stock"),
        line(58, 60, 300, 84, "zone"),
        line(334, 60, 334, 84, "zone"),
        words(20, 30, "headstock", anchor="start"),
        words(20, 118, "your side", anchor="start"),
        words(338, 118, f"tailstock over {moved.short}", "zone", anchor="end"),
    )
    caption = f"Seen from above, your side below: the tailstock moved toward you by {moved.short}. Not to scale."
    return Sketch(marks=marks, height=126, words=caption)


def _one_taper(values: Values) -> SumOutcome:
    taper = _taper(values, "length")
    angle = half_angle(taper)
    result = {
        "taper_per_foot": Quantity.of(taper, Measure.TAPER),
        "ratio": Quantity.of(1 / taper, Measure.RATIO),
        "half_angle": Quantity.of(angle, Measure.ANGLE),
    }
    notes = (
        f"Compound: set it {result['half_angle'].short} from the lathe's axis, half the included angle of "
        f"{Quantity.of(2 * angle, Measure.ANGLE).short}; a base that counts from the cross slide shows "
        f"{Quantity.of(90 - angle, Measure.ANGLE).short}. The scale is a start only: fit to a gauge or a plug.",
        "Taper per foot and ratio are on diameter; the half angle is to the axis.",
    )
    return SumOutcome(result=result, notes=notes, sketch=_cone_seen(taper, result["half_angle"], result["ratio"]))


def _cone_seen(taper: Fraction, angle: Quantity, ratio: Quantity) -> Sketch:
    """To scale where the taper is one that can be seen."""
    drop = max(3, min(52, round(130 * taper)))
    marks = (
        line(20, 70, 338, 70),
        outline([(40, 14), (300, 14 + drop), (300, 126 - drop), (40, 126)], "stock"),
        words(170, 146, f"1 in {ratio.short}, {angle.short} a side", "stock"),
    )
    return Sketch(marks=marks, height=154, words=f"A taper of 1 in {ratio.short}, {angle.short} a side.")


def _morse(values: Values) -> SumOutcome:
    taper = morse(_bare_code(values.word("code")))
    if taper is None:
        known = ", ".join(one.code for one in morse_tapers())
        message = f"“{values.word('code')[:40]}” is no Morse taper. It is one of {known}."
        raise refuse(message, field="code", read=values.word("code")[:40])
    distance = values["from_gauge"]
    plug = Fraction(taper.plug_depth.nm, 10**9)
    longest = Fraction((taper.tang_shank_length or taper.plug_depth * 2).nm, 10**9)
    if distance > longest:
        raise refuse(
            f"{values.quantity('from_gauge').short} from the gauge line is past the end of any {taper.code} shank. "
            f"Write 0 to {values.result(longest, like='from_gauge').short}.",
            field="from_gauge",
            read=values.quantity("from_gauge"),
        )
    result = {"diameter": values.result(morse_diameter(taper, distance), like="from_gauge")}
    notes = [
        f"{taper.code}: {measured(taper.large_end)} at the gauge line, {five_figures(taper.taper_per_foot)} in/ft "
        f"on diameter, {measured(taper.small_end)} at the end of a plug {measured(taper.plug_depth)} long.",
        "The gauge line is the large end of the plug gauge; a shank stands a little out of its socket. Wipe both "
        "clean: a chip throws the center off and lets it slip.",
    ]
    if distance > plug:
        notes.insert(0, "Past the small end of the plug gauge: there a shank has its tang or its drawbar thread.")
    return SumOutcome(result=result, notes=tuple(notes), sketch=_shank(taper, distance, result["diameter"].short))


def _bare_code(text: str) -> str:
    """`Morse 3`, `MT 3`, `MT-3`, `No. 3` and `3` are one taper."""
    bare = text.upper().replace("MORSE", "").replace("TAPER", "").replace("NO.", "").strip()
    code = bare.removeprefix("MT").strip(" -#")
    return "4-1/2" if code in ("4 1/2", "4.5") else code


def _shank(taper: MorseTaper, distance: Fraction, diameter: str) -> Sketch:
    """Along the length to scale; the taper is drawn steeper than it is."""
    plug = Fraction(taper.plug_depth.nm, 10**9)
    at = 40 + share(distance, plug, 260)
    marks = (
        line(20, 66, 338, 66),
        outline([(40, 26), (300, 40), (300, 92), (40, 106)], "stock"),
        line(40, 16, 40, 116),
        words(44, 14, "gauge line", anchor="start"),
        line(at, 20, at, 112, "zone"),
        words(max(70, min(290, at)), 130, diameter, "zone"),
    )
    return Sketch(
        marks=marks,
        height=138,
        words=f"An {taper.code} shank is {diameter} thick at the place asked; drawn too steep.",
    )


_LARGE = Key(name="large", words="Large diameter", hint="Of the tapered part; in inches or mm.")
_SMALL = Key(name="small", words="Small diameter", hint="Of the tapered part; in inches or mm.")
_PER_FOOT = Key(
    name="taper_per_foot", measure=Measure.TAPER, words="Or the taper per foot", hint="Inches on diameter in one foot."
)
_RATIO = Key(
    name="ratio", measure=Measure.RATIO, words="Or the ratio, 1 in …", hint="20 means 1 in 20 on diameter; no unit."
)
SET_OVER = Sum(
    name="set-over",
    title="Tailstock set-over",
    about="How far to set the tailstock over for a taper between centers.",
    keys=(
        Key(
            name="length",
            words="Whole length between the centers",
            hint="Of the whole piece, not of the taper; in inches or mm.",
        ),
        _LARGE,
        _SMALL,
        Key(
            name="taper_length",
            words="Length of the tapered part",
            hint="Along the axis, from one diameter to the other; in inches or mm.",
        ),
        _PER_FOOT,
        _RATIO,
    ),
    needed=("length",),
    either=(("large", "small", "taper_length"), ("taper_per_foot",), ("ratio",)),
    results={"set_over": "Set the tailstock over"},
    work=_set_over,
    formula="set-over = L × (D − d) ÷ (2 l) (L whole length, D and d the diameters, l length of the tapered part)",
    source="a naval training manual and an older shop treatise, both read; geometry",
)
TAPER = Sum(
    name="taper",
    title="Taper, ratio and angle",
    about="Two diameters, taper per foot, ratio or angle: one into the others; and the compound's setting.",
    keys=(
        _LARGE,
        _SMALL,
        Key(
            name="length",
            words="Length from one to the other",
            hint="Along the axis; in inches or mm.",
        ),
        _PER_FOOT,
        _RATIO,
        Key(name="half_angle", measure=Measure.ANGLE, words="Or the half angle", hint="Degrees between side and axis."),
    ),
    either=(("large", "small", "length"), ("taper_per_foot",), ("ratio",), ("half_angle",)),
    results={"taper_per_foot": "Taper per foot", "ratio": "Ratio, 1 in …", "half_angle": "Half angle"},
    work=_one_taper,
    formula="taper = (D − d) ÷ l; per foot: 12 × taper; ratio: 1 ÷ taper; half angle = arctan(taper ÷ 2)",
    source=GEOMETRY,
)
MORSE = Sum(
    name="morse",
    title="Morse taper at a place",
    about="The diameter of a Morse taper at a distance from its gauge line.",
    keys=(
        Key(
            name="code",
            measure=Measure.WORD,
            words="Morse taper",
            hint="MT0 to MT7, like MT3; also MT4-1/2.",
            like="MT3",
        ),
        Key(
            name="from_gauge",
            words="Distance from the gauge line",
            hint="Toward the small end; 0 is the gauge line itself; in inches or mm.",
            may_be_zero=True,
        ),
    ),
    needed=("code", "from_gauge"),
    results={"diameter": "Diameter there"},
    work=_morse,
    formula="diameter = large end − taper per foot ÷ 12 × distance",
    source="ASME B5.10, Morse tapers (three reproductions agree)",
)
SUMS = (SET_OVER, TAPER, MORSE)
