"""One buy list from its texts to what is to buy; the page, the JSON and the command all come through here."""

from __future__ import annotations

from django.core.exceptions import ValidationError

from fitfinder.buying import BuyList, buy_list
from fitfinder.covering import ALLOWED_SECONDS
from fitfinder.crib_sizes import Purchasing
from fitfinder.stock import QuestionError
from inventory.inputs import MoneyInput
from inventory.lengths import shorten


def budget_from(text: str) -> int | None:
    """Whole cents, None where no budget was given. Raises QuestionError."""
    try:
        return MoneyInput(required=False).clean(text)
    except ValidationError as error:
        raise QuestionError(error.messages[0], field="budget", read=shorten(text)) from None


def to_buy(*, budget: int | None, with_asks: bool = True, seconds: float = ALLOWED_SECONDS) -> BuyList:
    """What to buy for the demand on file, beyond what the shop has."""
    crib = Purchasing()
    demands, unreadable = crib.demands(with_asks=with_asks)
    return buy_list(
        demands, held=crib.held(), series=crib.series, budget=budget, unreadable=unreadable, seconds=seconds
    )
