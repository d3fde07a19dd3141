"""The second set-up where it grips what the first one turned: another size, and a finished surface."""

from __future__ import annotations

from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Chain, Missing
from fitfinder.holding.collets import collet_choice
from fitfinder.holding.collets.collet_grips import ColletGrip
from fitfinder.holding.job import Job
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import CHUCK_KINDS, COLLET_KINDS, ColletOnHand, JawsOnHand, Piece
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.rules.grip_length import NOTHING_FOUND, GripCheck
from fitfinder.holding.stock import Band, Stock, StockShape
from fitfinder.holding.verdicts import Reach, Verdict
from fitfinder.holding.way import Hold
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference.kinds import JawKind
from inventory.reference.place_words import place_words

UNTOLD = Reason("the second set-up grips what was turned: tell its diameter, for the collet that it takes")
UNTOLD_BORE = Reason("the second set-up grips what was turned: tell its diameter, as something is bored to it")
SHIM = SetupStep(
    "In the second set-up the jaws close on finished work: soft shim under them, and an indicator, as a shim adds its "
    "own error."
)


def in_collet(job: Job, piece: Piece, chain: Chain, here: CribAtLathe) -> GripCheck:
    """What it takes to hold the turned diameter in a collet after the bar was held in this one."""
    if not _grips_turned(job):
        return NOTHING_FOUND
    if job.turned is None:
        return GripCheck(untold=(UNTOLD,))
    size = in_unit(job.turned)
    if isinstance(piece, ColletOnHand) and _takes(piece.size.reach, job.turned):
        return GripCheck(Parts(reasons=(Reason(f"{piece.tag} holds it as turned to {size}, too"),)))
    collet = _collet_for(job.turned, chain, here)
    if collet is None:
        return _in_blank(job.turned, piece, here)
    place = f" from {place_words(collet.piece.location)}" if collet.piece.location else ""
    change = SetupStep(
        f"For the second set-up change to {collet.piece.tag}{place}, which holds {size}.", (collet.piece,), Act.SEAT
    )
    return GripCheck(Parts(pieces=(collet.piece,), steps=(change,)))


def _in_blank(turned: Length, piece: Piece, here: CribAtLathe) -> GripCheck:
    """A blank of the same series, bored to what it is turned to; else the collet is missing."""
    size = in_unit(turned)
    blank = next((one for one in here.blanks(_round(turned)) if one.series == piece.series and one is not piece), None)
    if blank is None:
        return GripCheck(Parts(missing=(Missing(f"a collet for {size}, what it is turned to"),)))
    bore = SetupStep(f"For the second set-up bore {blank.tag} in place to {size}.", (blank,), Act.SEAT)
    effort = Effort(fit=here.minutes.of("machinable collet bored"))
    uses_up = Reason(f"no collet here holds the {size} that it is turned to: {blank.tag} is bored for it")
    return GripCheck(Parts(pieces=(blank,), steps=(bore,), effort=effort), against=(uses_up,))


def in_jaws(job: Job, chuck: Piece, reach: Reach | None, here: CribAtLathe) -> GripCheck:
    """What it takes to hold the turned diameter in hard jaws."""
    if not _grips_turned(job):
        return NOTHING_FOUND
    shim = Parts(steps=(SHIM,))
    if job.turned is None or reach is None or _takes(reach, job.turned):
        return GripCheck(shim)
    reaching = (one for one in _jaws_of(chuck, here) if one.outside is not None and _takes(one.outside, job.turned))
    other = next(reaching, None)
    size = f"{in_unit(job.turned)}, what it is turned to"
    if other is None:
        return GripCheck(shim + Parts(missing=(Missing(f"jaws of {chuck.tag} for {size}"),)))
    put_in = SetupStep(f"For the second set-up put the {other.kind} jaws in {chuck.tag}: they hold {size}.", (chuck,))
    return GripCheck(Parts(steps=(put_in,)) + shim)


def bored(job: Job, jaws: JawsOnHand | None, here: CribAtLathe) -> GripCheck:
    """What it takes to hold the turned diameter in soft jaws, or in a bushing where there are no such jaws."""
    if not _grips_turned(job):
        return NOTHING_FOUND
    if job.turned is None:
        return GripCheck(untold=(UNTOLD_BORE,))
    size = in_unit(job.turned)
    if jaws is None:
        return GripCheck(Parts(reasons=(Reason(f"for the second set-up another bushing, bored to {size}"),)))
    others = [one for one in here.jaw_sets if one.kind == JawKind.SOFT and one.id != jaws.id and not one.why_not]
    if not any(one.outside is not None and _takes(one.outside, job.turned) for one in others):
        # Those that were bored to the bar have a bore that only ever opens.
        words = f"a second set of soft jaws, to be bored to {size}, what it is turned to"
        return GripCheck(Parts(missing=(Missing(words),)))
    return GripCheck(Parts(reasons=(Reason(f"for the second set-up other soft jaws, bored to {size}"),)))


def checked(job: Job, hold: Hold, here: CribAtLathe, *, is_bored: bool) -> GripCheck:
    """What the second set-up takes with what held the first; one that is held in its bore is held there again."""
    piece = hold.piece
    if piece.kind in COLLET_KINDS:
        return in_collet(job, piece, hold.chain, here)
    if is_bored:
        return bored(job, hold.jaws, here)
    return in_jaws(job, piece, hold.reach, here) if piece.kind in CHUCK_KINDS and not hold.is_inside else NOTHING_FOUND


def turned_stock(job: Job) -> Stock | None:
    """What the second set-up grips, as stock; None where that is not told."""
    if job.turned is None:
        return None
    return _round(job.turned)


def _grips_turned(job: Job) -> bool:
    return job.is_on_turned and job.setups > 1


def _takes(reach: Reach, size: Length) -> bool:
    return reach.smallest <= size <= reach.largest


def _jaws_of(chuck: Piece, here: CribAtLathe) -> list[JawsOnHand]:
    return [one for one in here.jaw_sets if one.chuck == chuck.id and not one.why_not and one.kind != JawKind.SOFT]


def _collet_for(turned: Length, chain: Chain, here: CribAtLathe) -> ColletGrip | None:
    """The best collet of the turned size that goes into what held the bar."""
    stock = _round(turned)
    grips, _ = collet_choice.collet_grips(stock, here.crib.collets, here.routes, asked=None)
    sure = (grip for grip in grips if grip.verdict is not Verdict.MEASURE_FIRST)
    return next((grip for grip in sure if grip.chain.links == chain.links), None)


def _round(size: Length) -> Stock:
    return Stock(shape=StockShape.ROUND, band=Band(size, size), read_as=f"{in_unit(size)} round, turned")
