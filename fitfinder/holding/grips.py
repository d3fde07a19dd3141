"""One way to hold the stock with what is on hand, and what can be said of it."""

from __future__ import annotations

from msgspec import Struct

from fitfinder.holding import runout
from fitfinder.holding.cautions import Caution
from fitfinder.holding.chains import Chain
from fitfinder.holding.pieces import BORED_KIND, Piece
from fitfinder.holding.stock import Band, Stock
from fitfinder.holding.verdicts import Fit, Reach, Verdict
from inventory.measures.lengths import Length, nominal


class Grip(Struct, frozen=True, kw_only=True, gc=False):
    """The pieces from spindle to work, the verdict, and how truly it runs.

    `margin` is signed, to the nearer limit. `meets_tir` is None where it is open. `bar` is the circle that has to go
    through, None where nothing is to.
    """

    piece: Piece
    method: str
    reach: Reach
    verdict: Verdict
    margin: Length
    in_true_zone: bool
    chain: Chain
    runout: runout.Runout
    meets_tir: bool | None
    bar: Length | None
    held: Band
    held_on: str
    told: tuple[str, ...] | None = None
    cautions: tuple[Caution, ...] = ()

    @property
    def reasons(self) -> tuple[str, ...]:
        """What speaks for this way and against it; of a collet put into words only where they are asked for."""
        return _collet_reasons(self) if self.told is None else self.told

    @property
    def passes_through(self) -> bool | None:
        """Whether the bar goes through every link, None where that is open; corners decide for hex and square."""
        return None if self.bar is None else passes(self.bar, self.piece, self.chain)

    @property
    def nominal(self) -> Length | None:
        return self.piece.size.nominal if self.piece.size else None

    @property
    def name(self) -> str:
        """The way in a few words: `3/4 round, 5C`, `Universal chuck, 3 jaws`, `Between centers`."""
        size = self.piece.size
        if size is not None:
            bored = ", bored blank" if self.piece.kind == BORED_KIND else ""
            return f"{nominal(size.nominal)} {size.shape}, {size.series}{bored}"
        jaws = f", {self.piece.jaws} jaws" if self.piece.jaws else ""
        return f"{self.method.capitalize()}{jaws}"

    @property
    def tir_words(self) -> str:
        """How truly it runs, for a list; the number is not given where it is not promised."""
        if self.runout.total is None:
            words = "TIR not known"
        elif not self.in_true_zone:
            words = "TIR not promised at this size"
        else:
            words = f"{self.runout.total.inch_text} in TIR, {self.runout.basis}"
        if self.meets_tir is None:
            return words
        return f"{words}, {'meets' if self.meets_tir else 'misses'} what you asked"

    @property
    def is_mounted(self) -> bool:
        """Whether the piece is on the lathe of this way already."""
        return self.chain.lathe is not None and self.piece.mounted_on == self.chain.lathe.id

    @property
    def where(self) -> str:
        """Where the piece is now, which is not always its drawer; empty where nobody wrote it down."""
        if self.is_mounted:
            return f"on {self.chain.lathe.name}"
        return "with you" if self.piece.is_with_asker else self.piece.location

    @property
    def is_at_nominal(self) -> bool:
        """Whether the stock measures just what is marked on the collet."""
        return self.held.smallest == self.held.largest == self.nominal

    @property
    def tags(self) -> tuple[str, ...]:
        return (*(link.tag for link in self.chain.links), self.piece.tag)

    @property
    def steps(self) -> tuple[Step, ...]:
        """From the spindle outward: what each link is called, where it is, and what is known of its run-out."""
        parts = {part.name: part for part in self.runout.parts}
        steps = []
        lathe = self.chain.lathe
        if lathe is not None:
            nose = parts.get(f"{lathe.name} nose")
            steps.append(Step(self._spindle, "", _truth(nose) if nose else self._uncounted))
        for piece in (*self.chain.links, self.piece):
            place = f"on {lathe.name}" if lathe and piece.mounted_on == lathe.id else piece.location
            place = "with you" if piece.is_with_asker else place
            what = "" if piece.size else f"{piece.kind} "
            steps.append(Step(f"{what}{piece.tag}", place, self._truth_of(piece, parts)))
        return tuple(steps)

    @property
    def _spindle(self) -> str:
        """The seat of the spindle that this way begins in: `Lathe 1 nose, D1-4`, `Lathe 1 headstock taper, MT5`."""
        lathe = self.chain.lathe
        first = next((piece for piece in (*self.chain.links, self.piece) if piece.kind != "drawbar"), self.piece)
        seat = first.mounts_in.code if first.mounts_in else ""
        if lathe.headstock_taper is not None and seat == lathe.headstock_taper.code:
            return f"{lathe.name} headstock taper, {seat}"
        return f"{lathe.name} nose, {lathe.nose.code}" if lathe.nose is not None else f"{lathe.name} nose"

    @property
    def _uncounted(self) -> str:
        return "removed by dialling in" if self.method == "independent chuck" else "does not count"

    def _truth_of(self, piece: Piece, parts: dict[str, runout.Part]) -> str:
        if piece.tag in parts:
            return _truth(parts[piece.tag])
        if piece is self.piece and len(self.runout.parts) == 1:
            return _truth(self.runout.parts[0])
        if piece.kind == "drawbar":
            return "draws it tight"
        if piece.id == self.piece.tir_in_holder:
            return f"in the reading of {self.piece.tag}"
        return self._uncounted


class Step(Struct, frozen=True, gc=False):
    """One link as it is told: its name, where it is now, and what is known of its run-out."""

    name: str
    place: str
    truth: str


def _truth(part: runout.Part) -> str:
    if part.tir is None:
        return "run-out not known"
    words = f"{part.tir.inch_text} in"
    return words if part.basis == runout.MEASURED else f"{words}, {part.basis}"


def collet_grip(stock: Stock, piece: Piece, chain: Chain, fit: Fit, *, asked: Length | None) -> Grip:
    """Stock in a collet; `fit` is how its size fits it, by its flats or, square and hex stock in a round one, by its
    corners. It is the same for all pieces of the size."""
    size = piece.size
    run = runout.along(chain, piece, typical=size.typical_tir)
    if piece.kind == BORED_KIND and piece.tir is None:
        run = runout.restarted(f"{piece.tag}, bored in place", None)
    return Grip(
        piece=piece,
        method="collet",
        reach=size.reach,
        verdict=fit.verdict,
        margin=fit.margin,
        in_true_zone=fit.in_true_zone,
        chain=chain,
        runout=run,
        meets_tir=_meets(run, asked, fit.in_true_zone),
        bar=stock.across_corners,
        held=fit.band,
        held_on=stock.shape,
    )


def _meets(run: runout.Runout, asked: Length | None, in_true_zone: bool) -> bool | None:
    """Outside the true zone the marked run-out is not promised: it can be known to miss, never to meet."""
    meets = run.meets(asked)
    return meets if in_true_zone or not meets else None


def passes(needs: Length, piece: Piece, chain: Chain) -> bool | None:
    """Whether a circle of this size goes through every link, None where that is open."""
    is_known = chain.is_checked
    for link in chain.links:
        if link.is_solid or link.kind == "sleeve":
            return False
    holes = [piece.hole_for(needs), chain.lathe.spindle_bore if chain.lathe else None]
    for hole in (*holes, *[link.through for link in chain.links]):
        if hole is None:
            is_known = False
        elif hole.nm < needs.nm:
            return False
    return True if is_known else None


def _collet_reasons(grip: Grip) -> tuple[str, ...]:
    piece, chain = grip.piece, grip.chain
    reasons = [f"grips {piece.size.reach.smallest.inch_text} to {piece.size.reach.largest.inch_text} in"]
    if grip.held_on != piece.size.shape:
        reasons.append(f"a make-do: only the corners of the {grip.held_on} touch")
    if not grip.in_true_zone:
        reasons.append("outside the zone where it runs as marked: the run-out is not promised")
    if piece.condition == "worn":
        reasons.append("worn" if piece.tir is not None else "worn, without a reading")
    reasons += worn_links(chain)
    reasons += marked_speed(chain, piece)
    if not chain.is_checked:
        reasons.append(chain.doubt)
    if piece.is_with_asker:
        reasons.append("you have it")
    if piece.kind == BORED_KIND:
        reasons.append(
            "bored here, and promised at that bore only: it runs true while it stays where it was bored; "
            "put in again, indicate it"
        )
    unknown = [part.name for part in grip.runout.parts if part.tir is None]
    if unknown:
        reasons.append(f"run-out not known of {', '.join(unknown)}")
    return tuple(reasons)


def worn_links(chain: Chain) -> list[str]:
    """A sentence for each worn piece on the way to the work."""
    return [f"{link.tag} on the way is worn" for link in chain.links if link.condition == "worn"]


def marked_speed(chain: Chain, piece: Piece) -> list[str]:
    """The lowest marked maximum of the chain, where one is known."""
    marked = [(link.max_rpm, link.tag) for link in (*chain.links, piece) if link.max_rpm is not None]
    return [f"{min(marked)[1]} is marked {min(marked)[0]} rpm at most"] if marked else []
