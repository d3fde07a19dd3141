"""A plan as other programs see it."""

from __future__ import annotations

from fitfinder.plan.plans import Plan
from fitfinder.plan.ways import Way
from inventory.measures.lengths import length_json


def plan_json(plan: Plan) -> dict:
    stock = plan.job.stock
    return {
        "read_as": plan.job.read_as,
        "stock": {
            "shape": plan.job.shape,
            "smallest": length_json(stock.band.smallest),
            "largest": length_json(stock.band.largest),
            "out_of_round": length_json(stock.out_of_round),
        },
        "ways": [_way(way) for way in plan.ways],
    }


def _way(way: Way) -> dict:
    return {
        "method": way.method,
        "can": way.can,
        "here": way.is_here,
        "missing": list(way.missing),
        "chain": list(way.tags),
        "tir": length_json(way.tir),
        "tir_basis": way.tir_basis,
        "true_enough": way.true_enough,
        "minutes": None if way.minutes is None else float(round(way.minutes, 2)),
        "reasons": [*way.but, *way.reasons, *way.doubts],
        "cautions": [{"text": caution.text, "source": caution.source} for caution in way.cautions],
    }
