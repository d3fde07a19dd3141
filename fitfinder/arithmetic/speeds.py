"""What turns: the spindle's speed, what a weight off the axis pulls, and what evens it out."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.frame import GEOMETRY, Key, Sum, SumOutcome, Values
from fitfinder.arithmetic.quantities import PI, Measure, Quantity, five_figures
from fitfinder.arithmetic.sketches import Sketch, around, circle, line, outline, share, words


def rpm_of(surface_speed: Fraction, diameter: Fraction) -> Fraction:
    """Turns in a minute, from metres in a second and metres."""
    return surface_speed * 60 / (PI * diameter)


def surface_speed_of(rpm: Fraction, diameter: Fraction) -> Fraction:
    """Metres in a second, from turns in a minute and metres."""
    return PI * diameter * rpm / 60


def counterweight(mass: Fraction, radius: Fraction, at_radius: Fraction) -> Fraction:
    """What to bolt on opposite at `at_radius`, so that mass times radius is the same on both sides."""
    return mass * radius / at_radius


def pull(mass: Fraction, radius: Fraction, rpm: Fraction) -> Fraction:
    """Newtons by which kilograms at a radius in metres pull outward: m r ω²."""
    turns = 2 * PI * rpm / 60
    return mass * radius * turns**2


def _speed(values: Values) -> SumOutcome:
    if "surface_speed" in values:
        like = "surface_speed"
        speed, rpm = values["surface_speed"], rpm_of(values["surface_speed"], values["diameter"])
    else:
        like, rpm = "diameter", values["rpm"]
        speed = surface_speed_of(rpm, values["diameter"])
    result = {
        "rpm": Quantity.of(rpm, Measure.SPEED),
        "surface_speed": values.result(speed, Measure.SURFACE_SPEED, like=like),
    }
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
    caption = (
        f"Work of {diameter} at {result['rpm'].short}: its skin passes the tool at {result['surface_speed'].both}."
    )
    return SumOutcome(result=result, notes=notes, sketch=Sketch(marks=marks, height=160, words=caption))


def _counterweight(values: Values) -> SumOutcome:
    mass = counterweight(values["mass"], values["radius"], values["at_radius"])
    result = {"mass": values.result(mass, Measure.MASS, like="mass")}
    notes = (
        "Static balance: disengage the spindle if it turns freely by hand, and it should rest anywhere. Weights far "
        "apart along the axis still shake at speed: put the counterweight in the plane of the work.",
        "Bolt it through, with nuts that cannot work loose; never hold it by magnets or clamps alone. Turn one full "
        "turn by hand to see that all clears, start at the lowest speed, and stand out of its plane.",
        "Keep below the speed marked on the faceplate or chuck, or in the machine's manual.",
    )
    sketch = _plate(
        values["radius"], values["at_radius"], values.quantity("mass").short, result["mass"].short, "counterweight"
    )
    return SumOutcome(result=result, notes=notes, sketch=sketch)


def _unbalance(values: Values) -> SumOutcome:
    force = pull(values["mass"], values["radius"], values["rpm"])
    result = {"force": values.result(force, Measure.FORCE, like="mass")}
    weight = values["mass"] * Fraction("9.80665")
    notes = (
        f"That is {five_figures(force / weight)} times its own weight. Twice the speed makes four times the pull.",
        "Keep below the maximum that is marked on the chuck or faceplate and below the machine maker's, and balance "
        "the work first. Shaking, or a lathe that walks: stop.",
        "The same pull is what a jaw, clamp or bolt has to hold, beside the cut. Guard closed, out of its plane.",
    )
    sketch = _plate(values["radius"], None, values.quantity("mass").short, result["force"].short, "")
    return SumOutcome(result=result, notes=notes, sketch=sketch)


def _plate(radius: Fraction, at_radius: Fraction | None, mass: str, other: str, name: str) -> Sketch:
    """The radii to scale with one another."""
    middle = (110, 104)
    longest = max(radius, at_radius or radius)
    out = share(radius, longest, 62, least=14)
    work = (middle[0], middle[1] - out)
    marks = [circle(*middle, 88), circle(*middle, 3, "limit"), line(*middle, *work), circle(*work, 14, "stock")]
    marks.append(words(212, 60, f"{mass} here", "stock", anchor="start"))
    if at_radius is None:
        tip = around(*middle, 98, 0)
        marks += [line(*work, *tip, "zone"), line(tip[0], 6, tip[0] - 7, 16, "zone")]
        marks += [line(tip[0], 6, tip[0] + 7, 16, "zone"), words(212, 24, f"pulls {other}", "zone", anchor="start")]
        caption = f"A weight of {mass} off the axis pulls outward by {other}."
        return Sketch(marks=tuple(marks), height=200, words=caption)
    opposite = (middle[0], middle[1] + share(at_radius, longest, 62, least=14))
    marks += [line(*middle, *opposite, "zone"), circle(*opposite, 12, "zone")]
    marks.append(words(212, 150, f"{other} {name}", "zone", anchor="start"))
    caption = f"A faceplate with {mass} on one side and a {name} of {other} opposite; radii to scale."
    return Sketch(marks=tuple(marks), height=200, words=caption)


SPEED = Sum(
    name="speed",
    title="Speed",
    about="Turns in a minute from the surface speed, or the other way round.",
    keys=(
        Key(name="diameter", words="Diameter that is cut", hint="In inches or mm."),
        Key(name="surface_speed", measure=Measure.SURFACE_SPEED, words="Surface speed", hint="ft/min or m/min."),
        Key(name="rpm", measure=Measure.SPEED, words="Or the spindle's speed", hint="Turns in a minute, rpm."),
    ),
    needed=("diameter",),
    either=(("surface_speed",), ("rpm",)),
    results={"rpm": "Spindle", "surface_speed": "Surface speed"},
    work=_speed,
    formula="rpm = 12 × ft/min ÷ (π × D in) = 1000 × m/min ÷ (π × D mm)",
    source="War Department TM 1-420 Change 1, 1942 (read)",
)
_MASS = Key(
    name="mass", measure=Measure.MASS, words="Weight off the axis", hint="Work, clamps and angle plate; lb or kg."
)
_RADIUS = Key(
    name="radius",
    words="How far off the axis",
    hint="From the spindle's axis to its center of gravity; in inches or mm.",
)
COUNTERWEIGHT = Sum(
    name="counterweight",
    title="Counterweight",
    about="What to bolt on opposite to work that hangs on one side of a faceplate.",
    keys=(
        _MASS,
        _RADIUS,
        Key(
            name="at_radius",
            words="Where the counterweight can sit",
            hint="From the spindle's axis, opposite the work; in inches or mm.",
        ),
    ),
    needed=("mass", "radius", "at_radius"),
    results={"mass": "Counterweight"},
    work=_counterweight,
    formula="m₂ = m × r ÷ r₂",
    source=f"statics; {GEOMETRY}",
)
UNBALANCE = Sum(
    name="unbalance",
    title="Pull of a weight off the axis",
    about="How hard something off the axis pulls at a speed.",
    keys=(
        _MASS,
        _RADIUS,
        Key(name="rpm", measure=Measure.SPEED, words="Speed", hint="Turns in a minute, rpm."),
    ),
    needed=("mass", "radius", "rpm"),
    results={"force": "It pulls outward by"},
    work=_unbalance,
    formula="F = m r ω², ω = 2 π rpm ÷ 60",
    source="mechanics; 1 lbf is 4.4482216152605 N",
)
SUMS = (COUNTERWEIGHT, UNBALANCE, SPEED)
