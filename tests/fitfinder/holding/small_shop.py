"""A small shop to plan in; each test says what it adds or takes away. Lengths are written as text."""

from fractions import Fraction

from msgspec.structs import replace

from fitfinder.holding.at_lathe import PlanCrib
from fitfinder.holding.pieces import JawsOnHand
from fitfinder.holding.rules.efforts import Minutes
from fitfinder.plan import sheet
from fitfinder.plan.job_texts import job_from
from fitfinder.plan.plan import plan
from inventory.measures.lengths import Length, exact, parse
from inventory.reference.kinds import JawKind, Kind
from tests.fitfinder import on_hand

MINUTES = {
    "universal chuck": Fraction(1), "faceplate": Fraction(40),
    "independent 4-jaw, dialled in": Fraction(5), "independent 4-jaw, next part": Fraction(5),
    "packing under one jaw, first part": Fraction(8), "packing under one jaw, next part": Fraction(3),
    "collet": Fraction(1, 2), "collet change": Fraction(2), "closer fit": Fraction(10), "mandrel": Fraction(4),
    "two centers drilled": Fraction(6), "dog on and off": Fraction(1), "center drilled": Fraction(1),
    "center laid out and drilled on the bench": Fraction(5),
    "collet, closed by a nut or a drawbar": Fraction(3, 2), "faceplate, with a locating ring": Fraction(10),
    "soft center turned": Fraction(5), "follow rest": Fraction(5), "soft jaws turned": Fraction(25),
    "hoist, to change what is heavy": Fraction(10),
    "machinable collet bored": Fraction(15), "split bushing made": Fraction(30), "steady rest": Fraction(15),
    "chuck change, camlock": Fraction(5), "chuck change, threaded": Fraction(8),
}  # fmt: skip
"""What each step takes in this shop, whatever common practice says."""


def job(size="1", **texts):
    return job_from({"size": size, **{name: str(value) for name, value in texts.items()}})


def inches(number, more="0"):
    """So many inches, a whole number or a fraction, and a little more."""
    return exact(Length.inches(Fraction(number)) + Length.inches(more))


def standing_out(diameters, more="0"):
    """Work of 1 in, gripped by 1 in, that stands out so many diameters and a little more."""
    return job("1", length=inches(diameters + 1, more))


def lathe(name="Lathe 1", *, bed="13", slide="8", centers="40", rpm=2000, **fields):
    return replace(
        on_hand.lathe(name, **fields),
        swing_over_bed=on_hand.length(bed),
        swing_over_slide=on_hand.length(slide),
        between_centers=on_hand.length(centers),
        fastest_rpm=rpm,
    )


def inside(piece, low, high):
    return replace(piece, inside_smallest=parse(low), inside_largest=parse(high))


def center(kind=Kind.LIVE_CENTER, *, mount="MT3", **fields):
    return on_hand.piece(kind, mount=mount, **fields)


def dog(low="1/4", high="2", **fields):
    return on_hand.piece(Kind.LATHE_DOG, outside=(low, high), **fields)


def faceplate(**fields):
    return on_hand.piece(Kind.FACEPLATE, mount="D1-4", **fields)


def mandrel(low="0.4985", high="0.5025", **fields):
    return inside(on_hand.piece(Kind.MANDREL, **fields), low, high)


def soft_jaws(chuck, low="1/2", high="4", **fields):
    return JawsOnHand(chuck=chuck.id, kind=JawKind.SOFT, outside=on_hand.reach(low, high, edge=""), **fields)


CENTERED = (
    faceplate(tag="H-1"),
    center(Kind.DEAD_CENTER, mount="MT5", tag="N-1"),
    dog(tag="D-1"),
    center(tag="N-2"),
)
"""All that it takes to work between centers."""


def crib(*pieces, lathes=None, jaw_sets=(), bored=(), minutes=None, series=(), center_drills=()):
    return PlanCrib(
        crib=on_hand.crib(*pieces, lathes=(lathe(),) if lathes is None else lathes, series=tuple(series)),
        jaw_sets=tuple(jaw_sets),
        bored=tuple(bored),
        minutes=Minutes(MINUTES | (minutes or {})),
        center_drills=tuple(center_drills),
    )


def planned(asked, *pieces, **fields):
    return plan(asked, crib(*pieces, **fields))


def way_by(method, asked, *pieces, **fields):
    """The entry of one method in the plan."""
    return next(entry for entry in planned(asked, *pieces, **fields).ways if entry.method == method)


def lead(asked, *pieces, **fields):
    return planned(asked, *pieces, **fields).lead


def words(values):
    """Reasons, or what is missing, as they are read."""
    return tuple(map(str, values))


def steps(found):
    """What is done in this way, as it is read."""
    return [step.do for step in sheet.steps(found)]
