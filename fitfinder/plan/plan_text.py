"""A plan as lines for a terminal."""

from __future__ import annotations

from fitfinder.plan.plans import Plan
from fitfinder.plan.ways import Way

TRUTH = {True: "true enough", False: "not true enough", None: "how true is open"}


def plan_text(plan: Plan) -> str:
    return "\n".join(
        [
            f"Read as: {plan.job.read_as}",
            *(_way(way) for way in plan.ways),
            *(crossing.sentence for crossing in plan.crossings),
            *(f"Caution: {caution.text} [{caution.source}]" for way in plan.usable[:1] for caution in way.cautions),
            *(f"Caution: {caution.text} [{caution.source}]" for caution in plan.cautions),
        ]
    )


def _way(way: Way) -> str:
    if not way.can:
        return f"  cannot: {way.name}; {way.why_not}"
    state = "here" if way.is_here else f"missing: {'; '.join(way.missing)}"
    chain = f"; {' > '.join(way.tags)}" if way.tags else ""
    tir = f"TIR {way.tir.inch_text} in, {way.tir_basis}" if way.tir is not None else "TIR not known"
    where = f" on {way.lathe.name}" if way.lathe else ""
    minutes = f"{float(way.minutes):.4g} min"
    doubts = "".join([*(f"; but {word}" for word in way.but), *(f"; {doubt}" for doubt in way.doubts)])
    return f"  {way.name}{where}: {state}{chain}; {tir}, {TRUTH[way.true_enough]}; {minutes}{doubts}"
