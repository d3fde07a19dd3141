"""A small shop to plan in; each test says what it adds or takes away. Lengths are written as text."""

from msgspec.structs import replace

from fitfinder.holding.pieces import JawSet
from fitfinder.plan.efforts import Minutes
from fitfinder.plan.floor import Floor
from fitfinder.plan.job import job_from
from fitfinder.plan.plans import plan
from inventory.measures.lengths import parse
from tests.fitfinder import on_hand


def job(size="1", **texts):
    return job_from({"size": size, **{name: str(value) for name, value in texts.items()}})


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


def center(kind="live center", *, mount="MT3", **fields):
    return on_hand.piece(kind, mount=mount, **fields)


def dog(low="1/4", high="2", **fields):
    return on_hand.piece("lathe dog", outside=(low, high), **fields)


def faceplate(**fields):
    return on_hand.piece("faceplate", mount="D1-4", **fields)


def mandrel(low="0.4985", high="0.5025", **fields):
    return inside(on_hand.piece("mandrel", **fields), low, high)


def soft_jaws(chuck, low="1/2", high="4", **fields):
    return JawSet(chuck=chuck.id, kind="soft", outside=on_hand.reach(low, high, edge=""), **fields)


def floor(*pieces, lathes=None, jaw_sets=(), minutes=None, series=()):
    return Floor(
        crib=on_hand.crib(*pieces, lathes=(lathe(),) if lathes is None else lathes, series=tuple(series)),
        jaw_sets=tuple(jaw_sets),
        minutes=Minutes(minutes or {}),
    )


def way(method, asked, *pieces, **fields):
    """The entry of one method in the plan."""
    made = plan(asked, floor(*pieces, **fields))
    return next(entry for entry in made.ways if entry.method == method)
