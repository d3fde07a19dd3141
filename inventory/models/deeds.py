"""The history of the administration: who let whom in, closed, took or put back what; never changed afterwards."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models
from django.utils import timezone
from simple_history.models import HistoricalRecords

if TYPE_CHECKING:
    from django.http import HttpRequest

    from inventory.models.users import User

_LONGEST = 200


class DeedAct(models.TextChoices):
    ENTERED = "entered", "entered"
    ROLE = "role", "given the role"
    CLOSED = "closed", "sign-in closed"
    OPENED = "opened", "sign-in opened again"
    PASSWORD = "password", "password set"
    FACTOR_ON = "factor on", "second factor turned on"
    FACTOR_OFF = "factor off", "second factor turned off"
    DEVICES = "devices", "signed out elsewhere"
    TOKEN = "token", "read token made"
    REVOKED = "revoked", "read token revoked"
    BACKUP = "backup", "backup taken"
    RESTORED = "restored", "book put back"
    SHOP = "shop", "the shop changed"


class DeedQuerySet(models.QuerySet["Deed"]):
    def keep(self, act: DeedAct, about: str = "") -> Deed:
        """By whoever is signed in to the request that is being answered, from their device; else at the machine."""
        request: HttpRequest | None = getattr(HistoricalRecords.context, "request", None)
        user = getattr(request, "user", None)
        return self.create(
            at=timezone.now(),
            by=user if user is not None and user.is_authenticated else None,
            device=request.META.get("REMOTE_ADDR") if request is not None else None,
            act=act,
            about=about[:_LONGEST],
        )


class Deed(models.Model):
    """One act of administration; `by` is empty for a command at the machine itself."""

    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+")
    device = models.GenericIPAddressField(null=True, blank=True)
    act = models.CharField(max_length=20, choices=DeedAct)
    about = models.CharField(max_length=_LONGEST, blank=True)

    objects = DeedQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=models.Q(act__in=DeedAct.values), name="inventory_deed_act_known"),
        ]

    def __str__(self) -> str:
        return f"{self.get_act_display()} {self.about}".strip()


def noted_changes(user: User, was: User | None) -> list[tuple[DeedAct, str]]:
    """What saving this person changes of what the administration has to know."""
    name = user.username
    if was is None:
        return [(DeedAct.ENTERED, f"{name}, {user.get_role_display()}")]
    changes = []
    if user.role != was.role:
        changes.append((DeedAct.ROLE, f"{name}: {was.get_role_display()} → {user.get_role_display()}"))
    if user.is_active != was.is_active:
        changes.append((DeedAct.OPENED if user.is_active else DeedAct.CLOSED, name))
    if user.password != was.password:
        changes.append((DeedAct.PASSWORD, name))
    if bool(user.totp_secret) != bool(was.totp_secret):
        changes.append((DeedAct.FACTOR_ON if user.totp_secret else DeedAct.FACTOR_OFF, name))
    return changes
