"""Questions that no collet on hand could answer well, kept without a name."""

from django.db import connection, models

# In one statement: two people who ask the same at once must not meet in a constraint.
_COUNT_UP = """INSERT INTO inventory_ask (question, read_as, verdict, asked_on, times) VALUES (%s, %s, %s, %s, 1)
    ON CONFLICT (question, asked_on) DO UPDATE SET times = inventory_ask.times + 1, verdict = excluded.verdict"""


class AskQuerySet(models.QuerySet):
    def count_one(self, *, question: str, read_as: str, verdict: str, on) -> None:
        """One row for a question and day; asked again, it counts up."""
        with connection.cursor() as cursor:
            cursor.execute(_COUNT_UP, [question, read_as, verdict, on])


class Ask(models.Model):
    question = models.CharField(max_length=200, help_text="the address of the answer, without its path")
    read_as = models.CharField(max_length=200)
    verdict = models.CharField(max_length=20)
    asked_on = models.DateField()
    times = models.PositiveIntegerField(default=1)

    objects = AskQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_on", "-times"]
        constraints = [models.UniqueConstraint(fields=["question", "asked_on"], name="inventory_ask_once_a_day")]

    def __str__(self) -> str:
        return f"{self.read_as} ({self.times})"
