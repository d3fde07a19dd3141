"""Center holes: how deep the cone goes, and which hole suits the work."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.frame import COMMON, GEOMETRY, Key, Sum, SumOutcome, Values, refuse
from fitfinder.arithmetic.quantities import Measure, Quantity, tan_degrees
from fitfinder.arithmetic.sketches import Sketch, line, outline, words
from inventory.measures.lengths import Length
from inventory.reference.center_drills import INCH, METRIC, CenterDrill, CenterHole, center_drills, center_holes

USUAL_ANGLE = Fraction(60)


def cone_depth(pilot: Fraction, mouth: Fraction, angle: Fraction = USUAL_ANGLE) -> Fraction:
    """How deep the cone goes from its mouth to the pilot, for this included angle in degrees."""
    return (mouth - pilot) / (2 * tan_degrees(angle / 2))


def cone_mouth(pilot: Fraction, depth: Fraction, angle: Fraction = USUAL_ANGLE) -> Fraction:
    """How wide the cone is at its mouth."""
    return pilot + 2 * depth * tan_degrees(angle / 2)


def compound_angle(included: Fraction) -> Fraction:
    """Degrees from the lathe's axis that the compound is set to for a point of this included angle: half of it."""
    return included / 2


def hole_for(work: Length, *, form: str) -> tuple[CenterHole, CenterDrill] | None:
    """The center hole for light and medium work of this diameter, and its drill; None below the guide of that form."""
    fitting = [hole for hole in center_holes() if hole.form == form and hole.begins_below(work)]
    if not fitting:
        return None
    hole = fitting[-1]
    return hole, next(drill for drill in center_drills() if (drill.form, drill.size) == (form, hole.size))


def _cone(values: Values) -> SumOutcome:
    pilot, angle = values["pilot"], values["angle"]
    if angle >= 180:
        message = f"{values.quantity('angle').short} is no cone. Write its included angle, like 60, below 180 degrees."
        raise refuse(message, field="angle", read=values.quantity("angle"))
    if "depth" in values:
        depth, mouth = values["depth"], cone_mouth(pilot, values["depth"], angle)
    else:
        mouth = values["mouth"]
        if mouth <= pilot:
            raise refuse(
                f"The mouth, {values.quantity('mouth').short}, is not wider than the pilot, "
                f"{values.quantity('pilot').short}. mouth is the larger diameter of the cone.",
                field="mouth",
                read=values.quantity("mouth"),
            )
        depth = cone_depth(pilot, mouth, angle)
    like = "depth" if "depth" in values else "mouth"
    result = {
        "mouth": values.result(mouth, like=like),
        "depth": values.result(depth, like=like),
    }
    half = Quantity.of(compound_angle(angle), Measure.ANGLE).short
    notes = (
        "Depth of the cone alone: the pilot goes deeper, so that the center's point never touches the bottom.",
        f"A point of this angle is turned with the compound at {half} from the lathe's axis, half the included angle.",
        "A hole too small or too shallow lets heavy work climb out of the centers. Grease a dead center, and look to "
        "it as the work warms and grows.",
    )
    return SumOutcome(
        result=result, notes=notes, sketch=_hole(values.quantity("pilot"), result, values.quantity("angle"))
    )


def _center_hole(values: Values) -> SumOutcome:
    work = values.quantity("work_diameter")
    advised = hole_for(Length(round(work.counted * 10**9)), form=METRIC if work.is_metric else INCH)
    if advised is None:
        raise refuse(
            f"{work.short} is below the guide, which begins at 3/16 in. Write a larger diameter, or give it in mm.",
            field="work_diameter",
            read=work,
        )
    hole, drill = advised
    mouth, pilot = _metres(hole.hole), _metres(drill.drill)
    metres = {"mouth": mouth, "depth": cone_depth(pilot, mouth), "pilot": pilot}
    lengths = {name: values.result(length, like="work_diameter") for name, length in metres.items()}
    notes = (
        f"From the guide: {hole.source}. The drill: {drill.source}.",
        "Advice for light and medium work: take the next larger for heavy or long work, where the shaft allows it.",
        "The depth is that of the cone alone; the pilot goes deeper. Drill slowly enough to clear the chips: a broken "
        "point in the hole has to come out before the work goes between centers.",
    )
    sketch = _hole(lengths["pilot"], lengths, Quantity.of(USUAL_ANGLE, Measure.ANGLE))
    return SumOutcome(result={"drill": drill.name, **lengths}, notes=notes, sketch=sketch)


def _metres(length: Length) -> Fraction:
    return Fraction(length.nm, 10**9)


def _hole(pilot: Quantity, result: dict[str, Quantity], angle: Quantity) -> Sketch:
    marks = (
        outline([(60, 20), (60, 45), (130, 75), (170, 75), (170, 85), (130, 85), (60, 115), (60, 140)], "stock"),
        line(40, 80, 210, 80),
        line(60, 45, 60, 115, "zone"),
        words(52, 14, "end of the work", anchor="start"),
        words(220, 40, f"mouth {result['mouth'].short}", "zone", anchor="start"),
        words(220, 60, f"depth {result['depth'].short}", "zone", anchor="start"),
        words(220, 100, f"pilot {pilot.short}", anchor="start"),
        words(220, 120, f"{angle.short} included", anchor="start"),
    )
    caption = (
        f"A center hole cut along its axis: mouth {result['mouth'].short}, cone {result['depth'].short} deep at "
        f"{angle.short} included, pilot {pilot.short}. Not to scale."
    )
    return Sketch(marks=marks, height=150, words=caption)


CONE = Sum(
    name="cone",
    title="Cone of a center hole",
    about="How wide and how deep the cone of a center hole is.",
    keys=(
        Key(
            name="pilot",
            words="Pilot, drill diameter",
            hint="0 for a cone to a point; in inches or mm.",
            may_be_zero=True,
        ),
        Key(name="mouth", words="Mouth", hint="Larger diameter of the cone; in inches or mm."),
        Key(
            name="depth",
            words="Or its depth",
            hint="Of the cone, without the pilot; inches or mm.",
        ),
        Key(
            name="angle",
            measure=Measure.ANGLE,
            words="Included angle",
            hint="60 where it is left empty; degrees.",
            default="60",
        ),
    ),
    needed=("pilot",),
    either=(("mouth",), ("depth",)),
    results={"mouth": "Mouth", "depth": "Depth of the cone"},
    work=_cone,
    formula="depth = (mouth − pilot) ÷ (2 tan(angle ÷ 2)); at 60°: 0.8660 (mouth − pilot)",
    source=f"{GEOMETRY}; 60° is {COMMON}",
)
CENTER_HOLE = Sum(
    name="center-hole",
    title="Center hole for the work",
    about="Which center drill suits the work, and how wide to let the hole come.",
    keys=(
        Key(
            name="work_diameter",
            words="Diameter of the work",
            hint="At that end; in inches or mm.",
        ),
    ),
    needed=("work_diameter",),
    results={"drill": "Center drill", "mouth": "Mouth", "depth": "Depth of the cone", "pilot": "Pilot"},
    work=_center_hole,
    formula="from a guide by diameter; depth = (mouth − pilot) ÷ (2 tan 30°)",
    source="guides from work to hole; they stand with the answer",
)
SUMS = (CONE, CENTER_HOLE)
