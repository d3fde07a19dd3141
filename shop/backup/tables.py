"""What a backup holds: every table of the book, as the database had it at some state of its migrations.

The tables come from the migrations and not from a list, so that a table more needs nothing here, and so that a
database which is behind or ahead of the code is read as what it is.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.apps import apps
from django.db import connections, models
from django.db.migrations.loader import MigrationLoader
from msgspec import Struct

LEFT_OUT = {
    "sessions.session": "who is signed in where; after a restore everybody signs in again",
    "axes.accessattempt": "wrong passwords of the last minutes, which lock a name",
    "axes.accessattemptexpiration": "when such a lock ends",
    "axes.accessfailurelog": "where wrong passwords came from: about the door of one machine, not about the shop",
    "axes.accesslog": "where people signed in from: about the door of one machine, not about the shop",
}
"""The tables that are in no backup, and why."""

EMPTIED = ("sessions.session",)
"""What is left out and yet has to go: a sign-in must not outlive the people that it belongs to."""


class BookTable(Struct, frozen=True):
    """One table; `name` is its model's, like `inventory.tool`."""

    name: str
    model: type[models.Model]

    @property
    def fields(self) -> list[models.Field]:
        return [field for field in self.model._meta.local_concrete_fields if not field.generated]

    @property
    def columns(self) -> list[str]:
        return [field.attname for field in self.fields]

    @property
    def in_database(self) -> str:
        return self.model._meta.db_table


class BookState:
    """The tables of a database at certain migrations; `heads` has the newest ones of each app."""

    def __init__(self, loader: MigrationLoader, heads: dict[str, list[str]]) -> None:
        self.heads = heads
        nodes = [(app, name) for app, names in sorted(heads.items()) for name in names]
        self.migrations = {node for head in nodes for node in loader.graph.forwards_plan(head)}
        # Of a book that is up to date the code has them; to draw them up from all migrations takes a good while.
        is_of_today = set(nodes) == set(loader.graph.leaf_nodes())
        models_then = (apps if is_of_today else loader.project_state(nodes).apps).get_models(include_auto_created=True)
        of_our_own = (model for model in models_then if model._meta.managed and not model._meta.proxy)
        self.all_tables = sorted(
            (BookTable(model._meta.label_lower, model) for model in of_our_own), key=lambda t: t.name
        )

    @property
    def tables(self) -> list[BookTable]:
        """What a backup of this state holds."""
        return [table for table in self.all_tables if table.name not in LEFT_OUT]

    @property
    def by_name(self) -> dict[str, BookTable]:
        return {table.name: table for table in self.all_tables}


def loader_of(using: str) -> MigrationLoader:
    return MigrationLoader(connections[using])


def applied_state(loader: MigrationLoader) -> BookState:
    """The state that the database is in; without a table where there is no book yet."""
    return BookState(loader, heads_among(loader, set(loader.applied_migrations) & set(loader.graph.nodes)))


def heads_among(loader: MigrationLoader, nodes: set[tuple[str, str]]) -> dict[str, list[str]]:
    """Of each app the migrations of `nodes` on which no other one of them and of that app stands."""
    heads: dict[str, list[str]] = {}
    for app, name in sorted(nodes):
        after = {child.key for child in loader.graph.node_map[app, name].children}
        if not any(child in nodes and child[0] == app for child in after):
            heads.setdefault(app, []).append(name)
    return heads


def unknown_to(loader: MigrationLoader, migrations: Iterable[tuple[str, str]]) -> list[str]:
    """The migrations, as `app name`, that this Gripbook does not have; those of apps it never heard of too."""
    return sorted(f"{app} {name}" for app, name in migrations if (app, name) not in loader.graph.nodes)
