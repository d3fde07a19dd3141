"""The center hole in the end of the work, and what it is drilled with.

The hole is drilled before anything overhangs: in the spindle where the work passes it, else with a steady near the end,
else on the bench. Common practice, and two shop treatises of long ago.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from fitfinder.holding.at_lathe import CribAtLathe
from fitfinder.holding.chains import Missing
from fitfinder.holding.job import Job
from fitfinder.holding.parts import NO_PARTS, Parts, Reason, SetupStep
from fitfinder.holding.pieces import CountedOnHand, Piece
from fitfinder.holding.rules import behind
from fitfinder.holding.rules.passage import hole_of
from fitfinder.holding.seats import away
from inventory.measures.length_words import in_unit
from inventory.measures.lengths import Length
from inventory.reference import holding
from inventory.reference.center_drills import (
    METRIC,
    CenterDrill,
    CenterHole,
    center_drills,
    center_hole_for,
    center_holes,
)
from inventory.reference.kinds import Kind
from inventory.reference.place_words import place_words

SHORT_OUT = 2
"""Diameters that stand out at most while an end is drilled in the spindle."""


def hole_in(end: Length) -> CenterHole | None:
    """The hole for an end of this size, its mouth inside of it; None for what is too thin for any."""
    # The inch guide begins at 3/16 in: below that the metric one goes on.
    hole = center_hole_for(end) or next(hole for hole in center_holes() if hole.form == METRIC)
    return hole if hole.hole < end else None


def too_thin(job: Job) -> str:
    """What is said of work that takes no hole."""
    return f"{in_unit(job.thickness)} is too thin for a center hole"


def drill_of(hole: CenterHole) -> CenterDrill | None:
    return next((drill for drill in center_drills() if (drill.form, drill.size) == (hole.form, hole.size)), None)


def drilled_with(hole: CenterHole | None) -> str:
    """` with No. 3, mouth 3/16 in`; empty where no hole is known."""
    return f" with {hole.name}, mouth {in_unit(hole.hole)}" if hole is not None else ""


def passes_spindle(job: Job, here: CribAtLathe, pieces: Iterable[Piece]) -> bool:
    """Whether the work is known to go into the spindle, through all that leads there, until its end can be drilled
    short, and shows no more behind than may be left unguarded."""
    lathe = here.lathe
    if lathe is None or lathe.spindle_bore is None or lathe.spindle_bore < job.circle or job.length is None:
        return False
    holes = [hole_of(piece, job.circle) for piece in pieces]
    if any(hole is None or hole < job.circle for hole in holes):
        return False
    inside, _ = behind.spindle_length(lathe)
    if inside is None:
        return True
    shows_anyway = job.stands_out is not None and job.length - job.stands_out > inside
    shows = job.length.nm - SHORT_OUT * job.thickness.nm - inside.nm
    return shows_anyway or shows <= holding.value("behind.say_up_to") * job.thickness.nm


def short_out(job: Job) -> Length:
    """How far the end stands out while it is drilled in the spindle."""
    return job.thickness * SHORT_OUT


def center_drill(here: CribAtLathe, hole: CenterHole | None) -> Parts:
    """The center drill from where it lies. It is missing where the shop counts it and has none left; where the shop
    counts others of its form only, somebody has to see that there is one."""
    counted = [one for one in here.center_drills if hole is not None and _is_of_form(one, hole)]
    if hole is None or not counted:
        return NO_PARTS
    of_size = [one for one in counted if _is_of_size(one, hole)]
    left = max(of_size, key=lambda one: one.count, default=None)
    if left is None:
        words = f"no center drill {hole.name} is counted here: see that there is one, or buy or borrow it"
        return Parts(reasons=(Reason(words),))
    where = f" in {place_words(left.location)}" if left.location else ""
    if not left.count:
        return Parts(missing=(Missing(f"no center drill {hole.name} is left{where}: buy or borrow one"),))
    if not _says_a_size(left):
        return NO_PARTS
    fetch = f"Fetch the center drill {hole.name}: {left.count} lie{'s' if left.count == 1 else ''}{where or ' here'}."
    return Parts(steps=(SetupStep(fetch, is_beforehand=True),))


_METRIC_NAME = re.compile(r"\bmm\b|\d[.,]\d|\bA\s?\d", re.ASCII)


def _is_of_form(counted: CountedOnHand, hole: CenterHole) -> bool:
    """Whether it is named as drills of this form are: inch ones have a number, metric ones the size of their pilot."""
    return bool(_METRIC_NAME.search(counted.name)) is (hole.form == METRIC)


def _says_a_size(counted: CountedOnHand) -> bool:
    return any(sign.isdigit() for sign in counted.name)


def _is_of_size(counted: CountedOnHand, hole: CenterHole) -> bool:
    """Whether its name says the size of the hole; one that says no size may be of any."""
    if not _says_a_size(counted):
        return True
    size = re.escape(hole.size).replace(r"\.", "[.,]")
    marked = r"(?:no\.?|#|nr\.?|size)\s*" if hole.form != METRIC else r"(?<![\d.,])"
    return bool(re.search(rf"{marked}{size}(?![\d.,/-])|(?<![\d.,/-]){size}$", counted.name, re.IGNORECASE))


def drill_chuck(here: CribAtLathe, hole: CenterHole | None) -> Parts:
    """The drill chuck for the tailstock, after the sleeves that it needs.

    It is missing where the shop keeps drill chucks as pieces and none of them serves, as it is with keys.
    """
    chucks = here.of_kind(Kind.DRILL_CHUCK)
    seat = here.lathe.tailstock_taper if here.lathe is not None else None
    if not chucks or here.lathe is None or seat is None:
        return NO_PARTS
    drill = drill_of(hole) if hole is not None else None
    shanked = [piece for piece in chucks if piece.mounts_in is not None]
    able = [piece for piece in shanked if drill is None or _takes(piece, drill.body)]
    ways = {piece: here.sleeves_to(piece, seat.code) for piece in able if here.is_free(piece)}
    seated = {piece: sleeves for piece, sleeves in ways.items() if not isinstance(sleeves, Missing)}
    chuck = here.best(seated)
    if chuck is None:
        why = f"no drill chuck for the {seat.code} tailstock of {here.lathe.name}"
        if drill is not None and shanked and not able:
            why = f"{why} takes {in_unit(drill.body)}, the body of center drill {drill.name}"
        elif not away(able):
            why = f"{why}: buy or borrow one"
        return Parts(missing=(Missing(why, away(able)),))
    return Parts(pieces=(*seated[chuck], chuck))


def _takes(chuck: Piece, shank: Length) -> bool:
    low, high = chuck.outside_smallest, chuck.outside_largest
    return low is None or high is None or low <= shank <= high
