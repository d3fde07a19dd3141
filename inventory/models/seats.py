"""Standard places where one thing mounts in another, and what else a shop calls them."""

from functools import cache
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper
from simple_history.models import HistoricalRecords

from inventory.reference.codes import LONGEST, spelling_key
from inventory.reference.collets import collet_series
from inventory.reference.noses import spindle_noses
from inventory.reference.tapers import brown_sharpe_tapers, jacobs_tapers, jarno_tapers, morse_tapers


@cache
def codes_of_the_tables() -> frozenset[str]:
    """Those of the seats that every book has."""
    tables = (spindle_noses, morse_tapers, jacobs_tapers, brown_sharpe_tapers, jarno_tapers, collet_series)
    return frozenset(row.code for table in tables for row in table())


class Seat(models.Model):
    """A place such as the `D1-4` nose, the `MT3` socket or the `5C` seat; two pieces fit when it is the same."""

    class Family(models.TextChoices):
        NOSE = "nose", "spindle nose"
        THREAD = "thread", "threaded nose"
        TAPER = "taper", "taper"
        COLLET = "collet", "collet seat"
        BORE = "bore", "bore"
        POST = "post", "tool post"
        OTHER = "other", "the shop's own"

    code = models.CharField(max_length=30, unique=True)
    family = models.CharField(max_length=10, choices=Family, default=Family.OTHER)
    standard = models.CharField(max_length=200, blank=True)
    # The database knows the default too: a migration before these columns writes rows that do not name them.
    is_drawn = models.BooleanField("what sits in it is held by a drawbar", default=False, db_default=False)
    changed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["family", "code"]
        constraints = [
            models.UniqueConstraint(Upper("code"), name="inventory_seat_code_unique_in_any_case"),
            models.CheckConstraint(condition=~Q(code=""), name="inventory_seat_code_not_empty"),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def in_words(self) -> str:
        """Its code, and that no table knows it where that is so: `D1-4`; `QCTP, a name of this shop`."""
        return f"{self.code}, a name of this shop" if self.is_own else self.code

    @property
    def is_own(self) -> bool:
        """Whether no table has it."""
        return self.code not in codes_of_the_tables()

    @property
    def needs_drawbar(self) -> bool:
        """Whether a shank in this seat is only held by a drawbar: a Morse taper alone lets go under side load, and R8
        closes by it. Of a seat of its own the shop says so."""
        is_of_the_tables = self.code == "R8" or (self.family == self.Family.TAPER and self.code.startswith("MT"))
        return self.is_drawn or is_of_the_tables


class OtherName(models.Model):
    """A further name of a seat or of a series by which this shop calls it, beside the spellings that all know."""

    text = models.CharField("name", max_length=LONGEST)
    key = models.CharField(max_length=LONGEST, unique=True, editable=False)
    seat = models.ForeignKey(Seat, null=True, blank=True, on_delete=models.CASCADE, related_name="other_names")
    series = models.ForeignKey(
        "inventory.Series", null=True, blank=True, on_delete=models.CASCADE, related_name="other_names"
    )
    added_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    added_at = models.DateTimeField(auto_now_add=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["text"]
        constraints = [
            models.CheckConstraint(condition=~Q(key=""), name="inventory_other_name_not_empty"),
            models.CheckConstraint(
                condition=Q(seat=None, series__isnull=False) | Q(seat__isnull=False, series=None),
                name="inventory_other_name_of_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return self.text

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.key = spelling_key(self.text)
        super().save(*args, **kwargs)
