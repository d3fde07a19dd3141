"""What stands on a setup sheet: the steps from the empty spindle to the first cut, and the numbers of this set-up with
the sums behind them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from fitfinder.arithmetic.quantities import Quantity
from fitfinder.arithmetic.sums import sum_named
from fitfinder.holding.mechanics.starts import divides
from fitfinder.holding.parts import Act, SetupStep
from fitfinder.holding.pieces import REST_KINDS, Piece
from fitfinder.holding.runout import Runout
from fitfinder.holding.way import ThrowBy, Way
from fitfinder.questions import QuestionError
from inventory.measures.length_words import measured, runout_shown, runout_text, shown, typed
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind
from inventory.reference.place_words import place_words

WORDS = {
    "narrow": "Packing, narrow jaws", "flat": "Packing, flat jaws", "tir": "Swings, at the throw",
    "set_over": "Tailstock over", "half_angle": "Compound at", "step": "Index on by", "drill": "Center drill",
    "mouth": "Center hole, mouth",
}  # fmt: skip
"""A result of a sum -> how a sheet calls it."""
FIRST_STEP = "Power off and isolated, a board over the ways."
WIPE = "Wipe every seat and shank; look for chips and burrs."


# Steps.


def steps(way: Way) -> list[SetupStep]:
    """All that is done, in order; empty where the way cannot be used."""
    if not way.can:
        return []
    seated = (*way.used_to(Act.SEAT), *way.used_to(Act.CENTER_DRILL), *_soft_centers(way))
    return [
        SetupStep(FIRST_STEP),
        *(step for step in way.steps if step.is_beforehand),
        *(SetupStep(f"Take off {piece.tag}, {piece.kind}.", (piece,)) for piece in way.off),
        SetupStep(WIPE),
        *(
            SetupStep(f"Fit {piece.tag}, {piece.kind}{_fetched_from(piece)}.", (piece,))
            for piece in way.pieces
            if piece not in seated and _is_fitted(way, piece)
        ),
        *_with_an_indicator(way, [step for step in way.steps if not step.is_beforehand]),
    ]


def _with_an_indicator(way: Way, steps: list[SetupStep]) -> list[SetupStep]:
    """It is put on where the work is dialled in, and in any case before the first cut is taken of it."""
    dialled = (Act.DIAL_IN, Act.GRIP) if way.by.is_dialled_in else ()
    after = max((at + 1 for at, step in enumerate(steps) if step.act in dialled), default=len(steps))
    at = min((at for at, step in enumerate(steps) if step.act is Act.CUT and at < after), default=after)
    return [*steps[:at], SetupStep(_indicated(way)), *steps[at:]]


def _soft_centers(way: Way) -> Iterator[Piece]:
    """What is gripped in a chuck that is fitted before it."""
    return (piece for piece in way.used_to(Act.TURN_SOFT_CENTER) if piece.kind == Kind.DEAD_CENTER)


_TOLD_WITH_ANOTHER = REST_KINDS | {Kind.KEY, Kind.COLLET_NUT, Kind.STOP, Kind.LATHE_DOG}
"""What is told with what it is for."""


def _is_fitted(way: Way, piece: Piece) -> bool:
    """What is on the lathe already is not."""
    return piece.kind not in _TOLD_WITH_ANOTHER and not way.has_on(piece)


def _fetched_from(piece: Piece) -> str:
    return f", from {place_words(piece.location)}" if piece.location and not piece.is_with_asker else ""


def _indicated(way: Way) -> str:
    """How an indicator shows that the set-up is right."""
    run, where = way.runout, way.by.indicated
    if run is None or run.total is None:
        return "Put an indicator on the work close to what grips it: how much it swings is not known beforehand."
    swing = f"{runout_text(run.total)} TIR ({run.basis})"
    if way.job.throw is not None and way.by.throw_by is not ThrowBy.SECOND_CENTERS:
        return _indicated_at(way.job.throw, way.by.throw_by, swing)
    if way.by.is_dialled_in:
        return f"It is dialled in when the indicator, {where}, swings no more than {swing}."
    return f"Put an indicator {where}: it should swing no more than {swing}."


def _indicated_at(throw: Length, throw_by: ThrowBy, swing: str) -> str:
    """The outside swings by twice the throw; what is to run true is the second axis."""
    outside = f"the outside swings {measured(throw * 2)} in all"
    if throw_by is ThrowBy.PACKING:
        return f"Put an indicator on the outside: with the packing right, {outside}."
    return (
        f"Put an indicator on what marks the second axis, a line, a plug or a wiggler: dial it in to {swing}; then "
        f"{outside}."
    )


# Numbers.


class SheetNumber(NamedTuple):
    words: str
    value: str
    is_of_the_tir: bool = False
    """Whether it is what the TIR was asked of: with several set-ups that between them."""


def numbers(way: Way) -> list[SheetNumber]:
    """The numbers of this set-up."""
    job = way.job
    return [
        SheetNumber("Stock", job.read_as),
        SheetNumber("Parts", str(job.parts)),
        SheetNumber("Set-ups", str(job.setups)),
        *_truth(way, way.runout),
        *_grip(way),
        *_length(way),
        *_weight(way),
        *_speed(way),
        *(SheetNumber(one.words, one.value) for one in worked(way)),
    ]


def _truth(way: Way, run: Runout | None) -> Iterator[SheetNumber]:
    if run is not None and run.total is not None and run.axis_off is not None:
        off = f"axis off by {measured(run.axis_off)}"
        yield SheetNumber(
            "One gripping", f"{shown(run.total)} TIR, {run.basis}; {off}", is_of_the_tir=way.job.setups == 1
        )
    between = way.between
    if between is not None and between.tir is not None:
        yield SheetNumber("Between set-ups", f"{runout_shown(between.tir)} TIR: {between.why}", is_of_the_tir=True)


def _length(way: Way) -> Iterator[SheetNumber]:
    """Between centers nothing stands out; on an arbor that goes into the spindle it does."""
    job = way.job
    if way.by.carries_both_ends and not way.has(Kind.EXPANDING_ARBOR):
        if job.length is not None and job.slenderness is not None:
            yield SheetNumber("Between centers", f"{shown(job.length)}, {job.thicknesses(job.slenderness)}")
    elif job.stands_out is not None and job.diameters_out is not None and job.stands_out.nm > 0:
        yield SheetNumber("Stands out", f"{shown(job.stands_out)}, {job.thicknesses(job.diameters_out)}")


def _grip(way: Way) -> Iterator[SheetNumber]:
    if way.grip is not None:
        yield SheetNumber("Gripped", f"{shown(way.grip)}{'' if way.job.grip is not None else ', assumed'}")


def _weight(way: Way) -> Iterator[SheetNumber]:
    weight = way.weight
    if weight is not None:
        taken = ", taken as steel" if weight.is_taken else f", {weight.material}" if weight.material else ""
        yield SheetNumber("Weight of the work", f"{weight.words}{taken}")


def _speed(way: Way) -> Iterator[SheetNumber]:
    if way.speed_limit is not None:
        yield SheetNumber("Never above", f"{way.speed_limit.rpm} rpm, {way.speed_limit.why}")


# Sums.


@dataclass(frozen=True)
class SumAsked:
    """A sum of the shop with the texts of this set-up, to be opened by itself; `words` say what it helps with."""

    words: str
    name: str
    texts: dict[str, str]


@dataclass(frozen=True)
class Worked(SumAsked):
    """One result of it."""

    value: str


def worked(way: Way) -> list[Worked]:
    """What the features of the job call for, in this way of holding it; empty where they call for nothing."""
    if not way.can:
        return []
    results = []
    for name, texts, keys in _called_for(way):
        try:
            result = sum_named(name).worked(texts).result
        except QuestionError:
            continue  # work below the guide, a throw beyond what packing gives: the sum's own page says why
        given = [(key, result[key]) for key in keys if result.get(key) is not None]
        results += [Worked(WORDS[key], name, texts, _in_words(value)) for key, value in given]
    return results


def _called_for(way: Way) -> Iterator[tuple[str, dict[str, str], tuple[str, ...]]]:
    """(sum, its texts, the results to show)."""
    job, is_between = way.job, way.by.is_between_centers
    if job.throw is not None and way.by.throw_by is ThrowBy.PACKING:
        yield "packing", _packing(way, job.throw), ("narrow", "flat", "tir")
    elif job.throw is not None:
        yield "tir", {"offset": typed(job.throw)}, ("tir",)
    if job.taper is not None:
        if job.length is not None and way.does(Act.SET_OVER):
            yield "set-over", {"length": typed(job.length), "ratio": _decimal(job.taper)}, ("set_over",)
        yield "taper", {"ratio": _decimal(job.taper)}, ("half_angle",)
    if is_between and divides(_places(way), job.starts) and job.starts > 1:
        yield "starts", _positions(way), ("step",)
    if way.does(Act.CENTER_DRILL):
        yield "center-hole", {"work_diameter": typed(job.stock.band.smallest)}, ("drill", "mouth")


def guides(way: Way) -> list[SumAsked]:
    """What helps at the lathe: numbers that only the indicator tells, and sums whose texts the job does not give."""
    if not way.can:
        return []
    job, sums = way.job, []
    if way.by.is_dialled_in:
        sums.append(SumAsked("Dial it in from four readings", "dial-in", {}))
    if job.throw is not None and way.by.throw_by is ThrowBy.PACKING:
        sums.append(SumAsked("Packing under one jaw for the throw", "packing", _packing(way, job.throw)))
    if job.starts > 1:
        words = f"Index {job.starts} starts by jaws, slots or gear teeth"
        sums.append(SumAsked(words, "starts", _positions(way)))
    if job.taper is not None and not way.by.is_between_centers:
        sums.append(SumAsked("Compound angle for the taper", "taper", {"ratio": _decimal(job.taper)}))
    return sums


def _packing(way: Way, throw: Length) -> dict[str, str]:
    return {"diameter": typed(way.job.stock.band.largest), "throw": typed(throw)}


def _positions(way: Way) -> dict[str, str]:
    places = _places(way)
    return {"starts": str(way.job.starts)} | ({"positions": str(places)} if places else {})


def _places(way: Way) -> int | None:
    """The jaws or slots that are counted on."""
    return next((piece.jaws or piece.slots for piece in way.pieces if piece.jaws or piece.slots), None)


def _decimal(value: Fraction) -> str:
    if value.denominator == 1:
        return str(value.numerator)
    return f"{Decimal(value.numerator) / Decimal(value.denominator):.6f}"


def _in_words(value: object) -> str:
    return value.both if isinstance(value, Quantity) else str(value)
