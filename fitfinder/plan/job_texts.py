"""The job as it was typed: its size and shape, how flat bar and tube are written, and what else is asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from msgspec.structs import replace

from fitfinder.holding.job import Job, WorkShape
from fitfinder.holding.stock import Band, PieceNamed, Stock, StockShape
from fitfinder.holding.texts.shape_words import two_sides
from fitfinder.holding.texts.stock_texts import refuse_what_must_be_measured, stock_from, stock_of
from fitfinder.plan.taper_texts import TAPERS_ACCEPTED, taper_ratio
from fitfinder.questions import QuestionError, is_asked_back, length_of, unit_named
from inventory.measures import masses
from inventory.measures.length_words import by, in_unit
from inventory.measures.lengths import Length, Unit, exact, shorten
from inventory.reference import materials
from inventory.reference.materials import Material

FIELDS = (
    "size", "size2", "shape", "grade", "lathe", "length", "stick_out", "grip", "bore", "parts", "setups", "tir",
    "throw", "taper", "taper_length", "turned", "starts", "weight", "material", "regrip", "both_ends", "fed",
    "irregular", "unit",
)  # fmt: skip
MOST = {"parts": 100_000, "setups": 20, "starts": 24}
NONE = Length(0)
LONGEST_WORK = Length.inches(400)


def job_from(
    texts: Mapping[str, str],
    *,
    shop_unit: Unit = Unit.INCH,
    bare_limit: Length | None = None,
    allowance: Length = NONE,
) -> Job:
    """The job that the texts describe; what is left out has its default. Raises QuestionError.

    A bare number is in the unit of the texts, and then never asked back, else in that of the shop. A size that was
    measured once may be out by the `allowance`.
    """
    asked = JobTexts.of(texts, shop_unit, bare_limit, allowance)
    shape = asked.shape()
    if shape is WorkShape.TUBE:
        asked = asked.with_wall_as_bore()
    stock, other = asked.flat_bar() if shape is WorkShape.FLAT else (asked.outside(shape), None)
    bore = asked.bore(shape, stock)
    length, stick_out, grip = asked.maybe_length("length"), asked.maybe_length("stick_out"), asked.maybe_length("grip")
    tir, throw = asked.maybe_length("tir"), asked.maybe_length("throw")
    asked.check_lengths(length, stick_out, grip)
    asked.check_throw(throw, stock)
    parts, setups, starts = asked.count("parts"), asked.count("setups"), asked.count("starts")
    is_from_both_ends = asked.choice("both_ends", "yes", "no")
    taper, turned = asked.taper(), asked.turned(stock, bore)
    # The other end is another gripping, and so is what grips the turned diameter.
    setups = max(2, setups) if is_from_both_ends or turned is not None else setups
    return Job(
        shape=WorkShape.ROUND if shape is WorkShape.CASTING else shape,
        stock=stock,
        read_as=_read_as(shape, stock, bore),
        other_side=other,
        bore=bore,
        length=length,
        stick_out=stick_out,
        grip=grip,
        tir=tir,
        # With one set-up there is nothing between set-ups: it is asked of the one gripping, as Find asks it.
        runs_within=tir if setups == 1 else None,
        throw=throw,
        weight_ug=asked.weight(),
        material=asked.material(),
        parts=parts,
        setups=setups,
        starts=starts,
        taper=taper,
        taper_length=asked.taper_length(taper, length, stock),
        turned=turned,
        is_on_turned=asked.choice("regrip", "turned", "same") or turned is not None,
        is_from_both_ends=is_from_both_ends,
        is_fed=asked.choice("fed", "yes", "no"),
        is_irregular=asked.choice("irregular", "yes", "no") or shape is WorkShape.CASTING,
        is_casting=shape is WorkShape.CASTING,
    )


def job_of(piece: PieceNamed, texts: Mapping[str, str], *, shop_unit: Unit = Unit.INCH) -> Job:
    """The job on stock of the size of a piece that was named by its tag. Raises QuestionError where it has none."""
    stock = stock_of(piece, grade=texts.get("grade", "").strip())
    job = job_from(
        {**texts, "size": exact(stock.nominal or stock.band.largest), "shape": stock.shape}, shop_unit=shop_unit
    )
    return replace(job, stock=stock, read_as=_read_as(job.shape, stock, job.bore))


@dataclass(frozen=True)
class JobTexts:
    """The texts of the question by their fields; whatever reads one raises QuestionError."""

    texts: Mapping[str, str]
    unit: Unit
    bare_limit: Length | None
    allowance: Length

    @classmethod
    def of(cls, texts: Mapping[str, str], shop_unit: Unit, bare_limit: Length | None, allowance: Length) -> JobTexts:
        asked = {name: (texts.get(name) or "").strip() for name in FIELDS}
        unit = unit_named(asked["unit"]) if asked["unit"] else shop_unit
        return cls(asked, unit, bare_limit if is_asked_back(asked["unit"], shop_unit) else None, allowance)

    def shape(self) -> WorkShape:
        text = self.texts["shape"] or WorkShape.ROUND
        if text not in list(WorkShape):
            *others, last = WorkShape
            raise self.error(
                "shape", f"“{shorten(text)}” is no shape that is known here. Write {', '.join(others)} or {last}."
            )
        return WorkShape(text)

    def outside(self, shape: WorkShape) -> Stock:
        """A tube or a casting is round to whatever grips its outside."""
        return stock_from(
            self.texts["size"],
            self.texts["size2"],
            shape=shape if shape in (WorkShape.HEX, WorkShape.SQUARE) else WorkShape.ROUND,
            grade=self.texts["grade"],
            unit=self.unit,
            bare_limit=self.bare_limit,
            allowance=NONE if self.texts["size2"] or self.texts["grade"] else self.allowance,
        )

    def flat_bar(self) -> tuple[Stock, Length]:
        """The longer side as stock, and the shorter side; `1 x 2` in one text, or in two."""
        one, other = self.texts["size"], self.texts["size2"]
        both = two_sides(one)
        if both and not other:
            one, other = both
        refuse_what_must_be_measured(one, field="size", unit=self.unit)
        refuse_what_must_be_measured(other, field="size2", unit=self.unit)
        if self.texts["grade"]:
            raise self.error("grade", "The tables have no flat bar. Measure both sides and leave out the grade.")
        if not other:
            raise self.error("size2", f"“{shorten(one)}” is one side. Write both sides of flat bar, like 1 x 2.")
        first = length_of(one, field="size", unit=self.unit, bare_limit=self.bare_limit).length
        second = length_of(other, field="size2", unit=self.unit, bare_limit=self.bare_limit).length
        short, long = sorted((first, second))
        return (
            Stock(
                shape=StockShape.FLAT,
                band=Band(long, long),
                read_as=f"{by(short, long)} {WorkShape.FLAT.called}, measured",
            ),
            short,
        )

    def with_wall_as_bore(self) -> JobTexts:
        """`1-1/2 x .065`, as tube is sold: the outside stays as the size, and the wall becomes the bore."""
        both = two_sides(self.texts["size"])
        if both is None or self.texts["bore"]:
            return self
        refuse_what_must_be_measured(both[0], field="size", unit=self.unit)
        outside = length_of(both[0], field="size", unit=self.unit, bare_limit=self.bare_limit).length
        wall = length_of(both[1], field="size", unit=self.unit).length
        if wall * 2 >= outside:
            raise self.error(
                "size",
                f"A wall of {in_unit(wall)} leaves no bore in tube of {in_unit(outside)}. Write outside x wall, "
                "like 1-1/2 x .065.",
            )
        texts = {**self.texts, "size": both[0], "bore": exact(outside - wall * 2)}
        return JobTexts(texts, self.unit, self.bare_limit, self.allowance)

    def bore(self, shape: WorkShape, stock: Stock) -> Length | None:
        if not self.texts["bore"]:
            if shape is WorkShape.TUBE:
                raise self.error("bore", "A tube has a bore. Write its size, like 1/2.")
            return None
        bore = length_of(self.texts["bore"], field="bore", unit=self.unit).length
        if bore >= stock.band.smallest:
            raise self.error(
                "bore",
                f"A bore of {in_unit(bore)} leaves no wall in stock of {in_unit(stock.band.smallest)}. "
                "Write the outside as the size and the hole as the bore.",
            )
        return bore

    def maybe_length(self, field: str) -> Length | None:
        text = self.texts[field]
        return length_of(text, field=field, unit=self.unit).length if text else None

    def check_lengths(self, length: Length | None, stick_out: Length | None, grip: Length | None) -> None:
        if length is None:
            return
        if length > LONGEST_WORK:
            raise self.error(
                "length",
                f"{in_unit(length)} is longer than any lathe here takes. Write up to {in_unit(LONGEST_WORK)}.",
            )
        for field, words, part in (("stick_out", "stick-out", stick_out), ("grip", "length to grip", grip)):
            if part is not None and part > length:
                raise self.error(
                    field, f"The {words} of {in_unit(part)} is more than the whole length, {in_unit(length)}."
                )

    def check_throw(self, throw: Length | None, stock: Stock) -> None:
        if throw is not None and throw * 2 > stock.band.largest:
            raise self.error(
                "throw",
                f"A throw of {in_unit(throw)} puts the axis outside stock of {in_unit(stock.band.largest)}. "
                "The throw is how far the second axis lies from the first, up to half of the size.",
            )

    def weight(self) -> int | None:
        if not self.texts["weight"]:
            return None
        try:
            return masses.parse(self.texts["weight"])
        except masses.MassError as error:
            raise self.error("weight", str(error)) from None

    def material(self) -> Material | None:
        text = self.texts["material"]
        material = materials.named(text) if text else None
        if text and material is None:
            *others, last = Material
            raise self.error(
                "material", f"“{shorten(text)}” is no material that is known here. Write {', '.join(others)} or {last}."
            )
        return material

    def count(self, field: str) -> int:
        text, most = self.texts[field], MOST[field]
        if not text:
            return 1
        if not (text.isascii() and text.isdigit() and len(text) <= 7 and 1 <= int(text) <= most):
            raise self.error(
                field, f"“{shorten(text)}” is no number of {field}. Write a whole number from 1 to {most:,}."
            )
        return int(text)

    def taper(self) -> Fraction | None:
        text = self.texts["taper"]
        if not text:
            return None
        try:
            return taper_ratio(text)
        except ValueError as error:
            raise self.error("taper", f"“{shorten(text)}” {error}. Write {TAPERS_ACCEPTED}.") from None

    def taper_length(self, taper: Fraction | None, length: Length | None, stock: Stock) -> Length | None:
        of_taper = self.maybe_length("taper_length")
        if of_taper is None:
            return None
        if taper is None:
            raise self.error(
                "taper_length", "A length of a taper goes with the taper. Write the taper too, like 1:20 or .6 in/ft."
            )
        if length is not None and of_taper > length:
            raise self.error(
                "taper_length",
                f"A taper of {in_unit(of_taper)} is longer than the whole length, {in_unit(length)}.",
            )
        if of_taper.nm >= taper * stock.band.largest.nm:
            raise self.error(
                "taper_length",
                f"A taper of “{shorten(self.texts['taper'])}” over {in_unit(of_taper)} takes all of the "
                f"{in_unit(stock.band.largest)} that there is. Write how long the taper itself is.",
            )
        return of_taper

    def turned(self, stock: Stock, bore: Length | None) -> Length | None:
        """Hex and square bar may be turned round almost to the corners, flat bar to its longer side."""
        turned = self.maybe_length("turned")
        if turned is None:
            return None
        if self.texts["regrip"].lower() == "same":
            raise self.error(
                "turned", "Set-ups that grip the same surface again grip no turned one. Leave out one of the two."
            )
        if turned >= stock.across_corners:
            raise self.error(
                "turned",
                f"Stock of {in_unit(stock.band.largest)} is not turned to {in_unit(turned)}. Write the finished "
                "diameter that the second set-up grips, below the stock.",
            )
        if bore is not None and turned <= bore:
            raise self.error(
                "turned", f"Turned to {in_unit(turned)}, nothing is left around a bore of {in_unit(bore)}."
            )
        return turned

    def choice(self, field: str, yes: str, no: str) -> bool:
        text = self.texts[field].lower()
        if text not in ("", yes, no):
            raise self.error(field, f"“{shorten(text)}” cannot be read. Write {yes} or {no}.")
        return text == yes

    def error(self, field: str, message: str) -> QuestionError:
        return QuestionError(message, field=field, read=shorten(self.texts[field]))


def _read_as(shape: WorkShape, stock: Stock, bore: Length | None) -> str:
    words = stock.read_as
    if shape in (WorkShape.TUBE, WorkShape.CASTING):
        words = words.replace(" round", f" {shape}", 1)
    if shape is WorkShape.TUBE:
        assert bore is not None
        return f"{words}, bore {in_unit(bore)}"
    return words if bore is None else f"{words}, with a bore of {in_unit(bore)}"
