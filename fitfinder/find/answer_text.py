"""An Answer as lines for a terminal."""

from __future__ import annotations

from fitfinder.find.answer import Answer
from fitfinder.find.notes import notes_of
from fitfinder.holding.grips import Grip
from inventory.measures.lengths import named, nominal, shown, signed


def answer_text(answer: Answer) -> str:
    """The whole answer in plain lines, the sentence to act on first."""
    return "\n".join(
        [
            answer.headline,
            f"Read as: {answer.stock.read_as}{_of_the_grade(answer)}",
            *(_grip(grip) for grip in answer.grips),
            *(f"  {note}" for note in notes_of(answer)),
            *_more(answer),
            *(f"Make-do: {_grip(grip).strip()}" for grip in answer.make_dos),
            *(f"Left out: {item.tag}, {item.why}" for item in answer.left_out),
            *(
                f"Nearest: {near.tag}, {named(near.nominal)} {near.series}, stock is "
                f"{named(abs(near.misses_by))} in too {'big' if near.misses_by.nm > 0 else 'small'}"
                for near in answer.near_enough
            ),
            *_gap(answer),
            *(f"Caution: {caution.text} [{caution.source}]" for caution in answer.cautions),
        ]
    )


def _grip(grip: Grip) -> str:
    name = grip.piece.size.name if grip.piece.size else grip.method
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


def _gap(answer: Answer) -> list[str]:
    gap = answer.gap
    if gap is None:
        return []
    blanks = f"; blanks that could be bored: {', '.join(gap.blanks)}" if gap.blanks else ""
    return [f"Missing: {nominal(gap.size)} {gap.shape} {gap.series}, {gap.why}{blanks}"]


def _of_the_grade(answer: Answer) -> str:
    grade, allowed = answer.stock.grade, answer.stock.out_of_round
    band = f"; {grade.deviations} of nominal by {grade.source}" if grade is not None else ""
    return band + (f"; may be {named(allowed)} in out of round" if allowed is not None else "")
