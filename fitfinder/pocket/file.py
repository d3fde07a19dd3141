"""The pocket card as one file: it asks for no other, and stays small however large the shop is."""

from __future__ import annotations

import base64
import hashlib
from datetime import datetime
from pathlib import Path

from django.template.loader import render_to_string
from msgspec import Struct

from fitfinder import crib
from fitfinder.holding.reader import crib_for_every_stock
from fitfinder.pocket.card import Card, card_of
from fitfinder.pocket.telling import DETAILS, CardPage, page_of
from fitfinder.questions import no_such_lathe
from inventory.measures.display import now

MOST_BYTES = 200_000
MOST_PRINTED = 70
"""So many sizes, each with its drawer, go on two pages of Letter and of A4 beside some chucks and cautions."""
_HERE = Path(__file__).resolve().parent
STYLE = (_HERE / "card.css").read_text(encoding="utf-8")
SCRIPT = (_HERE / "card.js").read_text(encoding="utf-8")


def _source(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


POLICY = {"style-src": [_source(STYLE)], "script-src": [_source(SCRIPT)]}
"""What the strict policy of the site lets pass beside its own where the card is shown as a page."""


class CardFile(Struct, frozen=True, kw_only=True):
    html: str
    page: CardPage

    @property
    def size(self) -> int:
        return len(self.html.encode())


def read_card(*, lathe: str = "") -> Card:
    """What anybody finds on hand now. Raises QuestionError where there is no such lathe."""
    figures = crib.shop_now()
    on_hand = crib_for_every_stock(figures, lathe=lathe)
    if lathe and not on_hand.crib.lathes:
        raise no_such_lathe(lathe, crib.lathe_names())
    return card_of(on_hand, allowance=figures.allowance)


def card_file(card: Card, *, as_of: datetime) -> CardFile:
    """With all that there is room for."""
    for detail in DETAILS:
        page = page_of(card, detail)
        made = CardFile(html=_html(page, as_of), page=page)
        if made.size <= MOST_BYTES:
            break
    return made


def _html(page: CardPage, as_of: datetime) -> str:
    words = {
        "page": page,
        "as_of": as_of,
        "style": STYLE,
        "script": SCRIPT,
        "is_short_on_paper": page.sizes > MOST_PRINTED,
        "unit": now().unit.value,
        "unit_words": "millimetres" if now().is_metric else "inches",
        "most": page.largest.nm,
    }
    return render_to_string("fitfinder/pocket_card.html", words)
