"""One buy list from its texts to what is to buy; the page, the JSON and the command all come through here."""

from __future__ import annotations

from functools import cached_property
from hashlib import sha256

from django.core.exceptions import ValidationError

from fitfinder.buying.buy_list import BuyList, buy_list
from fitfinder.buying.covering import ALLOWED_SECONDS
from fitfinder.buying.parts import Parts
from fitfinder.crib_sizes import Purchasing
from fitfinder.questions import QuestionError
from inventory.measures.inputs import MoneyInput
from inventory.measures.lengths import shorten

_FORM = 1
"""Counts up when what is kept of a list could no longer be shown."""


def budget_from(text: str) -> int | None:
    """Whole cents, None where no budget was given. Raises QuestionError."""
    try:
        return MoneyInput(required=False).clean(text)
    except ValidationError as error:
        raise QuestionError(error.messages[0], field="budget", read=shorten(text)) from None


class BuyQuestion:
    """What to buy for the demand on file, beyond what the shop has: asked once, of the book as it stands now."""

    def __init__(self, *, budget: int | None, with_asks: bool = True) -> None:
        self.budget, self.with_asks = budget, with_asks
        self._crib = Purchasing()
        self._demands, self._unreadable = self._crib.demands(with_asks=with_asks)
        self._held = self._crib.held()

    def answered(self, *, seconds: float = ALLOWED_SECONDS, parts: Parts | None = None) -> BuyList:
        """The list. Raises Paused where the turn of `parts` ends before it is found."""
        return buy_list(
            self._demands,
            held=self._held,
            series=self._crib.series,
            budget=self.budget,
            unreadable=self._unreadable,
            seconds=seconds,
            parts=parts,
        )

    @cached_property
    def state(self) -> str:
        """The state of the book, as far as the list hangs on it: a digest of all that it is worked out from."""
        held = sorted(repr((*_series_of(item.series), item.reach)) for item in self._held)
        told = (_FORM, self._demands, self._unreadable, held, self._crib.as_told())
        return sha256(repr(told).encode()).hexdigest()

    @property
    def key(self) -> str:
        """One and the same for the same question to the same state of the book."""
        return sha256(repr((self.state, self.budget, self.with_asks)).encode()).hexdigest()


def _series_of(entry) -> tuple[str, str]:
    return entry.figures.code, entry.figures.shape


def to_buy(*, budget: int | None, with_asks: bool = True) -> BuyList:
    """What to buy for the demand on file, beyond what the shop has."""
    return BuyQuestion(budget=budget, with_asks=with_asks).answered()
