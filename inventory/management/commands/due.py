"""`manage.py due`: what is to be looked at, out, overdue, missing or not filled in."""

import json

from django.core.management.base import BaseCommand
from django.utils import timezone

from inventory.inspections.waiting import Waiting, everything
from inventory.measures.day_words import shown as day_shown
from inventory.web import shop_settings

_HEADINGS = {
    "inspections": "To inspect",
    "out": "Out",
    "overdue": "Overdue",
    "missing": "Missing",
    "details_missing": "Details missing",
}


class Command(BaseCommand):
    help = "What waits for somebody: inspections, what is out, overdue or missing, and details that are not filled in."
    requires_system_checks = ()  # they load every page of the site

    def add_arguments(self, parser):
        parser.add_argument("--json", action="store_true", help="print the lists as JSON")

    def handle(self, *, json: bool, **options):
        with shop_settings.as_the_shop():
            lists = everything(today=timezone.localdate())
            self.stdout.write(_as_json(lists) if json else _as_text(lists))


def _as_json(lists: dict[str, list[Waiting]]) -> str:
    rows = {name: [row.as_json() for row in waiting] for name, waiting in lists.items()}
    return json.dumps(rows, ensure_ascii=False, indent=2)


def _as_text(lists: dict[str, list[Waiting]]) -> str:
    lines = []
    for name, rows in lists.items():
        lines.append(f"{_HEADINGS[name]}: {len(rows) or 'nothing'}")
        lines += [f"  {row.tool.tag}  {row.tool.what}: {row.why}{_since(row)}" for row in rows]
    return "\n".join(lines)


def _since(row: Waiting) -> str:
    return f" (since {day_shown(row.since)})" if row.since else ""
