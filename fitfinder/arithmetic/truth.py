"""How far off the axis: the indicator's swing, and dialling in on an independent chuck."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from fitfinder.arithmetic.frame import COMMON, GEOMETRY, Key, Sum, SumOutcome, Values
from fitfinder.arithmetic.quantities import Measure, Quantity
from fitfinder.arithmetic.sketches import Mark, Sketch, around, circle, line, outline, words


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


def _tir(values: Values) -> SumOutcome:
    given = "offset" if "offset" in values else "tir"
    offset = values["offset"] if given == "offset" else offset_of(values["tir"])
    result = {
        "tir": values.result(tir_of(offset), like=given),
        "offset": values.result(offset, like=given),
    }
    notes = ("A wall between a bore and a diameter on two such axes differs by the TIR from side to side.",)
    return SumOutcome(result=result, notes=notes, sketch=_two_axes(result["tir"], result["offset"]))


def _two_axes(tir: Quantity, offset: Quantity) -> Sketch:
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
    caption = f"The work's axis {offset.short} beside the spindle's; the indicator swings {tir.short}. Not to scale."
    return Sketch(marks=marks, height=164, words=caption)


class _JawMove(Struct, frozen=True):
    """Which way the work goes between two opposite jaws, and how far; None where their readings are the same."""

    distance: Quantity
    high: str
    low: str

    @classmethod
    def between(cls, jaw: str, opposite: str, move: Fraction, distance: Quantity) -> _JawMove:
        return cls(distance, jaw, opposite) if move >= 0 else cls(distance, opposite, jaw)

    @property
    def is_needed(self) -> bool:
        return self.distance.value != 0

    @property
    def advice(self) -> str:
        if not self.is_needed:
            return f"Jaws {self.high} and {self.low} read the same: leave them."
        return (
            f"Slacken jaw {self.low}, tighten jaw {self.high}: the work moves {self.distance.short} from jaw "
            f"{self.high} toward jaw {self.low}."
        )


def _dial_in(values: Values) -> SumOutcome:
    result = {"move": _distance(values, "reading1", "reading2")}
    moves = [_JawMove.between("1", "3", _move(values, "reading1", "reading2"), result["move"])]
    notes = []
    if "reading3" in values:
        result["move2"] = _distance(values, "reading3", "reading4")
        moves.append(_JawMove.between("2", "4", _move(values, "reading3", "reading4"), result["move2"]))
    else:
        notes.append("Then turn by a quarter and do the same with the other pair of jaws.")
    return SumOutcome(
        result=result,
        notes=(*(move.advice for move in moves), _ONE_ZERO, *notes, _BY_HAND),
        sketch=_four_jaws([move for move in moves if move.is_needed]),
    )


def _move(values: Values, reading: str, opposite: str) -> Fraction:
    return jaw_move(values[reading], values[opposite])


def _distance(values: Values, reading: str, opposite: str) -> Quantity:
    return values.result(abs(_move(values, reading, opposite)), like=reading)


_ONE_ZERO = (
    "Larger reading: the indicator is pushed in further there. Readings of one pair are taken on one zero of the dial, "
    "half a turn apart; slacken one jaw before its opposite one is tightened, and read again."
)
_BY_HAND = "Turn by hand, spindle out of gear and power off, while an indicator or a chuck key is near the jaws."
_JAW_PLACES = {"1": 0, "2": 90, "3": 180, "4": 270}


def _four_jaws(moves: list[_JawMove]) -> Sketch:
    middle = (112, 100)
    marks = [circle(*middle, 46, "stock")]
    for jaw, turn in _JAW_PLACES.items():
        place = around(*middle, 92, turn)
        marks += [_jaw(middle, turn), words(place[0], place[1] + 4, jaw)]
    for move in moves:
        marks += _arrow(middle, _JAW_PLACES[move.low])
        down = 96 if {move.high, move.low} == {"1", "3"} else 112
        marks.append(words(226, down, f"{move.high} to {move.low}: {move.distance.short}", "stock", anchor="start"))
    moves_in_words = [f"move the work {one.distance.short} from jaw {one.high} toward jaw {one.low}" for one in moves]
    caption = (
        f"Four jaws around the work: {'; '.join(moves_in_words) or 'it runs true, nothing to move'}. Not to scale."
    )
    return Sketch(marks=tuple(marks), height=204, words=caption)


def _jaw(middle: tuple[int, int], turn: int) -> Mark:
    inner, outer = around(*middle, 48, turn), around(*middle, 78, turn)
    side = around(0, 0, 11, turn + 90)
    return outline([
        (inner[0] - side[0], inner[1] - side[1]),
        (inner[0] + side[0], inner[1] + side[1]),
        (outer[0] + side[0], outer[1] + side[1]),
        (outer[0] - side[0], outer[1] - side[1]),
    ])  # fmt: skip


def _arrow(middle: tuple[int, int], turn: int) -> list[Mark]:
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
            words="TIR, full swing",
            hint="From the lowest to the highest reading in one turn; in inches or mm.",
            may_be_zero=True,
        ),
        Key(
            name="offset",
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
        Key(name="reading1", measure=Measure.READING, words="Reading at jaw 1", hint=_READING_HINT),
        Key(name="reading2", measure=Measure.READING, words="Reading at the opposite jaw, 3", hint=_READING_HINT),
        Key(
            name="reading3",
            measure=Measure.READING,
            words="Reading at jaw 2",
            hint="Leave both empty for one pair only.",
        ),
        Key(name="reading4", measure=Measure.READING, words="Reading at the opposite jaw, 4"),
    ),
    needed=("reading1", "reading2"),
    together=(("reading3", "reading4"),),
    results={"move": "Move the work, jaws 1 and 3", "move2": "Move the work, jaws 2 and 4"},
    work=_dial_in,
    formula="move = (reading 1 − reading 2) ÷ 2",
    source=f"{GEOMETRY}; the order of the jaws is {COMMON}",
)
SUMS = (TIR, DIAL_IN)
