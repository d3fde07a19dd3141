"""Read tokens: how another program of the shop asks for answers without a person's password."""

from __future__ import annotations

import hashlib
import secrets
from typing import TYPE_CHECKING

from django.conf import settings
from django.db import models
from django.db.models import Q

if TYPE_CHECKING:
    from inventory.models.users import User


class ReadTokenQuerySet(models.QuerySet["ReadToken"]):
    def make(self, *, name: str, by: User) -> str:
        """A new token's text; only its digest is kept, so it can be shown this once."""
        text = secrets.token_urlsafe(32)
        self.create(name=name, digest=digest_of(text), made_by=by)
        return text

    def is_good(self, text: str) -> bool:
        made_by_one_who_may = Q(made_by__is_active=True, made_by__role="administrator")
        return self.filter(made_by_one_who_may, digest=digest_of(text), revoked_at=None).exists()


class ReadToken(models.Model):
    name = models.CharField(max_length=60, help_text="Which program reads with it.")
    digest = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    objects = ReadTokenQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return self.name


def digest_of(text: str) -> str:
    """A plain digest suffices: the token is 256 random bits, not a password that could be guessed."""
    return hashlib.sha256(text.encode()).hexdigest()
