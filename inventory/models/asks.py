"""Questions that no collet on hand could answer well, kept without a name."""

from collections import defaultdict, deque
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from typing import Self
from urllib.parse import parse_qs

from django.db import OperationalError, connection, models
from django.db.backends.utils import CursorWrapper
from django.db.models import Max, Sum
from msgspec import Struct

# In one statement: two people who ask the same at once must not meet in a constraint.
_COUNT_UP = """INSERT INTO inventory_ask (question, read_as, verdict, asked_on, times) VALUES (%s, %s, %s, %s, 1)
    ON CONFLICT (question, asked_on) DO UPDATE SET times = inventory_ask.times + 1, verdict = excluded.verdict,
    dismissed_at = NULL"""

_MOST_QUESTIONS = 1000
_WAITING: deque[tuple[str, str, str, date]] = deque(maxlen=_MOST_QUESTIONS)
"""What could not be counted at once."""


@contextmanager
def _at_once(cursor: CursorWrapper) -> Iterator[None]:
    if connection.vendor != "sqlite":
        yield
        return
    (usual,) = cursor.execute("PRAGMA busy_timeout").fetchone()
    cursor.execute("PRAGMA busy_timeout = 0")
    try:
        yield
    finally:
        cursor.execute(f"PRAGMA busy_timeout = {usual}")


class AskedFor(Struct, frozen=True):
    """The same size and shape, asked for on the same lathe (empty: on any): how often, when last, one such question."""

    read_as: str
    lathe: str
    question: str
    times: int
    last_on: date


class AskQuerySet(models.QuerySet["Ask"]):
    def standing(self) -> Self:
        """All that nobody has dismissed; a question that is asked again on the same day stands again."""
        return self.filter(dismissed_at=None)

    def grouped(self, *, most: int) -> list[AskedFor]:
        """What people looked for, by size, shape and lathe; what was asked most often first."""
        rows = (
            self.values("question", "read_as")
            .annotate(all_times=Sum("times"), last_on=Max("asked_on"))
            .order_by("-all_times", "-last_on", "question")
        )
        groups = defaultdict(list)
        for row in rows[:_MOST_QUESTIONS]:
            groups[row["read_as"], lathe_in(row["question"])].append(row)
        asks = [
            AskedFor(
                read_as=read_as,
                lathe=lathe,
                question=group[0]["question"],
                times=sum(row["all_times"] for row in group),
                last_on=max(row["last_on"] for row in group),
            )
            for (read_as, lathe), group in groups.items()
        ]
        return sorted(asks, key=lambda ask: (ask.times, ask.last_on), reverse=True)[:most]

    def dismiss(self, *, read_as: str, lathe: str, at: datetime) -> int:
        """Let all that was asked for this size on this lathe rest; how many questions that were."""
        rows = self.standing().filter(read_as=read_as).values_list("pk", "question")
        keys = [pk for pk, question in rows if lathe_in(question) == lathe]
        return self.filter(pk__in=keys).update(dismissed_at=at)

    def count_one(self, *, question: str, read_as: str, verdict: str, on: date) -> None:
        """One row for a question and day; asked again, it counts up.

        Whoever only asks never waits for whoever writes into a SQLite book: counted is then with a later question.
        """
        _WAITING.append((question, read_as, verdict, on))
        with connection.cursor() as cursor, _at_once(cursor):
            while _WAITING:
                asked = _WAITING.popleft()
                try:
                    cursor.execute(_COUNT_UP, asked)
                except OperationalError as error:
                    if "database is locked" not in str(error):
                        raise
                    _WAITING.append(asked)
                    return


def lathe_in(question: str) -> str:
    """The lathe that a question names in its address; empty where it asked for any."""
    return parse_qs(question).get("lathe", [""])[0].strip()[:40]


class Ask(models.Model):
    question = models.CharField(max_length=200, help_text="the address of the answer, without its path")
    read_as = models.CharField(max_length=200)
    verdict = models.CharField(max_length=20)
    asked_on = models.DateField()
    times = models.PositiveIntegerField(default=1)
    dismissed_at = models.DateTimeField(null=True, blank=True)

    objects = AskQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_on", "-times"]
        constraints = [models.UniqueConstraint(fields=["question", "asked_on"], name="inventory_ask_once_a_day")]

    def __str__(self) -> str:
        return f"{self.read_as} ({self.times})"
