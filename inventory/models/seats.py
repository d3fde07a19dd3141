"""Standard places where one thing mounts in another."""

from django.db import models
from django.db.models import Q
from django.db.models.functions import Upper


class Seat(models.Model):
    """A place such as the `D1-4` nose, the `MT3` socket or the `5C` seat; two pieces fit when it is the same."""

    class Family(models.TextChoices):
        NOSE = "nose", "spindle nose"
        THREAD = "thread", "threaded nose"
        TAPER = "taper", "taper"
        COLLET = "collet", "collet seat"
        POST = "post", "tool post"
        OTHER = "other", "the shop's own"

    code = models.CharField(max_length=30, unique=True)
    family = models.CharField(max_length=10, choices=Family, default=Family.OTHER)
    standard = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["family", "code"]
        constraints = [
            models.UniqueConstraint(Upper("code"), name="inventory_seat_code_unique_in_any_case"),
            models.CheckConstraint(condition=~Q(code=""), name="inventory_seat_code_not_empty"),
        ]

    def __str__(self) -> str:
        return self.code

    @property
    def told(self) -> str:
        """Its code, and that no table knows it where that is so: `D1-4`; `QCTP, a name of this shop`."""
        return f"{self.code}, a name of this shop" if self.family == self.Family.OTHER else self.code

    @property
    def needs_drawbar(self) -> bool:
        """Whether a shank in this seat is only held by a drawbar: a Morse taper alone lets go under side load, and R8
        closes by it."""
        return self.code == "R8" or (self.family == self.Family.TAPER and self.code.startswith("MT"))
