"""The people of the shop, and what each role may do."""

from __future__ import annotations

from typing import Any, ClassVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from inventory.measures.lengths import RunoutUnit, Unit
from inventory.models.deeds import Deed, noted_changes


class Role(models.TextChoices):
    MACHINIST = "machinist", "machinist"
    KEEPER = "keeper", "crib keeper"
    PURCHASING = "purchasing", "purchasing"
    ADMINISTRATOR = "administrator", "administrator"


class People(UserManager["User"]):
    def create_superuser(
        self, username: str, email: str | None = None, password: str | None = None, **extra_fields: Any
    ) -> User:
        extra_fields["role"] = Role.ADMINISTRATOR
        return super().create_superuser(username, email, password, **extra_fields)

    def administrators(self) -> models.QuerySet[User]:
        """Those who may sign in and let the others in."""
        return self.filter(role=Role.ADMINISTRATOR, is_active=True)


class User(AbstractUser):
    """One person. Staff and superuser follow from the role; they are never set by themselves."""

    role = models.CharField(max_length=20, choices=Role, default=Role.MACHINIST)

    must_change_password = models.BooleanField(default=False, db_default=False)
    """Somebody else knows it: whoever entered this person."""
    totp_secret = models.CharField(max_length=64, blank=True, default="", db_default="")
    totp_used = models.BigIntegerField(default=0, db_default=0)
    """The last half minute of which a code was taken: none opens twice."""

    unit = models.CharField(max_length=2, blank=True, default="", db_default="")
    runout_unit = models.CharField(max_length=4, blank=True, default="", db_default="")
    """In which this person reads and writes lengths and run-out; empty where it is as in the shop."""

    objects: ClassVar[People] = People()

    class Meta(AbstractUser.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(is_superuser=True, is_staff=True, role=Role.ADMINISTRATOR)
                | Q(is_superuser=False, is_staff=False) & ~Q(role=Role.ADMINISTRATOR),
                name="inventory_user_rights_follow_role",
                violation_error_message="An administrator, and nobody else, may administer.",
            ),
            models.CheckConstraint(condition=Q(role__in=Role.values), name="inventory_user_role_known"),
            models.CheckConstraint(condition=Q(unit__in=["", *Unit]), name="inventory_user_unit_known"),
            models.CheckConstraint(
                condition=Q(runout_unit__in=["", *RunoutUnit]), name="inventory_user_runout_unit_known"
            ),
        ]

    def clean(self) -> None:
        super().clean()
        lets_others_in = self.is_active and self.role == Role.ADMINISTRATOR
        if lets_others_in or not User.objects.administrators().filter(pk=self.pk).exists():
            return
        if not User.objects.administrators().exclude(pk=self.pk).exists():
            field = "is_active" if self.role == Role.ADMINISTRATOR else "role"
            raise ValidationError(
                {field: f"{self} is the last administrator who may sign in. Enter another one first."}
            )

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.is_staff = self.is_superuser = self.role == Role.ADMINISTRATOR
        # What only notes a sign-in, or writes the same password in a newer way, is no act of anybody.
        only = set(kwargs.get("update_fields") or ())
        is_noted = bool(only) and only <= {"last_login", "password", "totp_used", "unit", "runout_unit"}
        was = User.objects.filter(pk=self.pk).first() if self.pk and not is_noted else None
        super().save(*args, **kwargs)
        for act, about in [] if is_noted else noted_changes(self, was):
            Deed.objects.keep(act, about)

    @property
    def may_keep(self) -> bool:
        """Edit, inspect, count and import."""
        return self.role in {Role.KEEPER, Role.ADMINISTRATOR}

    @property
    def may_issue(self) -> bool:
        """Take a piece out and bring it back."""
        return self.role in {Role.MACHINIST, Role.KEEPER, Role.ADMINISTRATOR}

    @property
    def may_buy(self) -> bool:
        """Work on what is to be ordered."""
        return self.role in {Role.PURCHASING, Role.ADMINISTRATOR}

    @property
    def may_administer(self) -> bool:
        return self.role == Role.ADMINISTRATOR
