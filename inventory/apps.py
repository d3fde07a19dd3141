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
    from inventory.models import Seat, Series, SeriesShape

    # A migrate that stops at an older state has no tables to fill yet, or not all of their columns.
    if using == "default" and all(_is_as_described(model, connections[using]) for model in (Seat, Series, SeriesShape)):
        builtin.load()
        no_circles.install(connections[using])


def _is_as_described(model, connection) -> bool:
    """Whether the table of a model is there with all its columns."""
    table = model._meta.db_table
    if table not in connection.introspection.table_names():
        return False
    with connection.cursor() as cursor:
        columns = {column.name for column in connection.introspection.get_table_description(cursor, table)}
    return {field.column for field in model._meta.concrete_fields} <= columns
