"""Who or what lifts what has to be lifted for a way: one person over the bed, two or a cradle, a hoist."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from fitfinder.holding.mechanics.weights import Weight, of_piece
from fitfinder.holding.parts import Act, Reason, SetupStep
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules.cautions import Caution
from inventory.measures import amounts
from inventory.reference import practice
from inventory.reference.lifting import Lift, alone
from inventory.reference.materials import Material


class Lifted(Struct, frozen=True, gc=False):
    """Something that is lifted now: `K-0081, which comes off first,`."""

    name: str
    weight: Weight

    @property
    def lift(self) -> Lift:
        return Lift.of(self.weight.ug)


def lifted(on: Iterable[Piece], off: Iterable[Piece], work: Weight | None) -> list[Lifted]:
    """What is put on the lathe, what comes off it first, and the work, as far as their weights are known: the heaviest
    first."""
    weighed = [Lifted(piece.tag, weight) for piece in on if (weight := of_piece(piece))]
    weighed += [Lifted(f"{piece.tag}, which comes off first,", weight) for piece in off if (weight := of_piece(piece))]
    if work is not None:
        weighed.append(Lifted("The work", work))
    return sorted(weighed, key=lambda one: -one.weight.ug)


def hardest(pieces: Iterable[Piece], work: Weight | None = None) -> Lift:
    """What the heaviest of these takes, as far as their weights are known."""
    weights = [*map(of_piece, pieces), work]
    return max([Lift.of(weight.ug) for weight in weights if weight is not None], default=Lift.ALONE)


def caution(things: Iterable[Lifted]) -> Caution | None:
    """All that is too heavy for one person, in one sentence; None where nothing is."""
    heavy = [one for one in things if one.lift is not Lift.ALONE]
    if not heavy:
        return None
    first, *others = heavy
    words = ", ".join(
        [
            f"{first.name} weighs {first.weight.words}",
            *(f"and {_within(one.name)} {one.weight.words}" for one in others),
        ]
    )
    limit, hoist = alone(), practice.caution("two people or a cradle").limit
    return Caution(
        f"{words}: not one person over the bed. {_by_whom(heavy, hoist)}Board on the ways, power isolated."
        f"{''.join(_asked(one) for one in heavy)}",
        f"working rule of {amounts.weight(limit.limit)} for one person reaching over the bed, {amounts.weight(hoist)} "
        f"for two; {limit.source}",
    )


def held_up(work: Weight | None) -> tuple[SetupStep, ...]:
    """What holds up work that nobody can hold until something grips it."""
    if work is None or Lift.of(work.ug) is not Lift.HOIST:
        return ()
    words = f"Hold the work up by a hoist until it is gripped: it weighs {work.words}."
    return (SetupStep(words, act=Act.HOLD_UP),)


def asked_material(work: Weight | None) -> tuple[Reason, ...]:
    """Asks for the material of work that one person would lift as steel and not in a heavier metal."""
    if work is None or not work.is_taken or Lift.of(work.ug) is not Lift.ALONE or not _may_differ(work):
        return ()
    return (Reason(f"{work.words} as steel; in brass or copper it would be more than one person lifts"),)


def _within(name: str) -> str:
    return f"{name[:1].lower()}{name[1:]}" if name == "The work" else name


def _by_whom(heavy: list[Lifted], hoist: Fraction) -> str:
    lifts = {one.lift for one in heavy}
    if lifts == {Lift.TWO}:
        return "Two people or a cradle. "
    if lifts == {Lift.HOIST}:
        return "A hoist. "
    return f"A hoist above {amounts.weight(hoist)}, for the rest two people or a cradle. "


def _asked(one: Lifted) -> str:
    """What would make the weight sure."""
    weight = one.weight
    if weight.is_about:
        return f" Of {one.name.partition(',')[0]} no weight is entered: look for its marking."
    if weight.is_taken and _may_differ(weight):
        return " Weighed as steel: tell the material if it is another."
    return ""


def _may_differ(weight: Weight) -> bool:
    """Whether the same work takes more or fewer to lift in another material."""
    return (
        len({Lift.of(weight.of(material).ug) for material in (Material.ALUMINIUM, Material.STEEL, Material.COPPER)}) > 1
    )
