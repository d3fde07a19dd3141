"""An Answer as other programs see it."""

from __future__ import annotations

from fitfinder.find.answer import Answer
from fitfinder.holding.cautions import Caution
from fitfinder.holding.grips import Grip
from inventory.measures.lengths import Length


def answer_json(answer: Answer) -> dict:
    stock = answer.stock
    return {
        "read_as": stock.read_as,
        "stock": {
            "shape": stock.shape,
            "smallest": length(stock.band.smallest),
            "largest": length(stock.band.largest),
            "out_of_round": length(stock.out_of_round),
        },
        "verdict": str(answer.verdict),
        "headline": answer.headline,
        "grips": [_grip(grip) for grip in answer.grips],
        "more": answer.more,
        "left_out": [{"tag": item.tag, "why": item.why} for item in answer.left_out],
        "details_missing": answer.details_missing,
        "make_dos": [_grip(grip) for grip in answer.make_dos],
        "nearest": [
            {"tag": near.tag, "nominal": length(near.nominal), "misses_by": length(near.misses_by)}
            for near in answer.nearest
        ],
        "gap": _gap(answer),
        "cautions": [_caution(caution) for caution in answer.cautions],
    }


def length(value: Length | None) -> dict | None:
    """`{"nm", "in", "mm"}`; `nm` is exact, the texts are rounded to four and three places."""
    return None if value is None else {"nm": value.nm, "in": value.inch_text, "mm": value.mm_text}


def _grip(grip: Grip) -> dict:
    size = grip.piece.size
    return {
        "tag": grip.piece.tag,
        "kind": grip.piece.kind,
        "method": grip.method,
        "series": size.series if size else None,
        "shape": size.shape if size else None,
        "nominal": length(grip.nominal),
        "clamps_from": length(grip.reach.smallest),
        "clamps_to": length(grip.reach.largest),
        "verdict": grip.verdict.value,
        "margin": length(grip.margin),
        "in_true_zone": grip.in_true_zone,
        "condition": grip.piece.condition,
        "location": grip.piece.location,
        "chain": list(grip.tags),
        "chain_checked": grip.chain.is_checked,
        "lathe": grip.chain.lathe.name if grip.chain.lathe else None,
        "tir": length(grip.runout.total),
        "tir_basis": grip.runout.basis,
        "meets_tir": grip.meets_tir,
        "passes_through": grip.passes_through,
        "reasons": list(grip.reasons),
        "cautions": [_caution(caution) for caution in grip.cautions],
    }


def _gap(answer: Answer) -> dict | None:
    gap = answer.gap
    if gap is None:
        return None
    return {
        "series": gap.series,
        "shape": gap.shape,
        "size": length(gap.size),
        "why": gap.why,
        "blanks": list(gap.blanks),
    }


def _caution(caution: Caution) -> dict:
    return {"text": caution.text, "source": caution.source}
