"""A book that is new: its tables at once, as the models describe them, those of today or of an older Gripbook.

Every migration from the first on would build the same, as tests/inventory/test_migrations.py has it, but takes a shop's
small computer a minute. A book that is there goes through the migrations that it lacks.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.apps import apps
from django.db import connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.db.models import Model


def is_new(using: str) -> bool:
    """Whether there is not one table yet."""
    return not connections[using].introspection.table_names()


def make_tables_of_today(using: str) -> None:
    make_tables(using, apps.get_models(), MigrationLoader(connections[using]).graph.nodes)


def make_tables(using: str, models: Iterable[type[Model]], migrations: Iterable[tuple[str, str]]) -> None:
    """Make the tables of these models, none of which is there, and note that these migrations are in them."""
    connection = connections[using]
    with connection.schema_editor() as editor:
        for model in models:
            # A table between two others is made with the one that has the field.
            if model._meta.managed and not model._meta.proxy and not model._meta.auto_created:
                editor.create_model(model)
    recorder = MigrationRecorder(connection)
    recorder.ensure_schema()
    for app, name in migrations:
        recorder.record_applied(app, name)
