"""A proxy for each group of kinds, with its own manager."""

from django.db import models

from inventory.models.kinds import CENTERS, CHUCKS, COLLETS, CUTTERS, HOLDERS, Kind
from inventory.models.tools import Tool, ToolQuerySet


class _OfKinds(models.Manager.from_queryset(ToolQuerySet)):
    kinds: tuple[Kind, ...] = ()

    def get_queryset(self):
        return super().get_queryset().filter(kind__in=self.kinds)


def _manager_of(kinds: tuple[Kind, ...]) -> models.Manager:
    return type("Manager", (_OfKinds,), {"kinds": kinds})()


class Collet(Tool):
    objects = _manager_of(COLLETS)

    class Meta:
        proxy = True


class Chuck(Tool):
    objects = _manager_of(CHUCKS)

    class Meta:
        proxy = True


class Center(Tool):
    objects = _manager_of(CENTERS)

    class Meta:
        proxy = True


class Holder(Tool):
    """All that holds something that is not the work itself, or drives it."""

    objects = _manager_of(HOLDERS)

    class Meta:
        proxy = True


class Cutter(Tool):
    """What cuts, or rolls, and is held itself."""

    objects = _manager_of(CUTTERS)

    class Meta:
        proxy = True
