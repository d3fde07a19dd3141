"""A book that is new: its tables at once, as the models of today describe them.

Every migration from the first on would build the same, as tests/inventory/test_migrations.py has it on both databases,
but takes a shop's small computer a minute. A book that is there goes through the migrations that it lacks.
"""

from __future__ import annotations

from django.apps import apps
from django.db import connections
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder


def is_new(using: str) -> bool:
    """Whether there is not one table yet."""
    return not connections[using].introspection.table_names()


def make_tables(using: str) -> None:
    """Make all tables, none of which is there, and note that every migration is in them."""
    connection = connections[using]
    with connection.schema_editor() as editor:
        for model in apps.get_models():
            if model._meta.managed and not model._meta.proxy:
                editor.create_model(model)
    recorder = MigrationRecorder(connection)
    recorder.ensure_schema()
    for app, name in MigrationLoader(connection).graph.nodes:
        recorder.record_applied(app, name)
