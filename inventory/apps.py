from django.apps import AppConfig
from django.db.models.signals import post_migrate


class InventoryConfig(AppConfig):
    name = "inventory"

    def ready(self) -> None:
        post_migrate.connect(_load_builtin, sender=self)


def _load_builtin(*, using="default", **_signal) -> None:
    from django.db import connections

    from inventory.figures import builtin
    from inventory.keeping import no_circles
    from inventory.models import SeriesShape

    # A migrate that stops at an older state has no tables to fill yet.
    if using == "default" and SeriesShape._meta.db_table in connections[using].introspection.table_names():
        builtin.load()
        no_circles.install(connections[using])
