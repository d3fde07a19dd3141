"""The demo crib: the invented shop Millrace Works, which restores mills and pumps."""

import csv
import uuid
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from django.db import transaction

from inventory.keeping.lathes import LatheForm
from inventory.measures.lengths import Length, parse
from inventory.models import JawSet, Lathe, Loan, Location, Tool, User, Want
from inventory.models.kinds import Place
from inventory.pieces.book import Book
from inventory.pieces.form import PieceForm
from shop.demo import counted, orders, purchasing, today

_HERE = Path(__file__).resolve().parent

_PLACES = {
    "Cabinet E": ("E1", "E2", "E3", "E4", "E5", "E6"),
    "Cabinet F": ("F1", "F2"),
    "Cabinet G": ("G1", "G2"),
    "Cabinet H": ("H1", "H2", "H3", "H4", "H5"),
    "Floor rack": (),
    "Bench rail": (),
}
_LATHES = (
    {
        "name": "Lathe 1", "nose": "D1-4", "headstock_taper": "MT5", "tailstock_taper": "MT3",
        "post": "Wedge post 1", "spindle_bore": "1.57", "spindle_length": "17-1/2", "swing_over_bed": "13",
        "swing_over_slide": "7-3/4", "between_centers": "40", "set_over": "1/2", "compound_travel": "4",
        "slowest_rpm": "70", "fastest_rpm": "2000", "nose_tir": "0.0001",
    },
    {
        "name": "Lathe 2", "nose": "1-1/2-8", "headstock_taper": "MT3", "tailstock_taper": "MT2",
        "spindle_bore": "25/32", "spindle_length": "14", "swing_over_bed": "10", "swing_over_slide": "5-7/8",
        "between_centers": "24", "set_over": "3/8", "compound_travel": "2-1/2",
        "slowest_rpm": "55", "fastest_rpm": "1400",
    },
)  # fmt: skip
_MOUNTED = {
    "K-0081": ("Lathe 1", Place.NOSE),
    "N-0091": ("Lathe 1", Place.TAILSTOCK),
    "H-0078": ("Lathe 1", Place.POST),
    "K-0084": ("Lathe 2", Place.NOSE),
}


class _Jaws(NamedTuple):
    chuck: str
    kind: str
    outside: tuple[str, str] = ("", "")
    inside: tuple[str, str] = ("", "")
    bored_to: str = ""
    location: str = ""
    is_in: bool = False


_JAWS = (
    _Jaws("K-0081", "outside", ("1/8", "8"), ("2-1/4", "7-1/2"), is_in=True),
    _Jaws("K-0081", "soft", bored_to="1-1/2", location="Floor rack"),
    _Jaws("K-0083", "outside", ("1/8", "6"), ("1-1/2", "5-1/4"), is_in=True),
    _Jaws("K-0084", "inside", ("2", "5"), ("1-1/4", "4-1/2"), location="F1"),
)
_MISSING = {"C-0036": 12}
"""Tag -> days since nobody has found it."""
_LENT = {"C-0010": ("machinist", 2, 5), "C-0012": ("keeper", 16, -3)}
"""Tag -> who has it, days ago, and days until it is due."""
_WANTED = ("5C", "round", "7/16", "Gland studs and impeller nuts: asked for every week.")


@transaction.atomic
def load(*, now: datetime) -> int:
    """Put the demo crib into the book and return how many pieces were added.

    A piece, lathe or place that is or ever was in the book stays as it is. Days are counted back from `now`.
    The users of `shop.demo.people` must be there.
    """
    # By the history, so that a piece which was retired, edited or tagged anew since does not come back.
    ever = set(Tool.history.order_by("tag").values_list("tag", flat=True).distinct())
    rows = [row for row in _rows("crib.csv") if row["tag"] not in ever]
    _make_lathes()
    if not rows:
        return 0
    _make_places(since=now - timedelta(days=orders.ENTERED_DAYS_AGO))
    keeper = User.objects.get(username="keeper")
    book = Book()
    tools = {row["tag"]: _piece(row, book=book, today=now.date(), by=keeper) for row in rows}
    _keep_readings(tools, today=now.date(), by=keeper)
    _give_jaws(tools)
    _mount(tools)
    _lose(tools, today=now.date())
    _lend(tools, now=now)
    _ask_for_one(book)
    purchasing.load(by=User.objects.get(username="purchasing"))
    counted.load(now=now, keeper=keeper, machinist=User.objects.get(username="machinist"))
    orders.load(tools, now=now)
    today.load(tools, now=now)
    return len(tools)


def _rows(name: str) -> list[dict[str, str]]:
    with (_HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, restval=""))


def _make_lathes() -> None:
    for described in _LATHES:
        if not Lathe.history.filter(name=described["name"]).exists():
            _without_errors(LatheForm(described)).save()


def _make_places(*, since: datetime) -> None:
    crib = _place("Crib", inside=None, since=since)
    for name, drawers in _PLACES.items():
        furniture = _place(name, inside=crib, since=since)
        for drawer in drawers:
            _place(drawer, inside=furniture, since=since)


def _place(name: str, *, inside: Location | None, since: datetime) -> Location:
    place = Location.objects.filter(name__iexact=name).first()
    if place is None:
        place = Location.objects.create(name=name, parent=inside)
        place.history.update(history_date=since)
    return place


def _piece(row: dict[str, str], *, book: Book, today, by: User) -> Tool:
    days_ago = row.pop("inspected_days_ago")
    row["inspected_on"] = (today - timedelta(days=int(days_ago))).isoformat() if days_ago else ""
    for name in ("belongs_to", "set_for"):
        # A lathe that a person named otherwise is not this one any longer.
        row[name] = row[name] if row[name].upper() in book.lathes else ""
    return _without_errors(PieceForm(row, book=book)).save(by=by)


def _without_errors(form):
    # The demo's own figures: an error here is a mistake in this folder.
    if not form.is_valid():
        raise ValueError(f"The demo crib is wrong at {form.data}: {form.errors.as_json()}")
    return form


def _keep_readings(tools: dict[str, Tool], *, today, by: User) -> None:
    """Readings in the order in which they were taken, so that a trend can be seen."""
    for row in _rows("readings.csv"):
        if row["tag"] in tools:
            tools[row["tag"]].record(
                tir=parse(row["tir"]) if row["tir"] else None,
                taken_on=today - timedelta(days=int(row["days_ago"])),
                by=by,
                finding=row["finding"],
                note=row["note"],
                **_how_taken(row),
            )


def _how_taken(row: dict[str, str]) -> dict:
    """On what the reading of a row was taken."""
    where = row["taken_in"]
    return {
        "is_bare": True if where == "bare" else None,
        "in_holder": Tool.objects.filter(tag=where).first() if where not in ("", "bare") else None,
        "on_lathe": Lathe.objects.filter(name=row["on_lathe"]).first(),
        "pin": parse(row["pin"]) if row["pin"] else None,
    }


def _give_jaws(tools: dict[str, Tool]) -> None:
    for jaws in _JAWS:
        if jaws.chuck in tools:
            (low, high), (least, most) = jaws.outside, jaws.inside
            JawSet.objects.create(
                chuck=tools[jaws.chuck],
                kind=jaws.kind,
                outside_smallest=_length(low),
                outside_largest=_length(high),
                inside_smallest=_length(least),
                inside_largest=_length(most),
                bored_to=_length(jaws.bored_to),
                location=Location.objects.filter(name=jaws.location).first(),
                is_in=jaws.is_in,
            )


def _length(text: str) -> Length | None:
    return parse(text) if text else None


def _mount(tools: dict[str, Tool]) -> None:
    for tag, (name, place) in _MOUNTED.items():
        lathe = Lathe.objects.filter(name=name).first()
        # Where a person has put another piece there since, it stays.
        if tag in tools and lathe and not lathe.mounted.filter(mounted_at=place).exists():
            tools[tag].mounted_on, tools[tag].mounted_at = lathe, place
            tools[tag].save()


def _lose(tools: dict[str, Tool], *, today) -> None:
    for tag, days_ago in _MISSING.items():
        if tag in tools:
            tools[tag].missing_since = today - timedelta(days=days_ago)
            tools[tag].save()


def _lend(tools: dict[str, Tool], *, now: datetime) -> None:
    for tag, (name, days_ago, due_in) in _LENT.items():
        if tag in tools:
            loan = Loan.objects.issue(
                tool=tools[tag],
                to=User.objects.get(username=name),
                at=now - timedelta(days=days_ago),
                token=uuid.uuid4(),
            )
            loan.due_on = now.date() + timedelta(days=due_in)
            loan.save()


def _ask_for_one(book: Book) -> None:
    series, shape, size, why = _WANTED
    wanted = book.size(book.figures[series, shape], parse(size))
    if not Want.objects.filter(size=wanted).exists():
        Want.objects.create(size=wanted, why=why, asked_by=User.objects.get(username="machinist"))
