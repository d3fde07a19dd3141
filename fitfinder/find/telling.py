"""An Answer as JSON for other programs, and as lines for a terminal."""

from __future__ import annotations

from typing import Any

from fitfinder.find.answer import Answer
from fitfinder.find.notes import notes_of
from fitfinder.find.way_grips import Grip
from fitfinder.holding.collets.collet_choice import LeftOut
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.wants import OpenWant
from inventory.measures.length_words import in_unit, nominal, shown, signed
from inventory.measures.lengths import length_json

Json = dict[str, Any]


def answer_json(answer: Answer) -> Json:
    stock = answer.stock
    return {
        "read_as": stock.read_as,
        "stock": {
            "shape": stock.shape,
            "smallest": length_json(stock.band.smallest),
            "largest": length_json(stock.band.largest),
            "out_of_round": length_json(stock.out_of_round),
        },
        "verdict": str(answer.verdict),
        "headline": answer.headline,
        "grips": [_grip_json(grip) for grip in answer.grips],
        "more": answer.more,
        "left_out": [_left_out_json(item) for item in answer.left_out],
        "details_missing": answer.details_missing,
        "make_dos": [_grip_json(grip) for grip in answer.make_dos],
        "nearest": [
            {"tag": near.tag, "nominal": length_json(near.nominal), "misses_by": length_json(near.misses_by)}
            for near in answer.nearest
        ],
        "gap": _gap_json(answer),
        "cautions": [_caution_json(caution) for caution in answer.cautions],
        "wants": [_want_json(want) for want in answer.wants],
    }


def _want_json(want: OpenWant) -> Json:
    return {
        "state": want.state,
        "expected": want.expected and want.expected.isoformat(),
        "size": length_json(want.size),
        "series": want.series,
    }


def _grip_json(grip: Grip) -> Json:
    size = grip.size if isinstance(grip, ColletGrip) else None
    return _reserved_json(grip) | {
        "tag": grip.piece.tag,
        "kind": grip.piece.kind,
        "method": grip.method,
        "series": size.series if size else None,
        "shape": size.shape if size else None,
        "nominal": length_json(grip.nominal),
        "clamps_from": length_json(grip.reach.smallest if grip.reach else None),
        "clamps_to": length_json(grip.reach.largest if grip.reach else None),
        "verdict": grip.verdict.value,
        "margin": length_json(grip.margin),
        "in_true_zone": grip.in_true_zone,
        "condition": grip.piece.condition,
        "location": grip.piece.location,
        "chain": list(grip.tags),
        "chain_checked": grip.chain.is_checked,
        "lathe": grip.chain.lathe.name if grip.chain.lathe else None,
        "tir": length_json(grip.runout.total),
        "tir_basis": grip.runout.basis,
        "meets_tir": grip.meets_tir,
        "passes_through": grip.passes_through,
        "reasons": list(grip.reasons),
        "cautions": [_caution_json(caution) for caution in grip.cautions],
    }


def _reserved_json(grip: Grip) -> Json:
    """The first job that waits for the piece, or for one on the way to it; nothing where none does."""
    reserved = next((piece for piece in (grip.piece, *grip.pieces) if piece.reserved is not None), None)
    if reserved is None or reserved.reserved is None:
        return {}
    job = reserved.reserved
    return {
        "reserved_for": f"{job.job}, {job.when}",
        "reserved": {"tag": reserved.tag, "job": job.job, "by": job.by, "from": job.begins.isoformat()},
    }


def _left_out_json(item: LeftOut) -> Json:
    entry: Json = {"tag": item.tag, "why": item.why}
    if item.who:
        entry |= {"who": item.who, "since": item.since and item.since.isoformat()}
        entry["due"] = item.due and item.due.isoformat()
    return entry


def _gap_json(answer: Answer) -> Json | None:
    gap = answer.gap
    if gap is None:
        return None
    return {
        "series": gap.series,
        "shape": gap.shape,
        "size": length_json(gap.size),
        "why": gap.why,
        "blanks": list(gap.blanks),
    }


def _caution_json(caution: Caution) -> Json:
    return {"text": caution.text, "source": caution.source}


def answer_text(answer: Answer) -> str:
    """The whole answer in plain lines, the sentence to act on first."""
    return "\n".join(
        [
            answer.headline,
            f"Read as: {answer.stock.read_as}{_of_the_grade(answer)}",
            *(_grip_text(grip) for grip in answer.grips),
            *(f"  {note}" for note in notes_of(answer)),
            *_more(answer),
            *(f"Make-do: {_grip_text(grip).strip()}" for grip in answer.make_dos),
            *(f"Left out: {item.tag}, {item.why}" for item in answer.left_out),
            *(
                f"Nearest: {near.tag}, {nominal(near.nominal)} {near.series}, stock is "
                f"{in_unit(abs(near.misses_by))} too {'big' if near.misses_by.nm > 0 else 'small'}"
                for near in answer.near_enough
            ),
            *_gap_text(answer),
            *(f"Asked for: {want.name}, {want.words}" for want in answer.wants),
            *(f"Else, {number}: {step}" for number, step in enumerate(answer.ladder, 1)),
            *(f"Caution: {caution.text} [{caution.source}]" for caution in answer.cautions),
        ]
    )


def _grip_text(grip: Grip) -> str:
    name = grip.size.name if isinstance(grip, ColletGrip) else grip.method
    tir = f"TIR {shown(grip.runout.total)}, {grip.runout.basis}" if grip.runout.total else "TIR not known"
    lathe = f"{grip.chain.lathe.name}: " if grip.chain.lathe else ""
    way = f"{lathe}{' > '.join(grip.tags)}{'' if grip.chain.is_checked else ' (unchecked)'}"
    reasons = "".join(f"; {reason}" for reason in grip.reasons[1:])
    verdict = f"{grip.verdict.value} ({signed(grip.margin)})"
    return f"  {verdict}: {name}, {grip.where or 'no place'}; {way}; {tir}{reasons}"


def _more(answer: Answer) -> list[str]:
    lines = [f"{answer.more} more pieces hold it."] if answer.more else []
    if answer.details_missing:
        lines.append(f"{answer.details_missing} pieces could not be considered: details missing.")
    return lines


def _gap_text(answer: Answer) -> list[str]:
    gap = answer.gap
    if gap is None:
        return []
    blanks = f"; blanks that could be bored: {', '.join(gap.blanks)}" if gap.blanks else ""
    return [f"Missing: {nominal(gap.size)} {gap.shape} {gap.series}, {gap.why}{blanks}"]


def _of_the_grade(answer: Answer) -> str:
    grade, allowed = answer.stock.grade, answer.stock.out_of_round
    band = f"; {grade.deviations} of nominal by {grade.source}" if grade is not None else ""
    return band + (f"; may be {in_unit(allowed)} out of round" if allowed is not None else "")
