"""One question from its texts to its answer; pages, JSON and the command all come through here."""

from __future__ import annotations

from urllib.parse import urlencode

from django.utils import timezone
from msgspec import Struct
from msgspec.structs import asdict, replace

from fitfinder import crib
from fitfinder.crib import ShopNow
from fitfinder.find.answer import Answer
from fitfinder.find.finder import answer, collets_for
from fitfinder.find.number_keys import size_text
from fitfinder.holding.ladder import LadderStep, with_another_lathe
from fitfinder.holding.reader import crib_for
from fitfinder.holding.stock import SHAPES, PieceNamed, Stock, StockShape
from fitfinder.holding.texts.bar_labels import with_its_shape
from fitfinder.holding.texts.shape_words import size_and_shape
from fitfinder.holding.texts.stock_texts import no_such_tag, stock_from, stock_of
from fitfinder.questions import QuestionError, Texts, is_asked_back, no_such_lathe, unit_named
from inventory.measures.lengths import Length, LengthError, Unit, parse, shorten
from inventory.models import Ask

LARGEST_TIR = Length.inches("1/4")
"""No way to hold runs out by more; a larger number is a slip of the pen."""
_A = {"rectangular": "flat bar", "tube": "a tube", "casting": "a casting or a forging"}


class Question(Struct, frozen=True):
    """The texts of a question, as the address carries them."""

    size: str
    size2: str = ""
    shape: str = StockShape.ROUND.value
    grade: str = ""
    lathe: str = ""
    tir: str = ""
    unit: str = ""
    """Of bare numbers; empty where nobody said, and then the shop's unit counts and a doubtful number is asked back."""

    @classmethod
    def from_texts(cls, texts: Texts) -> Question:
        """What is left out has its default. A shape said beside the size is the shape.

        Raises QuestionError where the number keys say no size, or another one than the size.
        """
        given = {name: str(texts.get(name) or "").strip() for name in cls.__struct_fields__}
        given["size"] = size_text(texts)
        # Of two sides it is said what they are whatever is picked, which begins as round.
        picked = "square" if given["shape"] == "square" else ""
        size, shape = with_its_shape(given["size"], picked=picked, unit=given["unit"])
        if shape in SHAPES:
            given |= {"size": size, "shape": shape}
        given["unit"] = given["unit"] or crib.unit_of_addresses()
        if given["unit"] == crib.shop_unit() == Unit.INCH and "/" in given["size"] and not given["size2"]:
            # Nobody takes a fraction for millimetres: its address needs no unit.
            given["unit"] = ""
        return cls(**{name: text for name, text in given.items() if text or name == "size"})

    @property
    def typed(self) -> dict[str, str]:
        """What is not at its default."""
        unasked = asdict(Question(""))
        return {name: text for name, text in asdict(self).items() if text and text != unasked[name]}

    @property
    def address(self) -> str:
        """The whole question as a query string."""
        return urlencode(self.typed)

    @property
    def shape_for_the_plan(self) -> str:
        """A shape said beside the size that is held by more than its outside: tube, casting …; empty for bar."""
        shape = size_and_shape(self.size)[1]
        return "" if shape in SHAPES else shape

    def stock(self, figures: ShopNow | None = None) -> Stock:
        """`figures` are the shop's, where they were read already. Raises QuestionError."""
        if shape := self.shape_for_the_plan:
            raise QuestionError(
                f"“{shorten(self.size)}” is {_A[shape]}, and Find answers for round, hex and square bar. The plan "
                "compares the ways to hold it.",
                field="size",
                read=shorten(self.size),
            )
        if piece := self._piece:
            return stock_of(piece, grade=self.grade)
        if refused := no_such_tag(self.size):
            raise refused
        figures = figures or crib.shop_now()
        return stock_from(
            self.size,
            self.size2,
            shape=self.shape,
            grade=self.grade,
            unit=self._counted_in,
            bare_limit=figures.largest_bare if is_asked_back(self.unit, crib.shop_unit()) else None,
            allowance=Length(0) if self.size2 or self.grade else figures.allowance,
        )

    @property
    def _counted_in(self) -> Unit:
        return unit_named(self.unit) if self.unit else crib.shop_unit()

    @property
    def _piece(self) -> PieceNamed | None:
        return None if self.size2 else crib.piece_named(self.size)

    def asked_tir(self) -> Length | None:
        """Raises QuestionError."""
        if not self.tir:
            return None
        try:
            tir = parse(self.tir, self._counted_in)
            if tir > LARGEST_TIR:
                raise LengthError("too large", read=self.tir[:40])
            return tir
        except LengthError as error:
            accepted = "Write it like .001, 0.02 mm or 1 thou, above zero and below 1/4 in."
            message = f"“{error.read}” cannot be read as a TIR. {accepted}"
            raise QuestionError(message, field="tir", read=error.read) from None

    def answer(self, *, asker_id: int | None = None) -> Answer:
        """Raises QuestionError where the question cannot be read."""
        figures = crib.shop_now()
        stock, tir = self.stock(figures), self.asked_tir()
        on_hand = crib_for(stock, figures, lathe=self.lathe, asker_id=asker_id)
        if self.lathe and not on_hand.crib.lathes:
            raise no_such_lathe(self.lathe, crib.lathe_names())
        reply = answer(stock, on_hand, asked_tir=tir)
        if reply.is_held:
            return reply
        # Only a question that no collet answers needs the ladders and what is near, so only it pays for them.
        series = crib.series_on_hand(stock.shape)
        seats = [entry.seat for entry in series if on_hand.routes.are_there(entry.seat, entry.is_drawn)]
        beside = crib.nearest(stock, seats=seats, asker_id=asker_id)
        if figures.has_reservations:
            beside = crib.as_reserved(beside, crib.reserved_now(asker_id))
        near = on_hand.with_what_is_near(series, beside, crib.open_wants(stock) if figures.has_wants else ())
        reply = answer(stock, near, asked_tir=tir)
        return replace(reply, ladder=self._ladder_elsewhere(reply, stock, figures, asker_id)) if self.lathe else reply

    def _ladder_elsewhere(
        self, reply: Answer, stock: Stock, figures: ShopNow, asker_id: int | None
    ) -> tuple[LadderStep, ...]:
        """With the rung of the lathes that were not asked about."""
        elsewhere = collets_for(stock, crib_for(stock, figures, asker_id=asker_id))
        return with_another_lathe(reply.ladder, elsewhere)


def keep_ask(question: Question, reply: Answer) -> None:
    """Remember, without a name, a question that was not answered well."""
    if not reply.is_satisfying:
        Ask.objects.count_one(
            question=question.address[:200],
            read_as=reply.stock.read_as[:200],
            verdict=reply.verdict.value,
            on=timezone.localdate(),
        )
