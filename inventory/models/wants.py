"""Lines of the buy list, from wanted on."""

from django.conf import settings
from django.db import models
from django.db.models import Q


class Want(models.Model):
    """A size that somebody asked purchasing for. It stands once until it is received or dropped."""

    class State(models.TextChoices):
        WANTED = "wanted", "to order"
        ORDERED = "ordered", "on order"
        RECEIVED = "received", "received"
        DROPPED = "dropped", "dropped"

    size = models.ForeignKey("inventory.Size", on_delete=models.PROTECT, related_name="wants")
    state = models.CharField(max_length=10, choices=State, default=State.WANTED)
    why = models.CharField(max_length=200, blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="wants")
    asked_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-asked_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["size"],
                condition=Q(state__in=["wanted", "ordered"]),
                name="inventory_want_stands_once",
            )
        ]

    def __str__(self) -> str:
        return f"{self.size}, {self.get_state_display()}"
