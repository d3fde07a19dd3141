"""What bar passes on its way from the jaws to the rear end of the spindle: geometry, for Find and for the plan.

Holes come from the jaws inward: that of what holds the work, of each link that leads to it, of the spindle. Each begins
some way behind the front of the jaws, so that the part of a bar that lies inside meets only the first of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from fitfinder.holding.chains import Chain
from fitfinder.holding.job import Job
from fitfinder.holding.parts import Reason
from fitfinder.holding.pieces import CHUCK_KINDS, ColletOnHand, JawsOnHand, Piece
from fitfinder.holding.rules import bearings
from inventory.measures.length_words import in_unit, measured
from inventory.measures.lengths import Length
from inventory.reference import holding, practice
from inventory.reference.bodies import Dimension, bodies
from inventory.reference.kinds import Kind

NO_HOLE = Length(0)
_CLOSED = frozenset({Kind.SLEEVE, Kind.STEP_COLLET})
"""What no bar goes through unless somebody entered a hole."""


class Hole(Struct, frozen=True, gc=False):
    """One hole on the way. Its `size` is None where nobody entered it, and zero in what is solid; it `begins` so far
    behind the front of what holds the work, None where that is not known."""

    of: str
    size: Length | None
    begins: Length | None

    def lets(self, circle: Length) -> bool | None:
        """Whether a circle goes through; None where that is open."""
        return None if self.size is None else circle <= self.size

    @property
    def words(self) -> str:
        """`K-0081, 1-1/2 in`."""
        if self.size is None:
            return f"{self.of}, whose hole is not filled in"
        return f"{self.of}, {'which is solid' if self.size == NO_HOLE else f'{in_unit(self.size)}'}"


def holes(circle: Length, piece: Piece, chain: Chain, jaws: JawsOnHand | None = None) -> Iterator[Hole]:
    """From what holds the work to the rear end of the spindle, as a bar of this circle meets them."""
    front = bearings.of_piece(piece, jaws).length
    behind = _behind(piece, front)
    yield Hole(piece.tag, hole_of(piece, circle), front)
    for link in reversed(chain.links):
        yield Hole(link.tag, hole_of(link, circle), behind)
    if chain.lathe is not None:
        yield Hole(f"the spindle of {chain.lathe.name}", chain.lathe.spindle_bore, behind)


def passes(circle: Length, piece: Piece, chain: Chain) -> bool | None:
    """Whether a bar goes through all of it; None where that is open. Corners decide of hex and square."""
    answers = [hole.lets(circle) for hole in holes(circle, piece, chain)]
    if False in answers:
        return False
    return True if chain.is_checked and chain.lathe is not None and None not in answers else None


def why_not(job: Job, piece: Piece, chain: Chain, jaws: JawsOnHand | None = None) -> Reason | None:
    """Why a bar that is fed does not go through, or the part of another that is to lie inside."""
    inside = _inside(job)
    if inside is None and not job.is_fed:
        return None
    for hole in holes(job.circle, piece, chain, jaws):
        if hole.lets(job.circle) is not False:
            continue
        if job.is_fed:
            return Reason(f"{bar(job)} does not pass {hole.words}", needs=job.circle, has=hole.size)
        if inside is not None and hole.begins is not None and inside > hole.begins:
            return _stands_out(job, hole, inside, hole.begins)
    return None


def set_further_out(
    job: Job, piece: Piece, chain: Chain, jaws: JawsOnHand | None = None
) -> tuple[Job, tuple[Reason, ...]]:
    """Work that cannot lie so far inside as was asked, and is held all the same where it stands out freely: how far it
    stands out then, with what is said of it. Of a hole that nobody entered only what is said."""
    inside = None if job.is_fed else _inside(job)
    if inside is None:
        return job, ()
    met = [hole for hole in holes(job.circle, piece, chain, jaws) if _is_met(job, hole, inside)]
    closed = next((hole for hole in met if hole.lets(job.circle) is False), None)
    if closed is not None and (out := _free_out(job, closed)) is not None:
        words = f"{_not_as_asked(job, out)}: {bar(job)} does not pass {closed.words}"
        return replace(job, stick_out=out), (Reason(words, needs=job.circle, has=closed.size),)
    if closed is None and met and (out := _free_out(job, met[0])) is not None:
        words = f"whether {bar(job)} passes {met[0].of} is not known: if not, {_not_as_asked(job, out)}"
        return job, (Reason(words, needs=job.circle),)
    return job, ()


def _is_met(job: Job, hole: Hole, inside: Length) -> bool:
    """Whether the part that is to lie inside reaches a hole that it does not pass, or not for sure."""
    return hole.begins is not None and inside > hole.begins and not hole.lets(job.circle)


def _free_out(job: Job, hole: Hole) -> Length | None:
    """How far work that ends at this hole stands out; None where that is more than what needs no holding up."""
    if job.length is None or hole.begins is None:
        return None
    out = job.length - hole.begins
    return out if out.nm <= job.thickness.nm * practice.stick_out("chuck or collet").most else None


def _not_as_asked(job: Job, out: Length) -> str:
    assert job.stick_out is not None, "what lies inside follows from it"
    return f"it stands out {in_unit(out)}, not {in_unit(job.stick_out)}"


def doubts(job: Job, piece: Piece, chain: Chain, jaws: JawsOnHand | None = None) -> tuple[Reason, ...]:
    """The holes that nobody entered, where a bar has to go through them: what stands out freely anyway has not."""
    inside = _inside(job)
    if inside is None and not job.is_fed:
        return ()
    unknown = [hole for hole in holes(job.circle, piece, chain, jaws) if hole.lets(job.circle) is None]
    met = [
        hole
        for hole in unknown
        if job.is_fed or (inside is not None and _is_met(job, hole, inside) and _free_out(job, hole) is None)
    ]
    return tuple(Reason(f"whether {bar(job)} passes {hole.of} is not known", needs=job.circle) for hole in met)


def bar(job: Job) -> str:
    """The bar by what has to pass: flats are told with the corners that decide."""
    size = in_unit(job.stock.band.largest)
    if not job.is_flat_sided:
        return f"bar of {size}"
    return f"{job.shape} bar, {measured(job.circle)} across its corners,"


def chuck_length(chuck: Piece) -> Length | None:
    """From the nose to the face of the jaws, by the size of the chuck; None where that is not known."""
    across = chuck.body or chuck.outside_largest
    if chuck.kind not in CHUCK_KINDS or across is None:
        return None
    return Length(int(holding.value("bed.chuck_length_share") * across.nm))


def _inside(job: Job) -> Length | None:
    """How much lies inside of a bar that is to stand out by so much; None where that is not told."""
    if job.length is None or job.stick_out is None:
        return None
    return job.length - job.stick_out


def _stands_out(job: Job, hole: Hole, inside: Length, begins: Length) -> Reason:
    assert job.length is not None, "what lies inside follows from the length"
    out = job.length - begins
    return Reason(
        f"{bar(job)} does not pass {hole.words}: {in_unit(inside)} of it cannot lie inside, and it would stand out "
        f"{in_unit(out)}",
        needs=job.circle,
        has=hole.size,
    )


def hole_of(piece: Piece, circle: Length) -> Length | None:
    """The hole of one piece that decides for a bar of this circle; None where that is open, zero where it has none."""
    if piece.is_solid or (piece.kind in _CLOSED and piece.through is None):
        return NO_HOLE
    # A blank is bored as deep as somebody bored it.
    return piece.through if piece.kind == Kind.MACHINABLE_COLLET else piece.hole_for(circle)


def _behind(piece: Piece, front: Length | None) -> Length | None:
    """Where what holds the work ends and what it sits in begins."""
    if piece.kind in CHUCK_KINDS:
        length = chuck_length(piece)
        return None if length is None or front is None else front + length
    if isinstance(piece, ColletOnHand) and piece.size.length is not None:
        return piece.size.length
    return _length_of_series(piece.series or "")


@cache
def _length_of_series(code: str) -> Length | None:
    body = next((one for one in bodies() if one.code == code), None)
    figure = body.figure(Dimension.LENGTH) if body is not None else None
    return figure.value if figure is not None and isinstance(figure.value, Length) else None
