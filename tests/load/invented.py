"""A crib of any number of pieces, invented from a fixed seed and written in bulk; and questions to ask of it."""

from __future__ import annotations

import random

from django.core.management import call_command
from django.db import connection, transaction
from django.db.models import Model
from django.utils import timezone

from inventory.measures.lengths import NM_PER_64TH, NM_PER_MM, Length, parse
from inventory.models import Inspection, Kind, Lathe, Loan, Location, Seat, SeriesShape, Size, Tool, User

SEED = 20_260_318
MOST_SIZES = 2000
FIRST_ID = 10_000
BORROWERS = 10
DAY = "2026-03-18"

_COLLET_CHUCKS = (
    # kind, mounts on, takes, largest bar that passes, how many
    (Kind.CLOSER, "D1-4", "5C", "1-1/16", 2),
    (Kind.CLOSER, "D1-4", "16C", "1-5/8", 1),
    (Kind.COLLET_CHUCK, "D1-4", "ER40", "1", 2),
    (Kind.COLLET_CHUCK, "D1-4", "ER50", "1-1/4", 1),
    (Kind.COLLET_CHUCK, "MT5", "ER32", "20 mm", 1),
    (Kind.COLLET_CHUCK, "MT3", "ER25", "1/2", 1),
    (Kind.COLLET_CHUCK, "MT3", "ER32", "1/2", 1),
    (Kind.COLLET_CHUCK, "MT2", "ER16", "1/4", 1),
    (Kind.SLEEVE, "MT5", "MT3", None, 1),
    (Kind.SLEEVE, "MT3", "MT2", None, 1),
)


def fill(pieces: int) -> None:
    """Fill the open, empty database with the tables, the rig and so many collets."""
    call_command("migrate", verbosity=0)
    with transaction.atomic():
        drawers = [Location.objects.create(name=f"Drawer {number:03d}") for number in range(1, 301)]
        User.objects.create_user("asker", role="keeper")
        for number in range(BORROWERS):
            User.objects.create_user(f"machinist{number}", first_name=f"Machinist {number}")
        _rig(drawers)
        _collets(pieces, _sizes(), [drawer.id for drawer in drawers])


def is_filled(pieces: int) -> bool:
    """Whether `fill` filled the open database with so many: it writes all in one transaction or nothing."""
    tools = Tool.objects
    invented = tools.filter(id__gte=FIRST_ID, tag__startswith="C-").count()
    return invented == pieces and not tools.exclude(tag__startswith="C-").exclude(tag__startswith="R-").exists()


def questions(how_many: int) -> list[dict[str, str]]:
    """Texts of questions as a shop asks them; the same ones for every crib.

    Of twenty: twelve mic'd in inches, two in millimetres, two fractions with a grade, two ranges, a hex bar, and
    one that is too large for any collet.
    """
    chance = random.Random(SEED + 1)
    return [_question(number % 20, chance) for number in range(how_many)]


def _question(turn: int, chance: random.Random) -> dict[str, str]:
    eighths = chance.randint(1, 8)
    thou = chance.randint(90, 1050)
    if turn < 12:
        return {"size": f".{thou:03d}{chance.randint(0, 9)}" if thou < 1000 else f"{thou / 1000:.3f}"}
    if turn < 14:
        return {"size": f"{chance.randint(3, 25)}.{chance.randint(0, 99):02d} mm"}
    if turn < 16:
        return {"size": f"{eighths}/8", "grade": "cold-drawn"}
    if turn < 18:
        return {"size": f"0.{thou % 900 + 90:03d}0", "size2": f"0.{thou % 900 + 90:03d}{chance.randint(5, 9)}"}
    if turn < 19:
        return {"size": f"0.{chance.randint(200, 800)}", "shape": "hex"}
    return {"size": f"{chance.randint(3, 5)}.{chance.randint(100, 999)}"}


def _sizes() -> list[Size]:
    """Every 64th and half millimetre of the built-in series, then tenths of a millimetre up to 2 000."""
    usual, finer = [], []
    for figures in SeriesShape.objects.select_related("series").order_by("series__code", "shape"):
        if figures.smallest is None or figures.largest is None:
            continue
        whole = set(_steps(figures, NM_PER_64TH)) | set(_steps(figures, NM_PER_MM // 2))
        usual += [(figures, nm) for nm in sorted(whole)]
        finer += [(figures, nm) for nm in sorted(set(_steps(figures, NM_PER_MM // 10)) - whole)]
    chance = random.Random(SEED)
    chosen = usual + chance.sample(finer, max(0, min(len(finer), MOST_SIZES - len(usual))))
    made = [Size(series=figures.series, shape=figures.shape, nominal=Length(nm)) for figures, nm in chosen]
    for size, (figures, _) in zip(made, chosen, strict=True):
        size.follow(figures)
    return Size.objects.bulk_create(made, batch_size=50)


def _steps(figures: SeriesShape, step: int) -> range:
    return range(-(-figures.smallest.nm // step) * step, figures.largest.nm + 1, step)


def _rig(drawers: list[Location]) -> None:
    first = Lathe.objects.create(
        name="Lathe 1", nose=_seat("D1-4"), headstock_taper=_seat("MT5"), tailstock_taper=_seat("MT3"),
        spindle_bore=parse("1.57"), nose_tir=parse("0.0001"),
    )  # fmt: skip
    Lathe.objects.create(
        name="Lathe 2", nose=_seat("1-1/2-8"), headstock_taper=_seat("MT3"), tailstock_taper=_seat("MT2"),
        spindle_bore=parse("25/32"),
    )  # fmt: skip
    made = [
        _piece(kind, mounts, offers=_seat(takes), through=parse(through) if through else None)
        for kind, mounts, takes, through, count in _COLLET_CHUCKS
        for _ in range(count)
    ]
    made += [_piece(Kind.DRAWBAR, mounts) for mounts in ("MT5", "MT3", "MT3", "MT2")]
    made += [
        _piece(kind, mounts, jaws=jaws, outside_smallest=parse("1/8"), outside_largest=parse(largest))
        for kind, mounts, jaws, largest in (
            (Kind.UNIVERSAL_CHUCK, "D1-4", 3, "6"),
            (Kind.UNIVERSAL_CHUCK, "D1-4", 3, "8"),
            (Kind.UNIVERSAL_CHUCK, "1-1/2-8", 3, "5"),
            (Kind.INDEPENDENT_CHUCK, "D1-4", 4, "10"),
            (Kind.INDEPENDENT_CHUCK, "1-1/2-8", 4, "6"),
        )
    ]
    made += [_piece(Kind.LIVE_CENTER, mounts) for mounts in ("MT3", "MT3", "MT2", "MT2")]
    made += [_piece(Kind.DEAD_CENTER, mounts) for mounts in ("MT5", "MT3", "MT2")]
    made += [_piece(Kind.MACHINABLE_COLLET, "5C", pilot=parse(pilot)) for pilot in ("1/16", "1/4", "1/2")]
    made += [_piece(Kind.FACEPLATE, mounts) for mounts in ("D1-4", "1-1/2-8")]
    made += [
        _piece(kind, None, outside_smallest=parse("1/4"), outside_largest=parse("3"))
        for kind in (Kind.LATHE_DOG, Kind.LATHE_DOG, Kind.LATHE_DOG, Kind.STEADY_REST, Kind.FOLLOW_REST)
    ]
    made += [_piece(Kind.TOOL_POST_HOLDER, None) for _ in range(2)]
    made[0].mounted_on = first
    for number, tool in enumerate(made, start=1):
        tool.tag, tool.location, tool.tir = f"R-{number:03d}", drawers[number], Length(2540 * (number % 5 + 1))
    Tool.objects.bulk_create(made)


def _seat(code: str) -> Seat:
    return Seat.objects.get_or_create(code=code)[0]


def _piece(kind: Kind, mounts: str | None, **fields) -> Tool:
    return Tool(kind=kind, mounts_in=_seat(mounts) if mounts else None, **fields)


def _collets(pieces: int, sizes: list[Size], drawers: list[int]) -> None:
    chance = random.Random(SEED + pieces)
    borrowers = list(User.objects.order_by("id").values_list("id", flat=True))
    tools, readings, loans = [], [], []
    now = connection.ops.adapt_datetimefield_value(timezone.now())
    for number in range(FIRST_ID, FIRST_ID + pieces):
        size = chance.choice(sizes)
        fate = chance.random()
        condition = "damaged" if fate < 0.03 else "worn" if fate < 0.13 else "good"
        missing = DAY if 0.13 <= fate < 0.14 else None
        tir = 1270 * chance.randint(1, 20) if chance.random() < 0.5 else None
        tools.append((
            number, f"C-{number:07d}", "collet", size.id, condition, missing, chance.choice(drawers), tir,
            DAY if tir else None, number if tir else None, "cracked" if condition == "damaged" else "",
        ))  # fmt: skip
        if tir:
            readings.append((number, number, tir, DAY, now))
        if 0.14 <= fate < 0.16:
            token = f"{number:032x}"
            loans.append((number, number, chance.choice(borrowers), now, token))
    _insert(Tool, "id tag kind size_id condition missing_since location_id tir inspected_on reading_id finding", tools)
    _insert(Inspection, "id tool_id tir taken_on recorded_at", readings)
    _insert(Loan, "id tool_id borrower_id issued_at token", loans)


def _insert(model: type[Model], columns: str, rows: list[tuple]) -> None:
    """The rows as they are; what a row must have and these do not name is at the model's default."""
    names, table = columns.split(), model._meta.db_table
    missing = [field for field in model._meta.concrete_fields if not field.null and field.column not in names]
    names += [field.column for field in missing]
    rest = tuple(field.get_default() for field in missing)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.copy(f"COPY {table} ({', '.join(names)}) FROM STDIN") as copy:
                for row in rows:
                    copy.write_row(row + rest)
            return
        marks = ", ".join(["%s"] * len(names))
        cursor.executemany(f"INSERT INTO {table} ({', '.join(names)}) VALUES ({marks})", [row + rest for row in rows])
