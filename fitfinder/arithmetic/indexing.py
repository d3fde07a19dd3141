"""Threads of several starts by what there is to count on: the jaws of a chuck, the slots of a plate, a gear's teeth."""

from __future__ import annotations

from fitfinder.arithmetic.frame import Key, Sum, SumOutcome, Values
from fitfinder.arithmetic.quantities import Measure
from fitfinder.arithmetic.sketches import Sketch, around, circle, line, words

MOST_DRAWN = 60


def possible_starts(positions: int) -> list[int]:
    """The numbers of starts that equally spaced positions can index: its divisors, the smallest first."""
    return [number for number in range(1, positions + 1) if positions % number == 0]


def step(positions: int, starts: int) -> int | None:
    """How many positions to move on for each start; None where these positions cannot index so many."""
    return None if positions % starts else positions // starts


def index_sequence(positions: int, starts: int) -> list[int]:
    """The position, counted from 1, at which each start is cut. Raises ValueError where it cannot be indexed."""
    moved = step(positions, starts)
    if moved is None:
        raise ValueError(f"{starts} starts cannot be indexed by {positions} positions")
    return [1 + number * moved for number in range(starts)]


def _starts(values: Values) -> SumOutcome:
    positions = values.count("positions")
    possible = possible_starts(positions)
    notes = [
        "Work between centers: carry the dog on to the next jaw or slot for each start. Mark the first one. With a "
        "gear of the train: mark a tooth, move on, mesh again.",
        "The lead is the pitch times the number of starts, and the threads are cut to the depth of the pitch. Jaws are "
        "spaced to some minutes of arc only: check a fine thread with an indicator.",
        "Spindle stopped and power off while the dog or a gear is moved; guard its tail.",
    ]
    if "starts" not in values:
        steps = [positions // number for number in possible]
        return SumOutcome(
            result={"possible": possible, "step": steps}, notes=tuple(notes), sketch=_circle_of(positions, [])
        )
    starts = values.count("starts")
    moved = step(positions, starts)
    if moved is None:
        able = ", ".join(str(number) for number in possible)
        notes.insert(0, f"{starts} starts cannot be indexed by {positions}: only {able} can. Choose other positions.")
        return SumOutcome(
            result={"possible": possible, "step": None}, notes=tuple(notes), sketch=_circle_of(positions, [])
        )
    sequence = index_sequence(positions, starts)
    shown = ", ".join(str(number) for number in sequence[:12]) + (" …" if len(sequence) > 12 else "")
    notes.insert(0, f"Cut the starts at {shown}, counted from the first.")
    return SumOutcome(
        result={"possible": possible, "step": moved}, notes=tuple(notes), sketch=_circle_of(positions, sequence)
    )


def _circle_of(positions: int, used: list[int]) -> Sketch:
    middle = (120, 104)
    marks = [circle(*middle, 74)]
    for number in range(1, min(positions, MOST_DRAWN) + 1) if positions <= MOST_DRAWN else used[:MOST_DRAWN]:
        turn = 360 * (number - 1) / positions
        is_used = number in used
        marks.append(circle(*around(*middle, 74, turn), 8 if is_used else 4, "stock" if is_used else "win"))
        if positions <= 24:
            place = around(*middle, 92, turn)
            marks.append(words(place[0], place[1] + 4, str(number), "stock" if is_used else "limit"))
        if is_used:
            marks.append(line(*middle, *around(*middle, 66, turn), "zone"))
    caption = f"{positions} equal positions around the spindle"
    caption += f"; the starts are cut at {', '.join(map(str, used[:12]))}" if used else ""
    marks.append(words(222, 100, f"{positions} positions", anchor="start"))
    if used:
        marks.append(words(222, 118, f"{len(used)} starts", "stock", anchor="start"))
    return Sketch(marks=tuple(marks), height=210, words=f"{caption}.")


STARTS = Sum(
    name="starts",
    title="Starts of a thread",
    about="Which numbers of starts jaws, slots or teeth can index, and how far to move on.",
    keys=(
        Key(
            name="positions",
            measure=Measure.COUNT,
            words="Jaws, slots or teeth",
            hint="How many there are, equally spaced; a whole number up to 1000.",
        ),
        Key(
            name="starts",
            measure=Measure.COUNT,
            words="Starts that are wanted",
            hint="Leave it empty to see all that can be indexed.",
        ),
    ),
    needed=("positions",),
    results={"possible": "Starts that can be indexed", "step": "Positions to move on"},
    work=_starts,
    formula="s starts can be indexed by n positions where s divides n; step = n ÷ s",
    source="arithmetic; indexing by slots: War Department TM 1-420, 1940 (read)",
)
SUMS = (STARTS,)
