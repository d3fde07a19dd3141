"""The job that is to be held, from what was typed: the stock, its length, how many, and what is to be made of it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from math import isqrt

from msgspec import Struct

from fitfinder.holding.stock import Stock
from fitfinder.holding.stock_texts import NO_ALLOWANCE, stock_from
from fitfinder.plan import sides
from fitfinder.questions import QuestionError, length_of, unit_named
from inventory.measures import masses
from inventory.measures.lengths import Length, Unit, named, shorten

SHAPES = ("round", "hex", "square", "rectangular", "tube", "casting")
"""A casting, or a forging, is round to what swings it, and irregular."""
CALLED = {"rectangular": "flat"}
"""What the shop calls a shape, where its name in an address is another."""
FIELDS = (
    "size", "size2", "shape", "grade", "lathe", "length", "stick_out", "grip", "bore", "parts", "setups", "tir",
    "throw", "taper", "starts", "weight", "regrip", "both_ends", "fed", "irregular", "unit",
)  # fmt: skip
MOST = {"parts": 100_000, "setups": 20, "starts": 24}
LONGEST_WORK = Length.inches(400)
THIN_WALL = Fraction(1, 10)
"""A tube whose wall is less than this share of its outside is thin: common practice, no source."""
_TAPER = re.compile(r"(?:1\s*:\s*)?(?P<ratio>[0-9]{1,5}(?:[.,][0-9]{1,6})?)", re.ASCII)


class Job(Struct, frozen=True, kw_only=True):
    """What is to be held. `stock` is its outside as the finder takes it: of a tube round, of a rectangle the longer
    side. `tir` is what the work may run out between set-ups. None is not told."""

    shape: str
    stock: Stock
    read_as: str
    other_side: Length | None = None
    bore: Length | None = None
    length: Length | None = None
    stick_out: Length | None = None
    grip: Length | None = None
    weight_ug: int | None = None
    parts: int = 1
    setups: int = 1
    tir: Length | None = None
    throw: Length | None = None
    taper: Fraction | None = None
    """20 is a taper of 1:20 on the diameter."""
    starts: int = 1
    is_on_turned: bool = False
    """Whether the set-ups after the first grip what the first one turned."""
    is_from_both_ends: bool = False
    is_fed: bool = False
    is_irregular: bool = False

    @property
    def told(self) -> list[str]:
        """What is asked beside size and shape, in few words."""
        words = [f"{named(self.length)} in long"] if self.length is not None else []
        words.append(f"{self.parts} part{'s' if self.parts > 1 else ''}")
        words.append(f"{self.setups} set-up{'s' if self.setups > 1 else ''}")
        words += [f"{self.tir.inch_text} in TIR between them"] if self.tir is not None else []
        words += [f"throw {named(self.throw)} in"] if self.throw is not None else []
        words += ["a taper"] if self.taper is not None else []
        words += [f"{self.starts} starts"] if self.starts > 1 else []
        words += [masses.shown(self.weight_ug)] if self.weight_ug is not None else []
        words += ["uneven, like a casting"] if self.is_irregular and "casting" not in self.read_as else []
        words += ["fed through the spindle"] if self.is_fed else []
        return words + (["from both ends"] if self.is_from_both_ends else [])

    @property
    def is_flat_sided(self) -> bool:
        return self.shape in ("hex", "square", "rectangular")

    @property
    def thickness(self) -> Length:
        """The least across: what bends first."""
        return self.other_side or self.stock.band.smallest

    @property
    def circle(self) -> Length:
        """The circle that it swings when it runs true, rounded up."""
        if self.other_side is None:
            return self.stock.across_corners
        square = self.stock.band.largest.nm**2 + self.other_side.nm**2
        root = isqrt(square)
        return Length(root if root * root == square else root + 1)

    @property
    def swing(self) -> Length:
        """The circle that it swings, set over by the throw."""
        return self.circle if self.throw is None else self.circle + self.throw * 2

    @property
    def wall(self) -> Length | None:
        """Of a tube, rounded down."""
        if self.shape != "tube" or self.bore is None:
            return None
        return Length((self.stock.band.smallest.nm - self.bore.nm) // 2)

    @property
    def is_thin(self) -> bool:
        return self.wall is not None and self.wall.nm < THIN_WALL * self.stock.band.smallest.nm

    @property
    def gripped(self) -> Length:
        """How much there is to grip: as told, else one diameter (common practice)."""
        return self.grip or self.thickness

    @property
    def stands_out(self) -> Length | None:
        """How far it stands out of what grips it: as told, else what the grip leaves of the length."""
        if self.stick_out is not None:
            return self.stick_out
        if self.length is None:
            return None
        return max(self.length - self.gripped, Length(0))


def job_from(texts: Mapping[str, str], *, bare_limit: Length | None = None, allowance: Length = NO_ALLOWANCE) -> Job:
    """The job that the texts describe; what is left out has its default. Raises QuestionError."""
    asked = {name: (texts.get(name) or "").strip() for name in FIELDS}
    unit = unit_named(asked["unit"] or Unit.INCH)
    shape = asked["shape"] or "round"
    if shape not in SHAPES:
        raise QuestionError(
            f"“{shorten(shape)}” is no shape that is known here. Write {', '.join(SHAPES[:-1])} or {SHAPES[-1]}.",
            field="shape",
            read=shorten(shape),
        )
    if shape == "casting":
        shape, asked["irregular"] = "round", "yes"
    if shape == "tube":
        sides.wall_as_bore(asked, unit, bare_limit)
    if shape == "rectangular":
        stock, other = sides.rectangle(asked, unit, bare_limit)
    else:
        stock, other = _outside(asked, shape, unit, bare_limit, allowance), None
    bore = _bore(asked, shape, stock, unit)
    lengths = {name: _maybe_length(asked, name, unit) for name in ("length", "stick_out", "grip", "tir", "throw")}
    _check_lengths(lengths, asked, stock)
    counts = {name: _count(asked, name) for name in MOST}
    is_from_both_ends = _choice(asked, "both_ends", "yes", "no")
    if is_from_both_ends:
        # The other end is another gripping.
        counts["setups"] = max(2, counts["setups"])
    return Job(
        shape=shape,
        stock=stock,
        read_as=_read_as(shape if asked["shape"] != "casting" else "casting", stock, bore),
        other_side=other,
        bore=bore,
        **lengths,
        weight_ug=_weight(asked),
        **counts,
        taper=_taper(asked),
        is_on_turned=_choice(asked, "regrip", "turned", "same"),
        is_from_both_ends=is_from_both_ends,
        is_fed=_choice(asked, "fed", "yes", "no"),
        is_irregular=_choice(asked, "irregular", "yes", "no"),
    )


def _outside(asked, shape: str, unit: Unit, bare_limit: Length | None, allowance: Length) -> Stock:
    """A tube is round to whatever grips its outside."""
    return stock_from(
        asked["size"],
        asked["size2"],
        shape="round" if shape == "tube" else shape,
        grade=asked["grade"],
        unit=unit,
        bare_limit=bare_limit,
        allowance=allowance,
    )


def _bore(asked, shape: str, stock: Stock, unit: Unit) -> Length | None:
    if not asked["bore"]:
        if shape == "tube":
            raise QuestionError("A tube has a bore. Write its size, like 1/2.", field="bore", read="")
        return None
    bore = length_of(asked["bore"], field="bore", unit=unit).length
    if bore >= stock.band.smallest:
        raise QuestionError(
            f"A bore of {named(bore)} in leaves no wall in stock of {named(stock.band.smallest)} in. "
            "Write the outside as the size and the hole as the bore.",
            field="bore",
            read=shorten(asked["bore"]),
        )
    return bore


def _maybe_length(asked, field: str, unit: Unit) -> Length | None:
    return length_of(asked[field], field=field, unit=unit).length if asked[field] else None


def _check_lengths(lengths, asked, stock: Stock) -> None:
    length = lengths["length"]
    if length is not None and length > LONGEST_WORK:
        raise QuestionError(
            f"{named(length)} in is longer than any lathe here takes. Write up to {named(LONGEST_WORK)} in.",
            field="length",
            read=shorten(asked["length"]),
        )
    for name, words in (("stick_out", "The stick-out"), ("grip", "The length to grip")):
        part = lengths[name]
        if length is not None and part is not None and part > length:
            raise QuestionError(
                f"{words} of {named(part)} in is more than the whole length, {named(length)} in.",
                field=name,
                read=shorten(asked[name]),
            )
    throw = lengths["throw"]
    if throw is not None and throw * 2 > stock.band.largest:
        raise QuestionError(
            f"A throw of {named(throw)} in puts the axis outside stock of {named(stock.band.largest)} in. "
            "The throw is how far the second axis lies from the first, up to half of the size.",
            field="throw",
            read=shorten(asked["throw"]),
        )


def _weight(asked) -> int | None:
    if not asked["weight"]:
        return None
    try:
        return masses.parse(asked["weight"])
    except masses.MassError as error:
        raise QuestionError(str(error), field="weight", read=shorten(asked["weight"])) from None


def _count(asked, name: str) -> int:
    text, most = asked[name], MOST[name]
    if not text:
        return 1
    if not (text.isascii() and text.isdigit() and len(text) <= 7 and 1 <= int(text) <= most):
        raise QuestionError(
            f"“{shorten(text)}” is no number of {name}. Write a whole number from 1 to {most:,}.",
            field=name,
            read=shorten(text),
        )
    return int(text)


def _taper(asked) -> Fraction | None:
    text = asked["taper"]
    if not text:
        return None
    found = _TAPER.fullmatch(text)
    ratio = Fraction(found["ratio"].replace(",", ".")) if found else Fraction(0)
    if ratio < 1:
        raise QuestionError(
            f"“{shorten(text)}” is no taper. Write how far it goes to change the diameter by one: 20 or 1:20.",
            field="taper",
            read=shorten(text),
        )
    return ratio


def _choice(asked, name: str, yes: str, no: str) -> bool:
    text = asked[name].lower()
    if text not in ("", yes, no):
        raise QuestionError(f"“{shorten(text)}” cannot be read. Write {yes} or {no}.", field=name, read=shorten(text))
    return text == yes


def _read_as(shape: str, stock: Stock, bore: Length | None) -> str:
    words = stock.read_as
    if shape in ("tube", "casting"):
        words = words.replace(" round", f" {shape}", 1)
    if shape == "tube":
        return f"{words}, bore {named(bore)} in"
    return words if bore is None else f"{words}, with a bore of {named(bore)} in"
