"""A plan as it is told to a program and in a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.parts import Reason
from fitfinder.holding.rules import grip_length
from fitfinder.holding.rules.truth import BetweenSetups
from fitfinder.holding.way import Way
from fitfinder.plan.one_gripping import OneGripping
from fitfinder.plan.plan import Plan
from fitfinder.plan.sheet import steps
from inventory.measures.length_words import runout_text
from inventory.measures.lengths import length_json

TRUTH = {True: "true enough", False: "not true enough", None: "how true is open"}


def as_json(plan: Plan) -> dict[str, Any]:
    """A plan as other programs see it."""
    stock = plan.job.stock
    return {
        "read_as": plan.job.read_as,
        "stock": {
            "shape": plan.job.shape,
            "smallest": length_json(stock.band.smallest),
            "largest": length_json(stock.band.largest),
            "out_of_round": length_json(stock.out_of_round),
        },
        "ways": [_way_json(way, plan.one_gripping) for way in plan.ways],
    }


def _way_json(way: Way, one_gripping: OneGripping | None) -> dict[str, Any]:
    first = [str(one_gripping)] if one_gripping is not None and one_gripping.way.method is way.method else []
    return {
        "method": way.method,
        "can": way.can,
        "here": way.is_here,
        "missing": [str(missing) for missing in way.missing],
        "chain": list(way.tags),
        "tir": length_json(way.tir),
        "tir_basis": way.tir_basis,
        "true_enough": way.true_enough,
        "minutes": None if way.minutes is None else float(round(way.minutes, 2)),
        "reasons": first + [str(reason) for reason in _reasons(way)],
        "cautions": [{"text": caution.text, "source": caution.source} for caution in way.cautions],
        "support": [piece.tag for piece in way.beside],
        "steps": [{"do": step.do, "with": [piece.tag for piece in step.uses]} for step in steps(way)],
        "grip": length_json(way.grip),
        "stick_out": length_json(way.stick_out),
        "speed_limit": None if way.speed_limit is None else way.speed_limit.rpm,
        "weight": _weight_json(way),
        "tir_of": way.tir_of,
        "one_gripping": length_json(way.of_one_gripping.total if way.can else None),
    }


def _reasons(way: Way) -> Iterator[Reason | BetweenSetups]:
    yield from (*way.but, *way.reasons)
    if way.between is not None:
        yield way.between
    if (assumed := grip_length.assumed_grip(way.job)) is not None:
        yield assumed
    yield from way.doubts
    if way.lost:
        yield Reason(way.lost)


def _weight_json(way: Way) -> dict[str, float] | None:
    weight = way.weight
    return None if weight is None else {"kg": float(round(weight.kg, 3)), "lb": float(round(weight.lb, 3))}


def as_text(plan: Plan) -> str:
    """A plan as lines for a terminal."""
    of_lead = plan.lead.cautions if plan.lead is not None else ()
    return "\n".join(
        [
            f"Read as: {plan.job.read_as}",
            *([str(plan.one_gripping)] if plan.one_gripping is not None else []),
            *(_way_line(way) for way in plan.ways),
            *(str(crossing) for crossing in plan.crossings),
            *(f"Else, {number}: {step}" for number, step in enumerate(plan.ladder, 1)),
            *(f"Caution: {caution.text} [{caution.source}]" for caution in (*of_lead, *plan.cautions)),
        ]
    )


def _way_line(way: Way) -> str:
    if not way.can:
        return f"  cannot: {way.name}; {way.why_not}"
    return f"  {way.name}{f' on {way.lathe.name}' if way.lathe else ''}: {'; '.join(_told_of(way))}"


def _told_of(way: Way) -> Iterator[str]:
    yield "here" if way.is_here else f"missing: {'; '.join(map(str, way.missing))}"
    if way.tags:
        yield " > ".join(way.tags)
    tir = f"TIR {way.tir_of} {runout_text(way.tir)}, {way.tir_basis}" if way.tir is not None else "TIR not known"
    yield f"{tir}, {TRUTH[way.runs_as_asked]}"
    if way.minutes is not None:
        yield f"{float(way.minutes):.4g} min"
    yield from (f"but {reason}" for reason in way.but)
    yield from map(str, way.doubts)
    if way.lost:
        yield way.lost
    yield from wanted_pieces(way.pieces)
