"""The bar itself: its weight and its corners."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.frame import GEOMETRY, Key, Sum, SumOutcome, Values
from fitfinder.arithmetic.quantities import PI, Measure, Quantity, root
from fitfinder.arithmetic.sketches import Mark, Sketch, circle, outline, polygon, share, words
from inventory.measures import amounts
from inventory.reference import practice

SHAPES = ("round", "hex", "square")


def section(shape: str, size: Fraction) -> Fraction:
    """Area of round bar, or of sharp hex or square bar by its size across flats."""
    return {"round": PI / 4, "hex": root(Fraction(3)) / 2, "square": Fraction(1)}[shape] * size**2


def corners_of(shape: str, flats: Fraction) -> Fraction:
    """Across the sharp corners: 2/√3 of the flats for a hex, √2 for a square."""
    return flats * _corners_by_flats(shape)


def flats_of(shape: str, corners: Fraction) -> Fraction:
    """Across flats, from across sharp corners."""
    return corners / _corners_by_flats(shape)


def _corners_by_flats(shape: str) -> Fraction:
    return 2 / root(Fraction(3)) if shape == "hex" else root(Fraction(2))


def _weight(values: Values) -> SumOutcome:
    shape = values.word("shape")
    mass = section(shape, values["size"]) * values["length"] * values["density"]
    result = {"weight": values.result(mass, Measure.MASS, like="size")}
    alone = practice.caution("lift alone")
    notes = [
        "Steel is about 0.2836 lb/in³ (7850 kg/m³), aluminium 0.098 (2700), brass 0.307 (8500): common practice, no "
        "source. Corners are taken as sharp."
    ]
    if Quantity.of(mass, Measure.MASS).value > alone.most:
        notes.insert(
            0,
            f"Heavier than {amounts.weight(alone.most)}: not one person over the bed. Board on the ways, two people or "
            f"a hoist ({alone.source}).",
        )
    size = values.quantity("size").short
    marks = (*_end_of(shape, (80, 74), 52), words(160, 62, f"{shape} {size}", anchor="start"))
    marks = (*marks, words(160, 82, f"{values.quantity('length').short} long", anchor="start"))
    marks = (*marks, words(160, 102, result["weight"].short, "stock", anchor="start"))
    caption = f"{shape.capitalize()} bar, {size}, {values.quantity('length').short} long: {result['weight'].both}."
    return SumOutcome(result=result, notes=tuple(notes), sketch=Sketch(marks=marks, height=150, words=caption))


def _end_of(shape: str, middle: tuple[int, int], radius: int) -> tuple[Mark, ...]:
    if shape == "round":
        return (circle(*middle, radius, "stock"),)
    sides, turned = (6, 0) if shape == "hex" else (4, 45)
    return (outline(polygon(*middle, radius, sides, turned=turned), "stock"),)


def _corners(values: Values) -> SumOutcome:
    shape = values.word("shape")
    like = "flats" if "flats" in values else "corners"
    flats = values["flats"] if like == "flats" else flats_of(shape, values["corners"])
    result = {
        "flats": values.result(flats, like=like),
        "corners": values.result(corners_of(shape, flats), like=like),
    }
    notes = (
        "Sharp corners. Bar has them rounded or broken: measure before it goes through a bore or into a round collet.",
        "The corners are what swings and what must pass the spindle. A hex in a round collet bears on its corners "
        "only: a make-do.",
    )
    flat = share(flats, values["corners"] if like == "corners" else corners_of(shape, flats), 60)
    middle = (90, 90)
    marks = (
        circle(*middle, 60),
        *_end_of(shape, middle, 60),
        circle(*middle, flat, "zone-line"),
        words(178, 70, f"corners {result['corners'].short}", anchor="start"),
        words(178, 92, f"flats {result['flats'].short}", "zone", anchor="start"),
    )
    caption = f"A {shape}: {result['flats'].short} across flats, {result['corners'].short} across corners. To scale."
    return SumOutcome(result=result, notes=notes, sketch=Sketch(marks=marks, height=180, words=caption))


WEIGHT = Sum(
    name="weight",
    title="Weight of a bar",
    about="What a length of bar weighs.",
    keys=(
        Key(name="shape", measure=Measure.WORD, words="Shape", choices=SHAPES),
        Key(name="size", words="Diameter or across flats", hint="In inches or mm."),
        Key(name="length", words="Length", hint="In inches or mm; ft and m with their unit."),
        Key(
            name="density",
            measure=Measure.DENSITY,
            words="Density",
            hint="lb/in^3 or kg/m^3; steel has about 0.2836lb/in^3 or 7850kg/m^3.",
        ),
    ),
    needed=("shape", "size", "length", "density"),
    results={"weight": "Weight"},
    work=_weight,
    formula="weight = section × length × density; section: round π D² ÷ 4, hex √3 s² ÷ 2, square s²",
    source=GEOMETRY,
)
CORNERS = Sum(
    name="corners",
    title="Flats and corners",
    about="Across flats and across corners of hex and square bar.",
    keys=(
        Key(name="shape", measure=Measure.WORD, words="Shape", choices=SHAPES[1:]),
        Key(name="flats", words="Across flats", hint="In inches or mm."),
        Key(name="corners", words="Or across corners", hint="In inches or mm."),
    ),
    needed=("shape",),
    either=(("flats",), ("corners",)),
    results={"flats": "Across flats", "corners": "Across corners"},
    work=_corners,
    formula="hex: corners = 2 ÷ √3 × flats = 1.1547 × flats; square: √2 × flats = 1.4142 × flats",
    source=GEOMETRY,
)
SUMS = (WEIGHT, CORNERS)
