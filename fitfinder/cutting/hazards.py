"""What an operation warns of, from its own numbers; silent where nothing calls for it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from fitfinder.cutting.cut import IN_TAILSTOCK, INSIDE, Cut, CutSetup
from fitfinder.cutting.knurls import is_straight, tracking
from fitfinder.holding.rules.cautions import COMMON, Caution
from inventory.measures.length_words import in_unit, measured
from inventory.reference import holding, practice
from inventory.reference.cutting import Does

GEOMETRY = "geometry: circumference over pitch"


def of_cut(cut: Cut, setup: CutSetup) -> tuple[Caution, ...]:
    """The cautions of one operation."""
    return (
        *_speed(cut, setup),
        *_table_speed(cut),
        *_on_centers(cut, setup),
        *_parting(cut, setup),
        *_bar(cut),
        *_hole(cut),
        *_knurl(cut),
        *_thread(cut),
        *_taper(cut),
    )


def of_all(cuts: list[Cut], setup: CutSetup) -> tuple[Caution, ...]:
    """The cautions of a sheet, each once, and what holds for cutting at all last."""
    cautions = [caution for cut in cuts for caution in of_cut(cut, setup)]
    if setup.is_unbalanced and cuts:
        cautions.append(Caution("Unbalanced work: begin at the lowest speed, and stand out of its plane.", COMMON))
    if cuts:
        cautions.append(Caution("Chips: stop, then clear them with a hook or a brush, never by hand.", COMMON))
    return tuple(dict.fromkeys(cautions))


def _speed(cut: Cut, setup: CutSetup) -> Iterator[Caution]:
    mark = setup.lowest
    if mark is not None and cut.rpm is not None and cut.rpm > mark.rpm:
        yield Caution(
            f"{_called(cut)}: {cut.rpm} rpm is too fast. At most {mark.rpm} rpm, {mark.why}.",
            "marking on the piece",
        )


def _table_speed(cut: Cut) -> Iterator[Caution]:
    """A speed that was typed well above that of the table."""
    if cut.rpm is None or cut.table_rpm is None:
        return
    times = Fraction(cut.rpm, cut.table_rpm)
    if times > holding.value("cutting.speed_over"):
        yield Caution(
            f"{_called(cut)}: {cut.rpm} rpm is {_tenths(times)} times what the table gives: {cut.table_words}. "
            "Turn slower, or write its cutter and diameter.",
            COMMON,
        )


def _on_centers(cut: Cut, setup: CutSetup) -> Iterator[Caution]:
    """What is not done where a center or a mandrel holds the end."""
    if not setup.centers:
        return
    does, holds = f"{cut.does.called.capitalize()} {setup.centers}", setup.holds_the_end
    if cut.does is Does.PARTING:
        yield Caution(
            f"{does}: never. As the part comes off it jams the blade, climbs and is thrown. "
            "Part it in a chuck or a collet, or saw it off the lathe.",
            COMMON,
        )
    elif cut.does in IN_TAILSTOCK or cut.does in INSIDE:
        yield Caution(
            f"{does}: {holds} is in the way of the tool. Do it in a chuck or a collet, "
            "or in a chuck with the end in a steady rest.",
            COMMON,
        )
    elif cut.does in (Does.FACING, Does.GROOVING_FACE):
        yield Caution(
            f"{does}: not to the middle, where {holds} is. Stop before the tool meets it; "
            "to the middle it is faced in a chuck or a collet.",
            COMMON,
        )


def _parting(cut: Cut, setup: CutSetup) -> Iterator[Caution]:
    if cut.does is not Does.PARTING or setup.centers:
        return
    yield Caution(
        "Parting: close to where the work is gripped, plenty of oil, and a steady feed by feel: where it squeals or "
        "grabs, stop.",
        COMMON,
    )
    if setup.is_hollow and not cut.caught_by:
        yield Caution(
            "Parting a hollow part: it drops as it comes off. A rod in the tailstock, through its bore, catches it; "
            "never a hand.",
            COMMON,
        )
    if cut.diameter is not None and cut.stick_out is not None and cut.stick_out.nm * 2 < cut.diameter.nm:
        yield Caution(
            f"Parting {in_unit(cut.diameter)} takes a blade out by half of that; {in_unit(cut.stick_out)} does not "
            "reach the middle.",
            "geometry: half of the diameter",
        )


def _bar(cut: Cut) -> Iterator[Caution]:
    """A bar that stands out too far for its thickness."""
    if cut.does not in INSIDE or cut.bar is None or cut.stick_out is None:
        return
    figure = practice.stick_out(f"boring bar, {'carbide' if cut.is_carbide else 'steel'}")
    times = Fraction(cut.stick_out.nm, cut.bar.nm)
    if times > figure.most:
        yield Caution(
            f"{_called(cut)} stands out {_tenths(times)} times its thickness of {in_unit(cut.bar)}: over "
            f"{_tenths(figure.most)} a bar chatters. Shorter or thicker, lighter cuts.",
            figure.source,
        )


def _hole(cut: Cut) -> Iterator[Caution]:
    """A bar or tap goes into a hole that is larger than itself."""
    if cut.does in INSIDE and cut.bar is not None:
        room = holding.length("cutting.hole_room")
        needed = cut.bar + room
        if cut.hole is None:
            yield Caution(
                f"{_called(cut)} needs a hole first: {in_unit(needed)} at least, for a bar of {in_unit(cut.bar)} and "
                "its chips.",
                COMMON,
            )
        elif cut.hole < needed:
            yield Caution(
                f"{_called(cut)} of {in_unit(cut.bar)} does not get into a hole of {in_unit(cut.hole)}: drill "
                f"{in_unit(needed)} first.",
                COMMON,
            )
    elif cut.does in (Does.TAPPING, Does.REAMING) and cut.hole is None:
        yield Caution(f"{_called(cut)}: say which hole is drilled first.", COMMON)


def _knurl(cut: Cut) -> Iterator[Caution]:
    if cut.does is not Does.KNURLING or cut.diameter is None or cut.pitch is None:
        return
    knurl = tracking(cut.diameter, cut.pitch, cut.pattern)
    if not knurl.tracks:
        lean = "" if is_straight(cut.pattern) else " at 30°, as most angled wheels have them"
        yield Caution(
            f"This knurl does not track at {measured(cut.diameter)}: turn the blank to {measured(knurl.diameter)}, "
            f"which has {knurl.teeth} teeth{lean}.",
            GEOMETRY,
        )
    if cut.is_formed:
        yield Caution("A formed knurl presses hard and grows: hold up the end, much oil, the slowest speeds.", COMMON)


def _thread(cut: Cut) -> Iterator[Caution]:
    if cut.does in (Does.THREADING_OUTSIDE, Does.THREADING_INSIDE):
        yield Caution("Threading: a groove to run out into, the slowest speed that cuts, a hand on the lever.", COMMON)
    if cut.does is Does.TAPPING:
        yield Caution("Tapping: turn the spindle by hand, or in back gear; a tap that stops breaks.", COMMON)


def _taper(cut: Cut) -> Iterator[Caution]:
    if cut.does in IN_TAILSTOCK and cut.has_taper_shank:
        yield Caution(
            f"Wipe the taper of {cut.tool} and its socket, and seat it with one firm knock: loose it spins.", COMMON
        )


def _called(cut: Cut) -> str:
    return f"{cut.does.capitalize()} with {cut.tool}" if cut.tool else cut.does.capitalize()


def _tenths(number: Fraction) -> str:
    ones, tenth = divmod(round(number * 10), 10)
    return f"{ones}.{tenth}" if tenth else str(ones)
