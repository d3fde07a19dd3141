"""Out of balance: what a weight off the axis pulls, and what evens it out."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.numbers import PI
from fitfinder.arithmetic.pictures import Picture, around, circle, line, share, words
from fitfinder.arithmetic.quantities import Kind, Quantity
from fitfinder.arithmetic.sums import DEFER, GEOMETRY, Found, Key, Sum, Values


def counterweight(mass: Fraction, radius: Fraction, at_radius: Fraction) -> Fraction:
    """What to bolt on opposite at `at_radius`, so that mass times radius is the same on both sides."""
    return mass * radius / at_radius


def pull(mass: Fraction, radius: Fraction, rpm: Fraction) -> Fraction:
    """Newtons by which kilograms at a radius in metres pull outward: m r ω²."""
    turns = 2 * PI * rpm / 60
    return mass * radius * turns**2


def _counterweight(values: Values) -> Found:
    mass = counterweight(values["mass"], values["radius"], values["at_radius"])
    result = {"mass": values.told(mass, Kind.MASS, like="mass")}
    notes = (
        "Static balance: disengage the spindle if it turns freely by hand, and it should rest anywhere. Weights far "
        "apart along the axis still shake at speed: put the counterweight in the plane of the work.",
        "Bolt it through, with nuts that cannot work loose; never hold it by magnets or clamps alone. Turn one full "
        "turn by hand to see that all clears, start at the lowest speed, and stand out of its plane.",
        "Keep below the speed marked on the faceplate or chuck, or in the machine's manual.",
    )
    picture = _plate(
        values["radius"], values["at_radius"], values.quantity("mass").short, result["mass"].short, "counterweight"
    )
    return Found(result=result, notes=notes, picture=picture)


def _unbalance(values: Values) -> Found:
    force = pull(values["mass"], values["radius"], values["rpm"])
    result = {"force": values.told(force, Kind.FORCE, like="mass")}
    weight = values["mass"] * Fraction("9.80665")
    notes = (
        f"That is {Quantity(force / weight).short} times its own weight. Twice the speed makes four times the pull.",
        "Keep below the maximum that is marked on the chuck or faceplate and below the machine maker's, and balance "
        "the work first. Shaking, or a lathe that walks: stop.",
        "The same pull is what a jaw, clamp or bolt has to hold, beside the cut. Guard closed, out of its plane.",
    )
    told = values.quantity("mass").short
    return Found(result=result, notes=notes, picture=_plate(values["radius"], None, told, result["force"].short, ""))


def _plate(radius: Fraction, at_radius: Fraction | None, mass: str, other: str, name: str) -> Picture:
    """The radii to scale with one another."""
    middle = (110, 104)
    longest = max(radius, at_radius or 0)
    out = share(radius, longest, 62, least=14)
    work = (middle[0], middle[1] - out)
    marks = [circle(*middle, 88), circle(*middle, 3, "limit"), line(*middle, *work), circle(*work, 14, "stock")]
    marks.append(words(212, 60, f"{mass} here", "stock", anchor="start"))
    if at_radius is None:
        tip = around(*middle, 98, 0)
        marks += [line(*work, *tip, "zone"), line(tip[0], 6, tip[0] - 7, 16, "zone")]
        marks += [line(tip[0], 6, tip[0] + 7, 16, "zone"), words(212, 24, f"pulls {other}", "zone", anchor="start")]
        said = f"A weight of {mass} off the axis pulls outward by {other}."
        return Picture(marks=tuple(marks), height=200, words=said)
    opposite = (middle[0], middle[1] + share(at_radius, longest, 62, least=14))
    marks += [line(*middle, *opposite, "zone"), circle(*opposite, 12, "zone")]
    marks.append(words(212, 150, f"{other} {name}", "zone", anchor="start"))
    said = f"A faceplate with {mass} on one side and a {name} of {other} opposite; radii to scale."
    return Picture(marks=tuple(marks), height=200, words=said)


_MASS = Key(name="mass", kind=Kind.MASS, words="Weight off the axis", hint="Work, clamps and angle plate; lb or kg.")
_RADIUS = Key(
    name="radius",
    kind=Kind.LENGTH,
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
            kind=Kind.LENGTH,
            words="Where the counterweight can sit",
            hint="From the spindle's axis, opposite the work; in inches or mm.",
        ),
    ),
    needed=("mass", "radius", "at_radius"),
    results={"mass": "Counterweight"},
    work=_counterweight,
    formula="m₂ = m × r ÷ r₂",
    source=f"statics; {GEOMETRY}",
    notes=(DEFER,),
)
UNBALANCE = Sum(
    name="unbalance",
    title="Pull of a weight off the axis",
    about="How hard something off the axis pulls at a speed.",
    keys=(
        _MASS,
        _RADIUS,
        Key(name="rpm", kind=Kind.SPEED, words="Speed", hint="Turns in a minute, rpm."),
    ),
    needed=("mass", "radius", "rpm"),
    results={"force": "It pulls outward by"},
    work=_unbalance,
    formula="F = m r ω², ω = 2 π rpm ÷ 60",
    source="mechanics; 1 lbf is 4.4482216152605 N",
    notes=(DEFER,),
)
SUMS = (COUNTERWEIGHT, UNBALANCE)
