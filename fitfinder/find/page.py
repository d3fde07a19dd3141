"""An Answer as its page shows it: plain values in the order of the page, of which the template makes HTML."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import StrEnum

from msgspec import Struct

from fitfinder.find.answer import Answer
from fitfinder.find.notes import notes_of
from fitfinder.find.rows import Row, Rows, left_out_row, nearest_row
from fitfinder.find.way_grips import Grip
from fitfinder.find.window import Window, window
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import ColletOnHand, LatheOnHand, Piece
from fitfinder.holding.rules.cautions import Caution
from fitfinder.holding.runout import Basis, Part
from fitfinder.holding.stock import Stock
from fitfinder.holding.verdicts import Outcome
from fitfinder.holding.way import BESIDE_KINDS
from inventory.measures.display import now
from inventory.measures.length_words import measured, nominal, other_unit, runout_text, size_of_work
from inventory.reference.kinds import Kind


class Form(StrEnum):
    """What can be told from across the shop, before a word is read."""

    YES = "yes"
    CAREFUL = "maybe"
    NO = "no"


class ChainStep(Struct, frozen=True):
    """One link from the spindle to the work: its name, where it is now, and what is known of its run-out."""

    name: str
    place: str
    truth: str
    is_beside: bool = False
    """It tightens or steadies, and stands in no line from the spindle to the work."""


class HowTrue(Struct, frozen=True):
    """How truly a way runs: first what counts, then the rest of the sentence."""

    first: str
    rest: str = ""


class Lead(Struct, frozen=True, kw_only=True):
    """The way that leads. `picture` is of a collet in its range, which a blank that was bored here has not."""

    piece: Piece
    name: str
    where: str
    picture: Window | None
    hint: str
    steps: tuple[ChainStep, ...]
    is_of_a_lathe: bool
    how_true: HowTrue
    misses_tir: bool
    doubt: str
    bar_goes_through: str
    reasons: str
    """Of work between centers, where nobody asks whether a bar goes through."""
    cautions: tuple[Caution, ...]
    reserved: tuple[str, ...]
    """What other jobs are waiting for."""


class Blank(Struct, frozen=True, kw_only=True):
    """The blank to be bored where no collet holds the stock."""

    piece: Piece
    bore: str
    seat: str
    pilot: str


class AnswerPage(Struct, frozen=True, kw_only=True):
    """A blank is told in place of a way that leads: beside it no collet holds the stock, and what is left are the
    other ways."""

    asked: tuple[str, ...]
    form: Form
    verdict: str
    lead: Lead | None
    blank: Blank | None
    bar: str
    """How far bar of the asked grade may be off; empty where it was measured."""
    notes: tuple[str, ...]
    also_holds: tuple[Row, ...]
    without_collet: tuple[Row, ...]
    in_a_pinch: tuple[Row, ...]
    left_out: tuple[Row, ...]
    nearest: tuple[Row, ...]
    series: str
    """That of the collet which leads: its figures may be looked up."""


def page_of(answer: Answer, *, lathe: str = "") -> AnswerPage:
    """`lathe` is the one that was asked about."""
    blank = _blank(answer)
    best = answer.grips[0] if answer.grips and blank is None else None
    rows = Rows(best.cautions if best is not None else ())
    return AnswerPage(
        asked=tuple(_asked(answer, lathe)),
        form=_FORMS[answer.verdict],
        verdict=_verdict(answer, best),
        lead=_lead(best) if best is not None else None,
        blank=blank,
        bar=_bar(answer.stock),
        notes=notes_of(answer),
        also_holds=rows.also_holds(answer.grips[1:] if blank is None else ()),
        without_collet=rows.without_collet(_other_ways(answer, blank)),
        in_a_pinch=rows.in_a_pinch(answer.make_dos),
        left_out=tuple(left_out_row(item) for item in answer.left_out),
        nearest=tuple(nearest_row(near) for near in answer.near_enough),
        series=best.size.series if isinstance(best, ColletGrip) else "",
    )


def _asked(answer: Answer, lathe: str) -> Iterator[str]:
    low, high = answer.stock.band.smallest, answer.stock.band.largest
    if answer.stock.grade is not None:
        yield f"{measured(low)} to {measured(high)}"
    else:
        # What was typed says its own unit; in it the size stands already.
        beside = measured if now().is_metric and " mm" not in answer.stock.read_as else other_unit
        yield f"{beside(low)} to {beside(high)}" if high != low else beside(low)
    if lathe:
        yield lathe
    if answer.asked_tir is not None:
        yield f"{runout_text(answer.asked_tir)} TIR asked"


_BESIDE = BESIDE_KINDS | {Kind.DRAWBAR}
_FORMS = {
    Outcome.HOLDS: Form.YES,
    Outcome.AT_THE_LIMIT: Form.CAREFUL,
    Outcome.MEASURE_FIRST: Form.CAREFUL,
    Outcome.BLANK: Form.NO,
    Outcome.CHUCK: Form.NO,
    Outcome.NOTHING: Form.NO,
}
_VERDICTS = {
    Outcome.HOLDS: "Holds",
    Outcome.AT_THE_LIMIT: "At the limit",
    Outcome.MEASURE_FIRST: "Mic it first",
    Outcome.BLANK: "No collet here holds it",
    Outcome.CHUCK: "No collet here holds it",
    Outcome.NOTHING: "Nothing holds it",
}


def _verdict(answer: Answer, best: Grip | None) -> str:
    """The verdict in large, and of a collet how much there is to spare."""
    words = _VERDICTS[answer.verdict]
    if isinstance(best, ColletGrip) and not best.chain.is_checked:
        words = f"{words}, not all checked"
    if not isinstance(best, ColletGrip):
        return "A chuck first" if answer.verdict is Outcome.MEASURE_FIRST else words
    if best.is_at_nominal:
        return f"{words} · exactly its marked size"
    if best.margin.nm == 0:
        return f"{words} · up to its limit, which it may reach"
    return words if answer.verdict is Outcome.MEASURE_FIRST else f"{words} · {measured(best.margin)} to spare"


def _bar(stock: Stock) -> str:
    if stock.grade is None:
        return ""
    out_of_round = f"; and {measured(stock.out_of_round)} out of round" if stock.out_of_round else ""
    low, high = measured(stock.band.smallest), measured(stock.band.largest)
    return f"Such bar may be {low} to {high}, {stock.grade.deviations} of nominal{out_of_round}."


def _blank(answer: Answer) -> Blank | None:
    if answer.verdict is not Outcome.BLANK or answer.leads_without_blank:
        return None
    piece = answer.blanks[0]
    return Blank(
        piece=piece,
        bore=size_of_work(answer.bore_to),
        seat=piece.mounts_in.code if piece.mounts_in is not None else "",
        pilot=nominal(piece.pilot) if piece.pilot is not None else "",
    )


def _lead(grip: Grip) -> Lead:
    is_between_centers = grip.method.is_on_centers
    reasons = "; ".join(grip.reasons) if is_between_centers else ""
    return Lead(
        piece=grip.piece,
        name=grip.name,
        where=grip.where,
        picture=window(grip) if isinstance(grip, ColletGrip) and not grip.is_bored else None,
        hint=_hint(grip),
        steps=tuple(_steps(grip)),
        is_of_a_lathe=grip.chain.lathe is not None,
        how_true=_how_true(grip),
        misses_tir=grip.meets_tir is False,
        doubt="" if grip.chain.is_checked else grip.chain.doubt,
        bar_goes_through={True: "yes", None: "not known", False: "no: short work only"}[grip.passes_through],
        reasons=f"{reasons[:1].upper()}{reasons[1:]}",
        cautions=grip.cautions,
        reserved=tuple(wanted_pieces(grip.pieces)),
    )


def _hint(grip: Grip) -> str:
    if not isinstance(grip, ColletGrip):
        return ""
    if grip.is_bored:
        return (
            "Bored here, and promised at that bore only. It runs true while it stays where it was bored; put in again, "
            "indicate it."
        )
    if grip.in_true_zone:
        return "Runs as marked."
    return "Outside the zone where it runs as marked: its run-out is not promised."


def _how_true(grip: Grip) -> HowTrue:
    total, off, known = grip.runout.total, grip.runout.axis_off, grip.runout.known
    if total is not None and not grip.in_true_zone:
        return HowTrue("not promised here", f"; {runout_text(total)} TIR at its marked size")
    if total is not None and off is not None:
        return HowTrue(f"{runout_text(total)} TIR", f", {grip.runout.basis}; axis off by {measured(off)}")
    if known.nm:
        return HowTrue(f"at least {runout_text(known)} TIR", "; the rest is not known")
    return HowTrue("not known")


def _steps(grip: Grip) -> Iterator[ChainStep]:
    """From the spindle outward."""
    parts = {part.name: part for part in grip.runout.parts}
    lathe = grip.chain.lathe
    if lathe is not None:
        nose = parts.get(f"{lathe.name} nose")
        yield ChainStep(_spindle(grip, lathe), "", _truth(nose) if nose else _uncounted(grip))
    for piece in grip.pieces:
        place = f"on {lathe.name}" if lathe and piece.mounted_on == lathe.id else piece.location
        place = "with you" if piece.is_with_asker else place
        name = piece.tag if isinstance(piece, ColletOnHand) else f"{piece.kind} {piece.tag}"
        yield ChainStep(name, place, _truth_of(piece, grip, parts), is_beside=piece.kind in _BESIDE)


def _spindle(grip: Grip, lathe: LatheOnHand) -> str:
    """The seat of the spindle that this way begins in: `Lathe 1 nose, D1-4`, `Lathe 1 headstock taper, MT5`."""
    first = next((piece for piece in grip.pieces if piece.kind != Kind.DRAWBAR), grip.piece)
    if lathe.headstock_taper is not None and first.mounts_on(lathe.headstock_taper):
        return f"{lathe.name} headstock taper, {lathe.headstock_taper.code}"
    return f"{lathe.name} nose, {lathe.nose.code}" if lathe.nose is not None else f"{lathe.name} nose"


def _uncounted(grip: Grip) -> str:
    return "removed by dialling in" if grip.method is Method.INDEPENDENT_CHUCK else "does not count"


def _truth_of(piece: Piece, grip: Grip, parts: dict[str, Part]) -> str:
    if piece.tag in parts:
        return _truth(parts[piece.tag])
    if piece is grip.piece and len(grip.runout.parts) == 1:
        return _truth(grip.runout.parts[0])
    if piece.kind == Kind.DRAWBAR:
        return "draws it tight"
    if piece.id == grip.piece.tir_in_holder:
        return f"in the reading of {grip.piece.tag}"
    return _uncounted(grip)


def _truth(part: Part) -> str:
    if part.tir is None:
        return "run-out not known"
    words = runout_text(part.tir)
    return words if part.basis is Basis.MEASURED else f"{words}, {part.basis}"


def _other_ways(answer: Answer, blank: Blank | None) -> list[Grip]:
    """The best by each way. The plan compares them all; here one of each will do, each with its cautions."""
    if blank is not None:
        ways: Iterable[Grip] = answer.grips
    else:
        shown = {grip.piece.id for grip in answer.grips}
        ways = [grip for grip in answer.fallbacks if grip.piece.id not in shown]
    by_method: dict[str, Grip] = {}
    for grip in ways:
        by_method.setdefault(grip.method, grip)
    return list(by_method.values())
