"""Rests: a steady, fixed on the bed, holds up a free end; a follow rest, on the saddle, a shaft behind the tool.

Which of them does is a matter of the job. Two shop treatises of long ago, and common practice.
"""

from __future__ import annotations

from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job
from fitfinder.holding.parts import Act, Parts, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules.efforts import Effort
from fitfinder.holding.seats import away
from inventory.measures.display import now
from inventory.measures.length_words import in_unit
from inventory.reference.kinds import Kind


def by_a_steady(job: Job, here: CribAtLathe, words: str) -> Parts:
    """For a free end: no follow rest holds one."""
    steady = rest_of(job, here, Kind.STEADY_REST)
    reasons = (Reason(f"{words}: a steady holds up its free end"), *_spot(job))
    if isinstance(steady, Missing):
        return Parts(missing=(steady,), reasons=reasons, effort=Effort(set_up=here.minutes.of("steady rest")))
    steps = to_the_free_end(job, steady)
    return Parts(pieces=(steady,), reasons=reasons, steps=steps, effort=minutes_of(steady, here))


def along_it(job: Job, here: CribAtLathe, words: str) -> Parts:
    """For a shaft between its ends: follow rest behind the tool; a steady where the diameter changes under fingers."""
    follows = job.throw is None and job.taper is None
    kinds = (Kind.FOLLOW_REST, Kind.STEADY_REST) if follows else (Kind.STEADY_REST,)
    rests = [rest_of(job, here, kind) for kind in kinds]
    rest = next((one for one in rests if isinstance(one, Piece)), None)
    reasons = (Reason(f"{words}: a rest holds it up"), *_spot(job))
    if rest is None:
        missing = _no_rest(job, here, *kinds)
        return Parts(missing=(missing,), reasons=reasons, effort=Effort(set_up=here.minutes.of("steady rest")))
    step = _following(rest) if rest.kind == Kind.FOLLOW_REST else _at_the_middle(rest)
    return Parts(pieces=(rest,), reasons=reasons, steps=(step,), effort=minutes_of(rest, here))


def to_the_free_end(job: Job, steady: Piece) -> tuple[SetupStep, ...]:
    """Fingers are set where the work runs true, at the jaws, and carried out to its end."""
    if is_uneven(job):
        words = f"Put a cat-head on it near its end, or turn a spot there, and set the fingers of {steady.tag} to that."
        return (SetupStep(words, (steady,)),)
    return (
        SetupStep(
            f"Set {steady.tag}, the steady, close to what grips it, its fingers to the running work, with lubricant; "
            "lock them, stop, and slide it to the free end.",
            (steady,),
        ),
    )


def rest_of(job: Job, here: CribAtLathe, kind: Kind) -> Piece | Missing:
    """The best rest of this kind that is made for the lathe and takes the work."""
    reaching = _reaching(job, here, kind)
    return here.best(piece for piece in reaching if piece.is_usable) or _no_rest(job, here, kind)


def minutes_of(rest: Piece, here: CribAtLathe) -> Effort:
    name = "follow rest" if rest.kind == Kind.FOLLOW_REST else "steady rest"
    return Effort(set_up=here.minutes.of(name))


def is_uneven(job: Job) -> bool:
    """Whether no finger could run on it as it is."""
    return job.is_flat_sided or job.is_irregular or job.stock.is_rough


def _following(rest: Piece) -> SetupStep:
    return SetupStep(
        f"Start the cut {'25 mm' if now().is_metric else '1 in'} from the center, set the fingers of {rest.tag} to "
        "what was cut, lubricate, and then feed.",
        (rest,),
        Act.CUT,
    )


def _at_the_middle(rest: Piece) -> SetupStep:
    return SetupStep(
        f"Turn a spot in the middle, set the fingers of {rest.tag} to it, running and with lubricant; turn up to it, "
        "then reverse the work.",
        (rest,),
        Act.CUT,
    )


def _spot(job: Job) -> tuple[Reason, ...]:
    if not is_uneven(job):
        return ()
    return (Reason("a rest runs on a turned round, so turn one for its fingers first"),)


def _no_rest(job: Job, here: CribAtLathe, *kinds: Kind) -> Missing:
    what = "steady" if kinds == (Kind.STEADY_REST,) else "rest"
    name = here.lathe.name if here.lathe else "the lathe"
    turned = f", and the {in_unit(job.turned)} that it is turned to" if job.turned is not None else ""
    return Missing(f"no {what} of {name} takes {in_unit(job.circle)}{turned}", away(_reaching(job, here, *kinds)))


def _reaching(job: Job, here: CribAtLathe, *kinds: Kind) -> list[Piece]:
    return [piece for piece in here.of_kind(*kinds) if _is_of_this_lathe(piece, here) and _reaches(piece, job)]


def _is_of_this_lathe(piece: Piece, here: CribAtLathe) -> bool:
    return piece.belongs_to is None or (here.lathe is not None and piece.belongs_to == here.lathe.id)


def _reaches(piece: Piece, job: Job) -> bool:
    """As it is, and as it is turned to: a follow rest runs on what was cut, a steady on that in the second set-up."""
    low, high = piece.outside_smallest, piece.outside_largest
    least = job.thickness if job.turned is None else min(job.thickness, job.turned)
    return low is not None and high is not None and low <= least and job.circle <= high
