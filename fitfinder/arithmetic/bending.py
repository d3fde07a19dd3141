"""How far a bar gives way under the cut."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

from fitfinder.arithmetic.frame import Key, Sum, SumOutcome, Values
from fitfinder.arithmetic.quantities import PI, Measure, Quantity, five_figures
from fitfinder.arithmetic.sketches import Mark, Sketch, line, outline, words
from inventory.reference import practice


class Held(StrEnum):
    """How the ends of the bar are held; the value is the word of the sum."""

    FREE_END = "free-end"
    CENTERS = "centers"
    CHUCK_AND_CENTER = "chuck-and-center"


_BENDS = {Held.FREE_END: Fraction(1, 3), Held.CENTERS: Fraction(1, 48), Held.CHUCK_AND_CENTER: Fraction(7, 768)}
"""Times F L³ / (E I). Fixed at one end, load at the free one: 1/3. Load at mid-span: 1/48 on two supports, 7/768 where
one end is fixed and the other supported. The usual beam formulas, found again by integration in the tests."""
_STICK_OUT = {
    Held.FREE_END: "chuck or collet",
    Held.CENTERS: "between centers",
    Held.CHUCK_AND_CENTER: "chuck and tailstock center",
}


def deflection(*, force: Fraction, length: Fraction, diameter: Fraction, modulus: Fraction, held: Held) -> Fraction:
    """How far solid round bar gives way: at its end where that is free, else at mid-span with the cut there."""
    stiffness = modulus * PI * diameter**4 / 64
    return _BENDS[held] * force * length**3 / stiffness


def _deflection(values: Values) -> SumOutcome:
    held = Held(values.word("held"))
    names = ("force", "length", "diameter", "modulus")
    bent = deflection(**{name: values[name] for name in names}, held=held)
    slenderness = values["length"] / values["diameter"]
    result = {
        "deflection": values.result(bent, like="length"),
        "l_over_d": Quantity.of(slenderness, Measure.RATIO),
    }
    notes = [
        *_too_slender(held, slenderness),
        "Work that gives way by this much comes out larger there by twice as much. The jaws, the center and the lathe "
        "give way too: this is the bar alone, solid, round and even.",
        "The cutting force is a guess unless it was measured. Steel has about 30e6 psi (205 GPa), aluminium about a "
        "third of it, brass about half: common practice, no source.",
    ]
    if bent * 10 > values["length"]:
        notes.insert(0, "It bends by more than a tenth of its length: the formula no longer holds. Support it.")
    sketch = _beam(held, result["deflection"].short, five_figures(slenderness))
    return SumOutcome(result=result, notes=tuple(notes), sketch=sketch)


def _too_slender(held: Held, slenderness: Fraction) -> list[str]:
    limit = practice.stick_out(_STICK_OUT[held])
    if limit.typical is None or slenderness <= limit.typical:
        return []
    advice = {
        Held.FREE_END: "without a center: bring up the tailstock, or a steady rest",
        Held.CENTERS: "between centers: add a follow rest or a steady rest",
        Held.CHUCK_AND_CENTER: "in chuck and center: add a follow rest or a steady rest",
    }[held]
    return [
        f"The length is {five_figures(slenderness)} diameters, over {limit.typical} {advice}. Slender work can whip "
        f"or climb on the tool ({limit.source})."
    ]


def _beam(held: Held, bent: str, slender: str) -> Sketch:
    """The curve of the bent bar, the bend far larger than it is."""
    left, span, level = 60, 240, 50
    places = [Fraction(n, 24) for n in range(25)]
    curve = [(left + span * x, level + 34 * _shape_of(held, x)) for x in places]
    load = left + (span if held is Held.FREE_END else span // 2)
    marks = [
        line(left, level, left + span, level),
        outline(curve, "bar", is_closed=False),
        line(load, 8, load, 40, "zone"),
        outline([(load - 6, 30), (load, 40), (load + 6, 30)], "zone-line", is_closed=False),
    ]
    if held is Held.CENTERS:
        marks.append(_point(left, level, 1))
    else:
        marks += [outline([(left - 20, level - 30), (left, level - 30), (left, level + 30), (left - 20, level + 30)])]
    if held is not Held.FREE_END:
        marks.append(_point(left + span, level, -1))
    marks.append(words(load - 8, 18, "cut", "zone", anchor="end"))
    marks.append(words(179, 116, f"gives way {bent}, {slender} diameters long", "stock"))
    caption = f"The bar held by {held.replace('-', ' ')}, bent {bent} by the cut; the bend is drawn far too large."
    return Sketch(marks=tuple(marks), height=124, words=caption)


def _point(x: int, y: int, side: int) -> Mark:
    return outline([(x, y), (x - side * 22, y - 9), (x - side * 22, y + 9)])


def _shape_of(held: Held, x: Fraction) -> Fraction:
    """How far the bar is bent at a share of its length, 1 at the place that is asked."""
    if held is Held.FREE_END:
        return x**2 * (3 - x) / 2
    if held is Held.CENTERS:
        near = min(x, 1 - x)
        return near * (3 - 4 * near**2)
    # Fixed at 0, supported at 1, load in the middle: the two cubics of a beam table, over their value at mid-span.
    bent = x**2 * (9 - 11 * x) / 96 if x <= Fraction(1, 2) else (1 - x) * (3 - 5 * (1 - x) ** 2) / 96
    return bent / Fraction(7, 768)


DEFLECTION = Sum(
    name="deflection",
    title="How far a bar gives way",
    about="What solid round bar bends under the cut, by how it is held.",
    keys=(
        Key(name="force", measure=Measure.FORCE, words="Force of the cut, across the bar", hint="lbf or N."),
        Key(
            name="length",
            words="Free length",
            hint="Out of the jaws, or between the supports; in inches or mm.",
        ),
        Key(name="diameter", words="Diameter", hint="Of solid round bar; in inches or mm."),
        Key(
            name="modulus",
            measure=Measure.STIFFNESS,
            words="Modulus of elasticity",
            hint="psi, MPa or GPa; steel has about 30e6psi or 205GPa.",
        ),
        Key(
            name="held",
            measure=Measure.WORD,
            words="Held by",
            hint="Cut at the free end, or else in the middle.",
            choices=tuple(Held),
        ),
    ),
    needed=("force", "length", "diameter", "modulus", "held"),
    results={"deflection": "It gives way by", "l_over_d": "Length in diameters"},
    work=_deflection,
    formula="free end: F L³ ÷ (3 E I); centers: F L³ ÷ (48 E I); chuck and center: 7 F L³ ÷ (768 E I); I = π D⁴ ÷ 64",
    source="elastic beam formulas; derived here by integration",
)
SUMS = (DEFLECTION,)
