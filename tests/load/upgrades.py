"""A filled book of each earlier migration is upgraded to that of today: what is lost, and whether the site opens it.

Run by hand: `python tests/load/upgrades.py [--only 0017 --only 0028] [--in-one-go]`. DATABASE_URL chooses SQLite (a
file in a temporary folder where it is not set) or PostgreSQL; databases are made beside the one that is named and taken
away. Every table of the old book gets rows, with as little in them as it takes, and with all that it takes. In one go,
one book is filled so at each migration on its way to that of today: minutes, not hours. Printed are, of each migration,
how many tables and rows were filled, the rows that are gone afterwards, columns of the same name that have another
value, and pages that do not open. Ends with 1 where a row is gone or has another value, or a page does not open.
"""

from __future__ import annotations

import argparse
import datetime
import os
import signal
import sys
import tempfile
import uuid
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
PAGES = (
    "/",
    "/desk/",
    "/tooling/",
    "/places/",
    "/lathes/",
    "/buying/",
    "/buying/orders/",
    "/desk/import/entered/",
    "/desk/due/",
)

CHOICES_TRIED = 4
KNOWN = {
    "kind": ("lathe dog", "draw bar", "outside", "collet"),
    "condition": ("good", "worn"),
    "state": ("wanted", "ordered"),
    "finding": ("", "scored"),
    "shape": ("round", "hex"),
}
"""Words of columns that take no others."""
DROPPED = {
    "inventory_buysum": "0016: sums that anybody can have worked out anew, kept while they were being worked out"
}
"""Tables that a migration takes away on purpose, and why nobody misses what stood there."""
FROZEN = {"frozen_at": "made_at", "frozen_by_id": "made_by_id"}
"""0033 fills these columns of older setup sheets, where they are empty, from those."""
FEW = {"inventory_lathe"}
"""Tables that get fewer rows of one book: what is missing is worked out for each lathe, and no shop has thousands."""


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--only", action="append", metavar="NUMBER")
    parser.add_argument("--in-one-go", action="store_true", help="one book, filled anew at each migration")
    wanted = parser.parse_args()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    sys.path[:0] = [str(ROOT), str(Path(__file__).resolve().parent)]
    import cribs
    import django

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the databases are taken away
    all_names = sorted(path.stem for path in (ROOT / "inventory" / "migrations").glob("0*.py"))
    names = [name for name in all_names if not wanted.only or name[:4] in wanted.only]
    try:
        with cribs.made([]) as made, tempfile.TemporaryDirectory(prefix="gripbook-load-") as folder:
            given = os.environ.get("DATABASE_URL", "").strip() or f"sqlite:///{folder}/crib"
            if wanted.in_one_go:
                sound = [Upgrade(made, given, names[0]).tell_of_all(names)]
            else:
                sound = [Upgrade(made, given, name).tell() for name in names]
    except cribs.InUse as error:
        sys.exit(str(error))
    sys.exit(0 if all(sound) else 1)


class Upgrade:
    """Of a copy of an empty book that goes from migration to migration."""

    def __init__(self, made, given: str, name: str) -> None:
        self.name, self.made = name, made
        self.before: dict[str, dict[object, dict[str, object]]] = {}
        self.filled_at: dict[tuple[str, object], str] = {}
        made.urls |= {"empty": f"{given}_empty", name: f"{given}_{name[:4]}"}

    def tell(self) -> bool:
        self._step()
        self.made.copy("empty", to=self.name)
        self.made.open(self.name)
        refused = self._fill()
        is_sound = self._upgraded(self.name, refused)
        self.made.drop(self.name)
        return is_sound

    def tell_of_all(self, names: list[str]) -> bool:
        refused: set[str] = set()
        for self.name in names:
            self._step()
            refused |= {f"{self.name[:4]} {table}" for table in self._fill()}
            print(f"filled at {self.name}", file=sys.stderr, flush=True)
        return self._upgraded(f"{names[0][:4]} to {names[-1][:4]} in one go", sorted(refused))

    def _upgraded(self, name: str, refused: list[str]) -> bool:
        from django.core.management import call_command
        from django.db import connection

        call_command("migrate", verbosity=0, interactive=False)
        connection.check_constraints()
        gone, other = self._compare()
        rows = sum(map(len, self.before.values()))
        print(
            f"{connection.vendor}, {name}: {len(self.before)} tables, {rows} rows; not to be filled {refused}; "
            f"gone {gone or 0}; another value {sorted(other) or 0}; dropped on purpose "
            f"{sorted(DROPPED.keys() & self.before.keys()) or 0}",
            flush=True,
        )
        closed = _pages_that_do_not_open()
        print(f"pages that do not open {closed or 0}", flush=True)
        return not gone and not other and not closed

    def _step(self) -> None:
        from django.core.management import call_command

        if self.made.is_made("empty"):
            self.made.open("empty")
            call_command("migrate", "inventory", self.name, verbosity=0)
        else:
            self.made.make("empty", lambda: None, upto=self.name)

    def _fill(self) -> list[str]:
        from django.db import connection
        from django.db.migrations.executor import MigrationExecutor

        apps = MigrationExecutor(connection).loader.project_state([("inventory", self.name)]).apps
        models = [model for model in apps.get_models() if model._meta.app_label == "inventory"]
        are_all_there = all(model._base_manager.exists() for model in models)
        for _ in range(1 if are_all_there else 3):  # until those that others point to are there
            for model in models:
                is_enough = model._meta.db_table in FEW & self.before.keys()
                for choice in range(1 if is_enough else CHOICES_TRIED):
                    for further in _further(model):
                        _make(model, choice, further)
        for model in models:
            table = model._meta.db_table
            for row in model._base_manager.values("pk", *_columns(model)):
                if (table, row["pk"]) not in self.filled_at:
                    self.filled_at[table, row["pk"]] = self.name[:4]
                    self.before.setdefault(table, {})[row["pk"]] = row
        return sorted(model._meta.model_name for model in models if model._meta.db_table not in self.before)

    def _compare(self) -> tuple[dict[str, dict[str, int]], set[str]]:
        """How many rows of each table are gone, by the migration that they were made at; and columns that differ."""
        from django.apps import apps

        gone: dict[str, dict[str, int]] = {}
        other: set[str] = set()
        models = {model._meta.db_table: model for model in apps.get_models(include_auto_created=True)}
        for table, rows in self.before.items():
            model = models.get(table)
            if model is None:
                gone |= {} if table in DROPPED else {table: self._counted(table, rows)}
                continue
            columns = _columns(model)
            now = {row["pk"]: row for row in model._base_manager.values("pk", *columns)}
            if lost := rows.keys() - now.keys():
                gone[table] = self._counted(table, lost)
            for key in rows.keys() & now.keys():
                same = rows[key].keys() & now[key].keys()
                other |= {
                    f"{table}.{column}"
                    for column in same
                    if rows[key][column] != now[key][column]
                    and not (table == "inventory_setupsheet" and _is_frozen(column, rows[key], now[key]))
                }
        return gone, other

    def _counted(self, table: str, keys: Iterable[object]) -> dict[str, int]:
        return dict(Counter(self.filled_at[table, key] for key in keys))


def _is_frozen(column: str, before: dict[str, object], now: dict[str, object]) -> bool:
    return column in FROZEN and before["frozen_at"] is None and now[column] == now[FROZEN[column]]


def _columns(model) -> list[str]:
    return [field.attname for field in model._meta.concrete_fields if not field.primary_key]


def _further(model) -> list[set[str]]:
    """Columns to fill beside those that must be: none, one that leads to another table, or all."""
    free = {field.name: field.is_relation for field in model._meta.concrete_fields if not _must_be(field)}
    return [set(), *({name} for name, leads in free.items() if leads), set(free)]


def _must_be(field) -> bool:
    return not (field.null or field.has_default() or field.blank)


def _make(model, choice: int, further: set[str]) -> None:
    """A row with the choice of this number, where the constraints of this table let it be."""
    from django.db import Error, transaction

    fields = [field for field in model._meta.concrete_fields if not field.primary_key]
    values = {
        field.attname: _value(field, choice)
        for field in fields
        if _must_be(field) or field.name in further | KNOWN.keys()
    }
    try:
        with transaction.atomic():
            model._base_manager.create(**values)
    except (Error, ValueError, TypeError):
        return


def _value(field, choice: int):
    """Something that the column takes."""
    from django.db import models
    from django.utils import timezone

    if field.is_relation:
        return _row_of(field)
    if field.name in KNOWN:
        return KNOWN[field.name][choice % len(KNOWN[field.name])]
    if field.choices:
        return field.choices[choice % len(field.choices)][0]
    if isinstance(field, models.UUIDField):
        return uuid.uuid4()
    if isinstance(field, models.DateTimeField):
        return timezone.now()
    if isinstance(field, models.DateField):
        return datetime.date(2026, 3, 18)
    if isinstance(field, models.BooleanField):
        return True
    if isinstance(field, models.JSONField):
        return {}
    if isinstance(field, models.BinaryField):
        return b"x"
    if isinstance(field, models.CharField | models.TextField):
        return f"X{uuid.uuid4().hex.upper()}"[: min(field.max_length or 12, 12)]
    if isinstance(field, models.IntegerField) and "Length" not in type(field).__name__:
        return 1
    return field.to_python(12_700_000) if "Length" in type(field).__name__ else field.get_default()


def _row_of(field):
    """The key of one of the last rows; of two columns that lead to one table, each gets another where there is one."""
    alike = [other for other in field.model._meta.concrete_fields if other.related_model is field.related_model]
    keys = field.related_model._base_manager.order_by("-pk").values_list("pk", flat=True)[: alike.index(field) + 1]
    return list(keys)[-1] if keys else None


def _pages_that_do_not_open() -> list[str]:
    from django.conf import settings
    from django.test import Client

    from inventory.models import Tool, User

    settings.ALLOWED_HOSTS = ["testserver"]
    person, _ = User.objects.get_or_create(username="opens-it", defaults={"role": "administrator"})
    browser = Client(raise_request_exception=False)
    browser.force_login(person, backend="django.contrib.auth.backends.ModelBackend")
    pieces = [f"/t/{tag}/" for tag in Tool.objects.order_by("pk").values_list("tag", flat=True)[:3]]
    return [f"{page} {status}" for page in (*PAGES, *pieces) if (status := browser.get(page).status_code) >= 400]


if __name__ == "__main__":
    main()
