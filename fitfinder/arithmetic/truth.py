"""How far off the axis: the indicator's swing, and dialling in on an independent chuck."""

from __future__ import annotations

from fractions import Fraction

from fitfinder.arithmetic.pictures import Picture, around, circle, line, outline, words
from fitfinder.arithmetic.quantities import Kind, Quantity
from fitfinder.arithmetic.sums import COMMON, DEFER, GEOMETRY, Found, Key, Sum, Values


def offset_of(tir: Fraction) -> Fraction:
    """How far the axis is off: half of the indicator's full swing."""
    return tir / 2


def tir_of(offset: Fraction) -> Fraction:
    """What the indicator swings in all where the axis is `offset` off."""
    return offset * 2


def jaw_move(reading: Fraction, opposite: Fraction) -> Fraction:
    """How far work has to move from one jaw toward the opposite one, half the difference of the readings.

    Above zero it moves away from the jaw of the first reading; the indicator reads more where it is pushed in.
    """
    return (reading - opposite) / 2


def _tir(values: Values) -> Found:
    given = "offset" if "offset" in values else "tir"
    offset = values["offset"] if given == "offset" else offset_of(values["tir"])
    result = {
        "tir": values.told(tir_of(offset), Kind.LENGTH, like=given),
        "offset": values.told(offset, Kind.LENGTH, like=given),
    }
    notes = ("A wall between a bore and a diameter on two such axes differs by the TIR from side to side.",)
    return Found(result=result, notes=notes, picture=_two_axes(result["tir"], result["offset"]))


def _two_axes(tir: Quantity, offset: Quantity) -> Picture:
    """Not to scale: an offset that matters would not be seen."""
    marks = (
        circle(150, 86, 62),
        circle(168, 86, 62, "stock"),
        line(150, 14, 150, 158),
        line(168, 14, 168, 158),
        words(146, 12, "spindle", anchor="end"),
        words(172, 12, "work", "stock", anchor="start"),
        words(240, 80, "offset", anchor="start"),
        words(240, 96, offset.short, "stock", anchor="start"),
        words(240, 120, "TIR, full swing", anchor="start"),
        words(240, 136, tir.short, "stock", anchor="start"),
    )
    said = f"The work's axis {offset.short} beside the spindle's; the indicator swings {tir.short}. Not to scale."
    return Picture(marks=marks, height=164, words=said)


def _dial_in(values: Values) -> Found:
    pairs = [("move", "reading1", "reading2", "1", "3")]
    if "reading3" in values:
        pairs.append(("move2", "reading3", "reading4", "2", "4"))
    result, notes, moves = {}, [], []
    for name, first, second, jaw, opposite in pairs:
        move = jaw_move(values[first], values[second])
        result[name] = values.told(abs(move), Kind.LENGTH, like=first)
        notes.append(_what_to_do(move, result[name], jaw, opposite))
        moves.append((move, result[name], jaw, opposite))
    notes.append(
        "Larger reading: the indicator is pushed in further there. Readings of one pair are taken on one zero of the "
        "dial, half a turn apart; slacken one jaw before its opposite one is tightened, and read again."
    )
    if "reading3" not in values:
        notes.append("Then turn by a quarter and do the same with the other pair of jaws.")
    notes.append("Turn by hand, spindle out of gear and power off, while an indicator or a chuck key is near the jaws.")
    return Found(result=result, notes=tuple(notes), picture=_four_jaws(moves))


def _what_to_do(move: Fraction, told: Quantity, jaw: str, opposite: str) -> str:
    if move == 0:
        return f"Jaws {jaw} and {opposite} read the same: leave them."
    high, low = (jaw, opposite) if move > 0 else (opposite, jaw)
    return f"Slacken jaw {low}, tighten jaw {high}: the work moves {told.short} from jaw {high} toward jaw {low}."


_JAW_PLACES = {"1": 0, "2": 90, "3": 180, "4": 270}


def _four_jaws(moves) -> Picture:
    middle = (112, 100)
    marks = [circle(*middle, 46, "stock")]
    for jaw, turn in _JAW_PLACES.items():
        inner, outer = around(*middle, 48, turn), around(*middle, 78, turn)
        side = around(0, 0, 11, turn + 90)
        marks.append(
            outline([
                (inner[0] - side[0], inner[1] - side[1]),
                (inner[0] + side[0], inner[1] + side[1]),
                (outer[0] + side[0], outer[1] + side[1]),
                (outer[0] - side[0], outer[1] - side[1]),
            ])
        )  # fmt: skip
        place = around(*middle, 92, turn)
        marks.append(words(place[0], place[1] + 4, jaw))
    said = []
    for move, told, jaw, opposite in moves:
        if move == 0:
            continue
        high, low = (jaw, opposite) if move > 0 else (opposite, jaw)
        marks += _arrow(middle, _JAW_PLACES[low])
        side = 12 if jaw == "1" else 28
        marks.append(words(226, 84 + side, f"{high} to {low}: {told.short}", "stock", anchor="start"))
        said.append(f"move the work {told.short} from jaw {high} toward jaw {low}")
    text = "Four jaws around the work: " + ("; ".join(said) or "it runs true, nothing to move") + ". Not to scale."
    return Picture(marks=tuple(marks), height=204, words=text)


def _arrow(middle: tuple[int, int], turn: int) -> list:
    tail, tip = around(*middle, 30, turn + 180), around(*middle, 30, turn)
    left, right = around(*tip, 12, turn + 150), around(*tip, 12, turn - 150)
    return [line(*tail, *tip, "zone"), outline([left, tip, right], "zone-line", is_closed=False)]


_READING_HINT = "What the indicator shows there, like 0.012 or -.003; in inches or mm."

TIR = Sum(
    name="tir",
    title="TIR and offset",
    about="What the indicator swings in all, and how far the axis is off.",
    keys=(
        Key(
            name="tir",
            kind=Kind.LENGTH,
            words="TIR, full swing",
            hint="From the lowest to the highest reading in one turn; in inches or mm.",
            may_be_zero=True,
        ),
        Key(
            name="offset",
            kind=Kind.LENGTH,
            words="Or the offset of the axis",
            hint="How far the work's axis lies beside the spindle's; in inches or mm.",
            may_be_zero=True,
        ),
    ),
    either=(("offset",), ("tir",)),
    results={"tir": "TIR, full swing", "offset": "Offset of the axis"},
    work=_tir,
    formula="TIR = 2 × offset",
    source=GEOMETRY,
)
DIAL_IN = Sum(
    name="dial-in",
    title="Dialling in",
    about="How far to move the jaws of an independent chuck, and which way.",
    keys=(
        Key(name="reading1", kind=Kind.READING, words="Reading at jaw 1", hint=_READING_HINT),
        Key(name="reading2", kind=Kind.READING, words="Reading at the opposite jaw, 3", hint=_READING_HINT),
        Key(name="reading3", kind=Kind.READING, words="Reading at jaw 2", hint="Leave both empty for one pair only."),
        Key(name="reading4", kind=Kind.READING, words="Reading at the opposite jaw, 4"),
    ),
    needed=("reading1", "reading2"),
    together=(("reading3", "reading4"),),
    results={"move": "Move the work, jaws 1 and 3", "move2": "Move the work, jaws 2 and 4"},
    work=_dial_in,
    formula="move = (reading 1 − reading 2) ÷ 2",
    source=f"{GEOMETRY}; the order of the jaws is {COMMON}",
    notes=(DEFER,),
)
SUMS = (TIR, DIAL_IN)
