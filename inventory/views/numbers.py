"""Where the numbers come from: every figure in use with its source, its basis and what the shop changed."""

from collections.abc import Callable
from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET
from msgspec import Struct

from inventory.figures.series import built_in, in_words, own_figures, values_of
from inventory.models import SeriesShape, ShopFigures, WorkingMinutes
from inventory.reference.catalog import BASES, NO_WITNESS, TABLES, FigureLine, PublishedTable
from inventory.web.tables import Column, heads_of, in_order

MOST_SHOWN = 200
MOST_READ = 100
"""Characters of a search; more is not looked at."""
COLUMNS = (Column("Name", "name"), Column("Figures"), Column("Source", "source"), Column("Basis", "basis"))
_BY: dict[str, Callable[[FigureLine], str]] = {
    "name": lambda line: line.name.lower(),
    "source": lambda line: line.source.lower(),
    "basis": lambda line: line.basis,
}


class ShownTable(Struct, frozen=True):
    """Lines of one table that are shown; `mentioned` are further ones, of another name."""

    table: PublishedTable
    lines: tuple[FigureLine, ...]
    mentioned: tuple[FigureLine, ...] = ()

    def sorted(self, request: HttpRequest) -> "ShownTable":
        return ShownTable(self.table, tuple(in_order(request, self.lines, _BY)), self.mentioned)

    def apart(self, words: list[str]) -> "ShownTable":
        """Those that go by this name before those that only mention it."""
        named = tuple(line for line in self.lines if all(word in line.name.lower() for word in words))
        return ShownTable(self.table, named, tuple(line for line in self.lines if line not in named))


class ChangedFigures(Struct, frozen=True):
    """Figures of the shop in place of those of a table: where, what, who and when."""

    figures: SeriesShape
    what: str
    by: str
    at: datetime | None

    def says(self, words: list[str]) -> bool:
        text = f"{self.figures} {self.what} {self.by}".lower()
        return all(word in text for word in words)


@require_GET
def numbers(request: HttpRequest) -> HttpResponse:
    asked = " ".join(request.GET.get("q", "")[:MOST_READ].split())
    key = request.GET.get("table", "")
    groups = [group.sorted(request) for group in _tables_with(asked, key)] if asked or key else []
    count = sum(len(group.lines) for group in groups)
    return render(
        request,
        "inventory/numbers.html",
        {
            "place": "desk",
            "asked": asked,
            "heads": heads_of(request, COLUMNS),
            "is_narrowed": bool(asked or key),
            "groups": _named_first(_cut(groups), asked.lower().split()) if asked else groups,
            "count": count,
            "further": max(0, count - MOST_SHOWN) if asked else 0,
            "tables": TABLES,
            "own": [own for own in _changed_figures() if own.says(asked.lower().split())],
            "minutes": _minutes(asked.lower().split()),
            "shop": ShopFigures.objects.now(),
            "bases": BASES,
            "unwitnessed": sum(bool(line.unwitnessed) for table in TABLES for line in table.lines),
            "no_witness": NO_WITNESS,
        },
    )


def _tables_with(asked: str, key: str) -> list[ShownTable]:
    words = asked.lower().split()
    chosen = [table for table in TABLES if key in ("", "all", table.key)]
    groups = [ShownTable(table, tuple(line for line in table.lines if line.says(words))) for table in chosen]
    return [group for group in groups if group.lines]


def _cut(groups: list[ShownTable]) -> list[ShownTable]:
    left, cut = MOST_SHOWN, []
    for group in groups:
        if left > 0:
            cut.append(ShownTable(group.table, group.lines[:left]))
        left -= len(group.lines)
    return cut


def _named_first(groups: list[ShownTable], words: list[str]) -> list[ShownTable]:
    """Where anything goes by the name that was looked for, what only mentions it is told behind it."""
    parted = [group.apart(words) for group in groups]
    if not any(group.lines for group in parted):
        return groups
    return sorted(parted, key=lambda group: not group.lines)


def _changed_figures() -> list[ChangedFigures]:
    rows = SeriesShape.objects.exclude(changed_by=None).select_related("series", "changed_by")
    return [_as_changed(figures) for figures in rows]


def _as_changed(figures: SeriesShape) -> ChangedFigures:
    """The shop's own figures, each with what the table says, who changed it last and when."""
    here, table = values_of(figures), built_in(figures)
    words = {column.name: column.verbose_name for column in SeriesShape._meta.fields}
    what = "; ".join(
        f"{words[name]} {in_words(here[name])}, built in {in_words(table[name])}" for name in own_figures(figures)
    )
    if figures.is_own:
        what = "a series of this shop's own"
    newest = figures.history.order_by("-history_id").first()
    return ChangedFigures(figures, what, str(figures.changed_by), newest.history_date if newest else None)


def _minutes(words: list[str]) -> list[WorkingMinutes]:
    """The shop's own minutes whose step has all these words."""
    rows = WorkingMinutes.objects.select_related("changed_by")
    return [row for row in rows if all(word in row.step.lower() for word in words)]
