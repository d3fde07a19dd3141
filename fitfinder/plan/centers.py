"""Between centers, and by a finished bore on a mandrel or an expanding arbor."""

from __future__ import annotations

from dataclasses import dataclass, field

from msgspec.structs import replace

from fitfinder.holding import runout
from fitfinder.holding.chains import Chain
from fitfinder.holding.methods.chucks import typical_tir
from fitfinder.holding.pieces import CENTER_KINDS, CHUCK_KINDS, LatheOnHand, Piece
from fitfinder.holding.runout import Runout
from fitfinder.plan import cautions, limits, truth
from fitfinder.plan.efforts import Effort
from fitfinder.plan.floor import Floor, because, best, coming_off, fitting, keys_for, reached, sleeves_to, takes_bore
from fitfinder.plan.job import Job
from fitfinder.plan.support import between_centers as between
from fitfinder.plan.support import tailstock_center
from fitfinder.plan.truth import Regrip
from fitfinder.plan.ways import Way
from inventory.measures.lengths import named

MANDREL_KINDS = ("mandrel", "expanding arbor")


@dataclass(slots=True)
class _Drive:
    """What turns the work and centers its driven end, gathered piece by piece."""

    links: list[Piece] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    reasons: list[str] = field(default_factory=list)
    effort: Effort = Effort()
    chain: Chain | None = None


def between_centers(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="between centers", job=job, lathe=lathe)
    if why := _never_between(job) or limits.over_the_slide(job, lathe):
        return limits.cannot(start, why)
    drive = _drive(job, floor, lathe, dog_for=job)
    rest = between(job, floor, lathe)
    drive.links += rest.pieces
    drive.missing += rest.missing
    drive.effort += rest.effort
    run = runout.restarted("between centers", None if _is_doubtful(drive) else typical_tir("between centers"))
    reasons = [
        "both ends are center-drilled first; put back or turned round, it keeps its axis",
        "its ends carry it: no hole is drilled or bored in them this way",
        *rest.reasons,
    ]
    steps = [
        *drive.steps,
        f"Center-drill both ends, {_dogged(drive)}, and set the tailstock without play and without force.",
    ]
    steps += rest.steps
    if job.throw is not None:
        reasons.append("a second pair of center holes gives the throw")
        steps.append(f"Drill a second pair of centers {named(job.throw)} in from the first, both at one angle.")
    if job.taper is not None:
        reasons.append("a long taper is turned with the tailstock set over")
        steps.append("Set the tailstock over; bring it back with an indicator and a test bar afterwards.")
    if job.starts > 1:
        reasons.append(f"{job.starts} starts are indexed by the slots of the plate or the jaws")
    but = ["uneven work needs two ends that take a center hole"] if job.is_irregular else []
    return _finished(start, floor, drive, run, Regrip.RETURNS, drive.effort + _effort(floor), reasons, steps, but=but)


def _dogged(drive: _Drive) -> str:
    dog = next((piece for piece in drive.links if piece.kind == "lathe dog"), None)
    if dog is None:
        return "dog the work"
    return f"fasten the dog {dog.tag}{_from(dog)} to the work"


def _from(piece: Piece, lathe: LatheOnHand | None = None) -> str:
    """Where it is fetched from; empty for what is on the lathe or with the one who asks."""
    is_here = piece.is_with_asker or (lathe is not None and piece.mounted_on == lathe.id)
    return f" from {piece.location}" if piece.location and not is_here else ""


def _effort(floor: Floor) -> Effort:
    """The minutes of a part hold the drilling of its two center holes, which is done once: put back, it has them."""
    whole, holes = floor.minutes.of("between centers"), 2 * floor.minutes.of("center drilled")
    once = min(whole, holes)
    return Effort(per_part=whole - once, once=once, names=("between centers", "center drilled"))


def mandrel(job: Job, floor: Floor, lathe: LatheOnHand | None) -> Way:
    start = Way(method="mandrel", job=job, lathe=lathe)
    if why := _never_by_bore(job) or limits.over_the_slide(job, lathe):
        return limits.cannot(start, why)
    effort = Effort(per_part=floor.minutes.of("mandrel"), names=("mandrel",))
    arbors = floor.of_kind(*MANDREL_KINDS)
    reaching = [piece for piece in arbors if takes_bore(piece, job.bore)]
    usable = [piece for piece in reaching if piece.is_usable]
    seated = [piece for piece in usable if piece.mounts_in is not None]
    on_seat = next(
        ((piece, chain) for piece in seated for chain in [reached(piece, floor, lathe)] if isinstance(chain, Chain)),
        None,
    )
    if on_seat is not None:
        piece, chain = on_seat
        drive = _Drive(links=[*chain.links], chain=chain, effort=fitting(piece, chain, floor))
        run = runout.along(chain, piece, typical=None)
        return _by_bore(start, floor, piece, drive, run, Regrip.ADDS, effort)
    arbor = best((piece for piece in usable if piece.mounts_in is None), lathe)
    drive = _drive(job, floor, lathe, dog_for=None)
    if arbor is None:
        run = runout.restarted("between centers", typical_tir("between centers"))
        drive.missing.insert(0, _no_mandrel(job, arbors, reaching))
        return _finished(start, floor, drive, run, Regrip.RETURNS, drive.effort + effort, [], [])
    typical = None if _is_doubtful(drive) else typical_tir("between centers")
    own = runout.Part(arbor.tag, arbor.tir, runout.MEASURED if arbor.tir is not None else runout.UNKNOWN)
    centers = runout.Part("between centers", typical, runout.TYPICAL if typical is not None else runout.UNKNOWN)
    return _by_bore(start, floor, arbor, drive, Runout.of(centers, own), Regrip.RETURNS, effort)


def _by_bore(start: Way, floor, arbor: Piece, drive: _Drive, run: Runout, regrip: Regrip, effort: Effort) -> Way:
    drive.links.append(arbor)
    reasons = [f"held by its bore of {named(start.job.bore)} in: what is turned runs true to the bore"]
    if arbor.kind == "expanding arbor":
        seat = [
            f"Wipe bore and arbor, slide the work onto {arbor.tag}, and expand it evenly until the work does not turn.",
            "Cut lightly: only friction drives the work.",
        ]
    else:
        seat = [
            f"Wipe bore and mandrel, a film of oil, and press the work onto {arbor.tag} from the small end.",
            "Cut toward the large end of the mandrel, lightly: only friction drives the work.",
        ]
    steps = [*drive.steps, *seat]
    return _finished(start, floor, drive, run, regrip, drive.effort + effort, reasons, steps, variant=arbor.tag)


def _finished(start, floor, drive: _Drive, run, regrip, effort, reasons, steps, *, variant: str = "", but=()) -> Way:
    job = start.job
    told = truth.words(job, regrip, run)
    keys, without_key = keys_for(drive.links, floor, start.lathe)
    way = replace(
        start,
        variant=variant,
        pieces=tuple(dict.fromkeys([*drive.links, *keys])),
        off=coming_off(drive.links, floor, start.lathe),
        missing=(*drive.missing, *without_key),
        but=tuple(but),
        doubts=(drive.chain.doubt,) if drive.chain is not None and not drive.chain.is_checked else (),
        runout=run,
        regrip=regrip,
        effort=effort,
        reasons=tuple(word for word in (*reasons, *drive.reasons, told) if word),
        steps=tuple(steps),
    )
    return replace(way, cautions=cautions.for_way(way, None, floor))


def _never_between(job: Job) -> str:
    if job.is_fed:
        return "bar that is fed through cannot stand between centers"
    if job.shape == "tube":
        return "a tube has no center holes: plug both ends first"
    if job.bore is not None:
        return "its bore is where the center holes would be: hold it by the bore, or plug it"
    return ""


def _never_by_bore(job: Job) -> str:
    if job.bore is None:
        return "it has no finished bore to be held by"
    if job.is_fed:
        return "bar that is fed through cannot sit on a mandrel"
    return "a mandrel holds on the axis of the bore: no throw" if job.throw is not None else ""


def _no_mandrel(job: Job, arbors: list[Piece], reaching: list[Piece]) -> str:
    return f"no mandrel or expanding arbor for a bore of {named(job.bore)} in{because(reaching)}"


def _is_doubtful(drive: _Drive) -> bool:
    """A worn center without a reading: nobody knows by how much."""
    return any(
        piece.kind in (*CENTER_KINDS, "bull-nose center") and piece.condition == "worn" and piece.tir is None
        for piece in drive.links
    )


def _drive(job: Job, floor: Floor, lathe: LatheOnHand | None, *, dog_for: Job | None) -> _Drive:
    """Faceplate and spindle center, else a soft center turned on scrap in a chuck; the dog; the tailstock center."""
    drive = _Drive()
    if lathe is None or lathe.nose is None:
        drive.missing.append("the spindle nose is not described")
        return drive
    head = _head(floor, lathe)
    plate = _seated(floor.of_kind("faceplate"), floor, lathe)
    if not isinstance(head, str) and plate is not None:
        _by_plate(drive, floor, lathe, plate, head)
        taken = head
    else:
        _by_chuck(drive, floor, lathe, without="faceplate" if plate is None else head)
        taken = []
    _dog(drive, floor, lathe, dog_for)
    found = tailstock_center(replace(job, shape="round"), floor, lathe, but=taken)
    if isinstance(found, str):
        drive.missing.append(found)
    else:
        drive.links += found
        tail = found[-1]
        if tail.kind != "live center":
            drive.steps.append(f"Put lubricant on {tail.tag}, and look at it again once it is warm.")
    return drive


def _by_plate(drive: _Drive, floor: Floor, lathe: LatheOnHand, plate: tuple[Piece, Chain], head) -> None:
    piece, drive.chain = plate
    drive.links += [*drive.chain.links, piece, *head]
    drive.effort += fitting(piece, drive.chain, floor)
    drive.reasons.append(f"{head[-1].tag} in the headstock, {piece.tag} drives the dog")
    center = f"{head[-1].tag}{_from(head[-1], lathe)}"
    drive.steps.append(f"Wipe the headstock taper, seat {center}, and see that it does not swing.")


def _by_chuck(drive: _Drive, floor: Floor, lathe: LatheOnHand, *, without: str) -> None:
    chuck = _seated(floor.of_kind(*CHUCK_KINDS), floor, lathe)
    if chuck is None:
        drive.missing.append(f"no {without}, and no chuck to turn a soft center in, for the nose of {lathe.name}")
        return
    if without != "faceplate":
        drive.reasons.append(f"no {without}")
    piece, drive.chain = chuck
    drive.links += [*drive.chain.links, piece]
    drive.effort += fitting(piece, drive.chain, floor)
    drive.reasons.append(f"a 60 degree point is turned on scrap in {piece.tag}; a jaw drives the dog")
    drive.steps.append(
        f"Grip scrap in {piece.tag} and turn a 60 degree point: compound at 30 degrees. It runs true as long as "
        "nothing moves in the chuck; gripped again, it is cut again."
    )


def _seated(pieces, floor: Floor, lathe: LatheOnHand) -> tuple[Piece, Chain] | None:
    ways = {}
    for piece in pieces:
        chain = reached(piece, floor, lathe) if piece.is_usable and piece.mounts_in is not None else ""
        if isinstance(chain, Chain):
            ways[piece] = chain
    found = best(ways, lathe)
    return (found, ways[found]) if found is not None else None


def _head(floor: Floor, lathe: LatheOnHand) -> list[Piece] | str:
    """A dead center for the headstock taper after the sleeves that it needs, or what is missing after “no”."""
    if lathe.headstock_taper is None:
        return "spindle center"
    taper = lathe.headstock_taper.code
    usable = [
        piece
        for piece in floor.of_kind("dead center")
        if piece.is_usable and piece.mounts_in is not None and piece.mounted_on in (None, lathe.id)
    ]
    direct = best((piece for piece in usable if piece.mounts_in.code == taper), lathe)
    if direct is not None:
        return [direct]
    tried = [(sleeves_to(piece, taper, floor, lathe), piece) for piece in usable]
    sleeved = [(sleeves, piece) for sleeves, piece in tried if not isinstance(sleeves, str)]
    if sleeved:
        sleeves, piece = min(sleeved, key=lambda pair: (len(pair[0]), pair[1].condition != "good", pair[1].tag))
        return [*sleeves, piece]
    lacking = next((f": {sleeves}" for sleeves, _ in tried), "")
    return f"spindle center for the {taper} headstock{lacking}"


def _dog(drive: _Drive, floor: Floor, lathe: LatheOnHand, job: Job | None) -> None:
    """The dog for the work, judged by its corners; with a mandrel the shop's smallest that is in use."""
    dogs = [
        piece
        for piece in floor.of_kind("lathe dog")
        if piece.outside_smallest is not None and piece.outside_largest is not None
    ]
    if job is not None:
        dogs = [piece for piece in dogs if piece.outside_smallest <= job.circle <= piece.outside_largest]
    dog = best((piece for piece in dogs if piece.is_usable), lathe)
    if dog is not None:
        drive.links.append(dog)
        return
    size = f" for {named(job.circle)} in" if job is not None else ""
    drive.missing.append(f"no lathe dog{size}{because(dogs)}")
