"""Under the cut: the speed of the spindle, and how far the bar gives way."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.numbers import PI
from fitfinder.arithmetic.pictures import Picture, around, circle, line, outline, words
from fitfinder.arithmetic.quantities import Kind, Quantity
from fitfinder.arithmetic.sums import DEFER, Found, Key, Sum, Values
from inventory.reference import practice

HELD = ("free-end", "centers", "chuck-and-center")
_BENDS = {"free-end": Fraction(1, 3), "centers": Fraction(1, 48), "chuck-and-center": Fraction(7, 768)}
"""Times F L³ / (E I). Fixed at one end, load at the free one: 1/3. Load at mid-span: 1/48 on two supports, 7/768 where
one end is fixed and the other supported. The usual beam formulas, found again by integration in the tests."""
_STICK_OUT = {
    "free-end": "chuck or collet",
    "centers": "between centers",
    "chuck-and-center": "chuck and tailstock center",
}


def rpm_of(surface_speed: Fraction, diameter: Fraction) -> Fraction:
    """Turns in a minute, from metres in a second and metres."""
    return surface_speed * 60 / (PI * diameter)


def surface_speed_of(rpm: Fraction, diameter: Fraction) -> Fraction:
    """Metres in a second, from turns in a minute and metres."""
    return PI * diameter * rpm / 60


def deflection(*, force: Fraction, length: Fraction, diameter: Fraction, modulus: Fraction, held: str) -> Fraction:
    """How far solid round bar gives way: at its end where that is free, else at mid-span with the cut there."""
    stiffness = modulus * PI * diameter**4 / 64
    return _BENDS[held] * force * length**3 / stiffness


def _speed(values: Values) -> Found:
    if "surface_speed" in values:
        like = "surface_speed"
        speed, rpm = values["surface_speed"], rpm_of(values["surface_speed"], values["diameter"])
    else:
        like, rpm = "diameter", values["rpm"]
        speed = surface_speed_of(rpm, values["diameter"])
    result = {"rpm": Quantity(rpm, "rpm"), "surface_speed": values.told(speed, Kind.SURFACE_SPEED, like=like)}
    notes = (
        "Take the next lower speed that the lathe has. Facing, the speed falls toward the center; boring, the bore's "
        "diameter counts.",
        "Never above the maximum marked on the chuck, faceplate or collet holder, whatever the sum says; slower for "
        "long, unbalanced or hand-filed work.",
    )
    diameter = values.quantity("diameter").short
    marks = (
        circle(100, 80, 56, "stock"),
        outline([around(100, 80, 70, turn) for turn in range(20, 161, 10)], "zone-line", is_closed=False),
        outline([(134, 139), (124, 146), (136, 151)], "zone-line", is_closed=False),
        words(190, 60, f"diameter {diameter}", anchor="start"),
        words(190, 80, result["rpm"].short, "stock", anchor="start"),
        words(190, 100, result["surface_speed"].short, "zone", anchor="start"),
    )
    said = f"Work of {diameter} at {result['rpm'].short}: its skin passes the tool at {result['surface_speed'].both}."
    return Found(result=result, notes=notes, picture=Picture(marks=marks, height=160, words=said))


def _deflection(values: Values) -> Found:
    held = values.word("held")
    names = ("force", "length", "diameter", "modulus")
    bent = deflection(**{name: values[name] for name in names}, held=held)
    slenderness = values["length"] / values["diameter"]
    result = {
        "deflection": values.told(bent, Kind.LENGTH, like="length"),
        "l_over_d": Quantity(slenderness),
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
    picture = _beam(held, result["deflection"].short, Quantity(slenderness).short)
    return Found(result=result, notes=tuple(notes), picture=picture)


def _too_slender(held: str, slenderness: Fraction) -> list[str]:
    limit = practice.stick_out(_STICK_OUT[held])
    if limit.typical is None or slenderness <= limit.typical:
        return []
    advice = {
        "free-end": "without a center: bring up the tailstock, or a steady rest",
        "centers": "between centers: add a follow rest or a steady rest",
        "chuck-and-center": "in chuck and center: add a follow rest or a steady rest",
    }[held]
    return [
        f"The length is {Quantity(slenderness).short} diameters, over {limit.typical} {advice}. Slender work can whip "
        f"or climb on the tool ({limit.source})."
    ]


def _beam(held: str, bent: str, slender: str) -> Picture:
    """The curve of the bent bar, the bend far larger than it is."""
    left, span, level = 60, 240, 50
    places = [Fraction(n, 24) for n in range(25)]
    curve = [(left + span * x, level + 34 * _shape_of(held, x)) for x in places]
    load = left + (span if held == "free-end" else span // 2)
    marks = [
        line(left, level, left + span, level),
        outline(curve, "bar", is_closed=False),
        line(load, 8, load, 40, "zone"),
        outline([(load - 6, 30), (load, 40), (load + 6, 30)], "zone-line", is_closed=False),
    ]
    if held == "centers":
        marks.append(_point(left, level, 1))
    else:
        marks += [outline([(left - 20, level - 30), (left, level - 30), (left, level + 30), (left - 20, level + 30)])]
    if held != "free-end":
        marks.append(_point(left + span, level, -1))
    marks.append(words(load - 8, 18, "cut", "zone", anchor="end"))
    marks.append(words(179, 116, f"gives way {bent}, {slender} diameters long", "stock"))
    said = f"The bar held by {held.replace('-', ' ')}, bent {bent} by the cut; the bend is drawn far too large."
    return Picture(marks=tuple(marks), height=124, words=said)


def _point(x: int, y: int, side: int):
    return outline([(x, y), (x - side * 22, y - 9), (x - side * 22, y + 9)])


def _shape_of(held: str, x: Fraction) -> Fraction:
    """How far the bar is bent at a share of its length, 1 at the place that is asked."""
    if held == "free-end":
        return x**2 * (3 - x) / 2
    if held == "centers":
        near = min(x, 1 - x)
        return near * (3 - 4 * near**2)
    # Fixed at 0, supported at 1, load in the middle: the two cubics of a beam table, over their value at mid-span.
    bent = x**2 * (9 - 11 * x) / 96 if x <= Fraction(1, 2) else (1 - x) * (3 - 5 * (1 - x) ** 2) / 96
    return bent / Fraction(7, 768)


SPEED = Sum(
    name="speed",
    title="Speed",
    about="Turns in a minute from the surface speed, or the other way round.",
    keys=(
        Key(name="diameter", kind=Kind.LENGTH, words="Diameter that is cut", hint="In inches or mm."),
        Key(name="surface_speed", kind=Kind.SURFACE_SPEED, words="Surface speed", hint="ft/min or m/min."),
        Key(name="rpm", kind=Kind.SPEED, words="Or the spindle's speed", hint="Turns in a minute, rpm."),
    ),
    needed=("diameter",),
    either=(("surface_speed",), ("rpm",)),
    results={"rpm": "Spindle", "surface_speed": "Surface speed"},
    work=_speed,
    formula="rpm = 12 × ft/min ÷ (π × D in) = 1000 × m/min ÷ (π × D mm)",
    source="War Department TM 1-420 Change 1, 1942 (read)",
    notes=(DEFER,),
)
DEFLECTION = Sum(
    name="deflection",
    title="How far a bar gives way",
    about="What solid round bar bends under the cut, by how it is held.",
    keys=(
        Key(name="force", kind=Kind.FORCE, words="Force of the cut, across the bar", hint="lbf or N."),
        Key(
            name="length",
            kind=Kind.LENGTH,
            words="Free length",
            hint="Out of the jaws, or between the supports; in inches or mm.",
        ),
        Key(name="diameter", kind=Kind.LENGTH, words="Diameter", hint="Of solid round bar; in inches or mm."),
        Key(
            name="modulus",
            kind=Kind.STIFFNESS,
            words="Modulus of elasticity",
            hint="psi, MPa or GPa; steel has about 30e6psi or 205GPa.",
        ),
        Key(
            name="held",
            kind=Kind.WORD,
            words="Held by",
            hint="Cut at the free end, or else in the middle.",
            choices=HELD,
        ),
    ),
    needed=("force", "length", "diameter", "modulus", "held"),
    results={"deflection": "It gives way by", "l_over_d": "Length in diameters"},
    work=_deflection,
    formula="free end: F L³ ÷ (3 E I); centers: F L³ ÷ (48 E I); chuck and center: 7 F L³ ÷ (768 E I); I = π D⁴ ÷ 64",
    source="elastic beam formulas; derived here by integration",
    notes=(DEFER,),
)
SUMS = (SPEED, DEFLECTION)
