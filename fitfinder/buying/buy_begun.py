"""A buy list that takes longer than a moment: begun, gone on with at each look at its page, and found again.

It lives in the database, as a sheet that was sent does, so that whoever leaves the page loses nothing and another
device goes on. A list that is there in a moment is kept nowhere.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from time import monotonic

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from msgspec.structs import asdict

from fitfinder.buying import buy_words
from fitfinder.buying.buy_list import money
from fitfinder.buying.buy_told import told
from fitfinder.buying.covering import ALLOWED_SECONDS
from fitfinder.buying.parts import Parts, Paused
from fitfinder.buying.question import BuyQuestion
from fitfinder.buying.solving import Solved
from inventory.models import BuySum

MOMENT = 0.7
"""Seconds that a first look works before it shows that it takes longer."""
STEP_SECONDS = 1.5
"""How long one look works before it shows how far it is; it ends with the part that it is at then."""
_OVERTIME = timedelta(seconds=15)
"""What a look may take beyond the time of the solver before it is held for lost."""


def look(question: BuyQuestion) -> BuySum:
    """The sum of this question, found or gone on with. One that was there in a moment is not kept: it has no `pk`."""
    kept = BuySum.objects.filter(key=question.key).first()
    if kept is None:
        return _first_look(question)
    if kept.found is None:
        _go_on(kept, question)
    return kept


def _first_look(question: BuyQuestion) -> BuySum:
    began = monotonic()
    parts = Parts(pause_at=began + MOMENT, is_short=True)
    try:
        found = told(question.answered(parts=parts))
    except Paused:
        found = None
    columns = {
        "state": question.state,
        "budget_cents": question.budget,
        "with_asks": question.with_asks,
        "found": found,
        **_progress(parts, began),
    }
    if found is not None and not parts.is_over:
        return BuySum(**columns)
    with transaction.atomic():
        BuySum.objects.forgotten(now=timezone.now()).delete()
        kept, _ = BuySum.objects.get_or_create(key=question.key, defaults=columns)
    return kept


def _go_on(kept: BuySum, question: BuyQuestion) -> None:
    """Work on it for a step, unless somebody else is at it; what was come to is kept."""
    now = timezone.now()
    mine = BuySum.objects.free(now=now).filter(pk=kept.pk)
    is_mine = mine.update(busy_until=now + timedelta(seconds=left_seconds(kept)) + _OVERTIME)
    kept.refresh_from_db()
    if not is_mine:
        return
    # Counted anew: whoever worked on it just before may have used some of it up.
    left = left_seconds(kept)
    began = monotonic()
    # Without any time left the rest is there at once, as good as it is.
    pause_at = began + STEP_SECONDS if left else None
    parts = Parts([Solved(**one) for one in kept.solved], pause_at=pause_at)
    columns = {}
    try:
        columns = {"found": told(question.answered(seconds=left, parts=parts))}
    except Paused:
        pass
    finally:
        progress = _progress(parts, began)
        progress["worked_ms"] = F("worked_ms") + progress["worked_ms"]
        BuySum.objects.filter(pk=kept.pk).update(**progress, **columns, busy_until=None)
    kept.refresh_from_db()


def _progress(parts: Parts, began: float) -> dict:
    return {
        "solved": [asdict(one) for one in parts.done],
        "next_part": parts.names[-1] if parts.names else "",
        "worked_ms": _ms(began),
    }


def _ms(began: float) -> int:
    return int((monotonic() - began) * 1000)


def left_seconds(kept: BuySum) -> float:
    """What the solver may still take of its time."""
    return max(0, ALLOWED_SECONDS - kept.worked_ms / 1000)


def how_far(kept: BuySum) -> dict:
    """How far a sum is that was not found yet, in words and numbers."""
    before = BuySum.objects.like(kept).first()
    left = f"{-(-left_seconds(kept) // 1):.0f} s"
    most = buy_words.MOST_PARTS if kept.budget_cents is None else buy_words.MOST_PARTS_FOR_A_BUDGET
    return {
        "done": len(kept.solved),
        "most": max(most, len(kept.solved) + 1),
        "words": f"Settling {buy_words.PARTS.get(kept.next_part, 'what can be bought')}; {kept.seconds} so far",
        "left": f"It has {left} more at most, and then shows the best that it found."
        + (f" The last such list took {before.seconds}." if before else ""),
    }


def kept_lists(*, now: BuyQuestion | None, most: int = 5) -> Iterable[dict]:
    """The newest sums that were kept, each with its address and whether the book is still as it was asked."""
    states = {now.with_asks: now.state} if now else {}
    for kept in BuySum.objects.all()[:most]:
        if kept.with_asks not in states:
            states[kept.with_asks] = BuyQuestion(budget=None, with_asks=kept.with_asks).state
        yield {
            "sum": kept,
            "name": "no budget" if kept.budget_cents is None else f"budget {money(kept.budget_cents)}",
            "budget": "" if kept.budget_cents is None else f"{kept.budget_cents / 100:.2f}",
            "is_changed": kept.state != states[kept.with_asks],
        }
