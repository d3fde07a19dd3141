"""Turning off the bar's own axis in a universal 3-jaw chuck: packing under one jaw.

The scroll keeps all three jaw faces at one distance s from the spindle's axis. Under jaw 1 lies packing P, so the bar
of radius R moves by the throw e away from that jaw; on its side s = R − e + P.

Narrow jaws bear as points. A point of jaw 2 or 3 at distance s and 120° lies on the bar: s² − s·e + e² = R², hence
s = e/2 + √(R² − ¾e²) and P = 1.5e − R + √(R² − ¾e²). Solved for the throw with A = P + R:
e = A/2 − √((4R² − A²)/12).

Wide flat jaws bear on a plane across their direction: s = R + e/2, and P = 1.5e.
"""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.frame import Key, Sum, SumOutcome, Values, refuse
from fitfinder.arithmetic.quantities import Measure, Quantity, root
from fitfinder.arithmetic.sketches import Mark, Sketch, around, circle, line, outline, share, words

_FLAT = Fraction(3, 2)


def narrow_packing(radius: Fraction, throw: Fraction) -> Fraction:
    """Packing for narrow jaws, that touch at a point. The throw must be below `largest_throw`."""
    return _FLAT * throw - radius + root(radius**2 - Fraction(3, 4) * throw**2)


def flat_packing(throw: Fraction) -> Fraction:
    """Packing for flat-faced jaws that are wide enough to bear where the bar has moved to."""
    return _FLAT * throw


def narrow_throw(radius: Fraction, packing: Fraction) -> Fraction:
    """The throw that packing gives with narrow jaws; the packing must be below `largest_packing`."""
    reach = packing + radius
    return reach / 2 - root((4 * radius**2 - reach**2) / 12)


def flat_throw(packing: Fraction) -> Fraction:
    return packing / _FLAT


def largest_throw(radius: Fraction) -> Fraction:
    """From here on two narrow jaws bear on the bar's widest part or past it, and nothing holds it: R / √3."""
    return radius / root(Fraction(3))


def largest_packing(radius: Fraction) -> Fraction:
    """The packing that gives `largest_throw`: (√3 − 1) R."""
    return (root(Fraction(3)) - 1) * radius


def _packing(values: Values) -> SumOutcome:
    radius, throw = values["diameter"] / 2, values["throw"]
    if throw >= largest_throw(radius):
        most = values.result(largest_throw(radius), like="throw")
        raise refuse(
            f"A throw of {values.quantity('throw').short} is too much for this bar: from {most.short} on, 0.577 of its "
            "radius, two jaws bear past its widest part and it cannot be held. Use a faceplate, an independent chuck "
            "or centers.",
            field="throw",
            read=values.quantity("throw"),
        )
    narrow = narrow_packing(radius, throw)
    result = {
        "narrow": values.result(narrow, like="diameter"),
        "flat": values.result(flat_packing(throw), like="diameter"),
        "tir": values.result(2 * throw, like="diameter"),
    }
    return SumOutcome(
        result=result,
        notes=_notes(radius, throw, values.quantity("diameter").is_metric),
        sketch=_three_jaws(radius, throw, narrow, result["narrow"].short, values.quantity("throw").short),
    )


def _packing_throw(values: Values) -> SumOutcome:
    radius, packing = values["diameter"] / 2, values["packing"]
    if packing >= largest_packing(radius):
        most = values.result(largest_packing(radius), like="packing")
        raise refuse(
            f"Packing of {values.quantity('packing').short} is too much for this bar: from {most.short} on, two jaws "
            "bear past its widest part and it cannot be held. Use a faceplate, an independent chuck or centers.",
            field="packing",
            read=values.quantity("packing"),
        )
    narrow = narrow_throw(radius, packing)
    result = {
        "narrow": values.result(narrow, like="diameter"),
        "flat": values.result(flat_throw(packing), like="diameter"),
    }
    return SumOutcome(
        result=result,
        notes=_notes(radius, flat_throw(packing), values.quantity("diameter").is_metric),
        sketch=_three_jaws(radius, narrow, packing, values.quantity("packing").short, result["narrow"].short),
    )


def _notes(radius: Fraction, throw: Fraction, is_metric: bool) -> tuple[str, ...]:
    width = Quantity.of(throw * root(Fraction(3)), Measure.LENGTH, metric=is_metric)
    notes = [
        "Narrow: jaws that touch at a point or a narrow land. Flat: jaw faces at right angles to their way, at least "
        f"{width.short} wide. Real jaws lie between the two; where they are hollow ground, neither is exact.",
        "Take a trial cut, measure the throw, and correct the packing by 1.5 times the error.",
        "Packing of hard, even stock, that cannot slide out: curved to the bar, with a lip or fastened to the jaw. The "
        "jaws do not grip evenly; light cuts, low speed, and a counterweight where it shakes.",
    ]
    if throw * 4 > radius:
        notes.append("The throw is more than a quarter of the radius: an independent chuck holds it better.")
    return tuple(notes)


def _three_jaws(radius: Fraction, throw: Fraction, packing: Fraction, packing_words: str, throw_words: str) -> Sketch:
    """To scale: the spindle's axis in the middle, the packed jaw on top, the bar pushed down by the throw."""
    middle, across = (130, 112), 58
    drop = share(throw, radius, across)
    inner = across - drop + share(packing, radius, across)
    marks = [circle(middle[0], middle[1] + drop, across, "bar")]
    marks += [_block(middle, inner, 36, turn, "win") for turn in (0, 120, 240)]
    thick = share(packing, radius, across, least=2)
    marks.append(_block(middle, inner - thick, thick, 0, "zone"))
    marks += [
        line(middle[0] - 8, middle[1], 226, middle[1]),
        line(middle[0] - 8, middle[1] + drop, 226, middle[1] + drop),
        line(middle[0], middle[1] - 8, middle[0], middle[1] + drop + 8),
        words(232, 40, f"packing {packing_words}", "zone", anchor="start"),
        words(232, middle[1] - 2, "spindle's axis", anchor="start"),
        words(232, middle[1] + drop + 12, "bar's axis", anchor="start"),
        words(232, middle[1] + drop + 30, f"throw {throw_words}", "stock", anchor="start"),
    ]
    caption = (
        f"Three jaws at one distance from the spindle's axis, packing of {packing_words} between jaw 1 and the bar; "
        f"the bar's axis lies {throw_words} away from that jaw. To scale, narrow jaws."
    )
    return Sketch(marks=tuple(marks), height=230, words=caption)


def _block(middle: tuple[int, int], inner: int, length: int, turn: int, css_class: str) -> Mark:
    """What lies across a jaw's way, from `inner` to `inner + length` of the middle: the jaw itself, or packing."""
    side_x, side_y = around(0, 0, 7, turn + 90)
    near, far = around(*middle, inner, turn), around(*middle, inner + length, turn)
    corners = [(near, -1), (near, 1), (far, 1), (far, -1)]
    return outline([(x + sign * side_x, y + sign * side_y) for (x, y), sign in corners], css_class)


_DIAMETER = Key(
    name="diameter",
    words="Diameter of the bar",
    hint="Round bar, as measured; in inches or mm.",
)
_SOURCE = "derived here from the geometry of three jaws on one scroll; agrees with two printed derivations"
PACKING = Sum(
    name="packing",
    title="Packing for a throw",
    about="What to put under one jaw of a universal 3-jaw chuck to turn off center.",
    keys=(
        _DIAMETER,
        Key(
            name="throw",
            words="Throw",
            hint="How far off the axis, half the stroke; inches or mm.",
        ),
    ),
    needed=("diameter", "throw"),
    results={"narrow": "Packing, narrow jaws", "flat": "Packing, flat jaws", "tir": "TIR to expect"},
    work=_packing,
    formula="narrow: P = 1.5 e − R + √(R² − 0.75 e²); flat: P = 1.5 e; TIR = 2 e (e throw, R radius of the bar)",
    source=_SOURCE,
)
PACKING_THROW = Sum(
    name="packing-throw",
    title="Throw of a packing",
    about="How far off center the packing at hand brings the bar.",
    keys=(
        _DIAMETER,
        Key(name="packing", words="Packing", hint="Thickness under one jaw; in inches or mm."),
    ),
    needed=("diameter", "packing"),
    results={"narrow": "Throw, narrow jaws", "flat": "Throw, flat jaws"},
    work=_packing_throw,
    formula="narrow: e = A/2 − √((4 R² − A²) ÷ 12), A = P + R; flat: e = P ÷ 1.5 (P packing, R radius of the bar)",
    source=_SOURCE,
)
SUMS = (PACKING, PACKING_THROW)
