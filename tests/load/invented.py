"""A crib of any number of pieces, invented from a fixed seed and written in bulk; and questions to ask of it.

It is put together as shops are: half of it are collets, of which the common sizes have hundreds where there are many
thousands and the odd ones a few; most of the rest are cutters; the larger the shop, the more lathes it has, each with
its chucks, closers and centers.
"""

from __future__ import annotations

import random
from itertools import accumulate

from django.core.management.color import no_style
from django.db import connection, transaction
from django.db.models import Model
from django.utils import timezone

from inventory.measures.lengths import NM_PER_64TH, NM_PER_MM, Length, parse
from inventory.models import Inspection, Kind, Lathe, Loan, Location, Seat, SeriesShape, Size, Tool, User

SEED = 20_260_318
FIRST_ID = 10_000
BORROWERS = 10
DAY = "2026-03-18"
PIECES_A_LATHE = 5_000
_LATHES = (("D1-4", "MT5", "MT3", "1.57", "0.0001"), ("1-1/2-8", "MT3", "MT2", "25/32", None))
_OF_EACH_LATHE = (
    # kind, mounts on, takes, the figure of its kind, whether it is mostly on the lathe; of a first and a second lathe
    (
        (Kind.CLOSER, "D1-4", "5C", "1-1/16", True), (Kind.CLOSER, "D1-4", "16C", "1-5/8", False),
        (Kind.COLLET_CHUCK, "D1-4", "ER40", "1", False), (Kind.COLLET_CHUCK, "D1-4", "ER50", "1-1/4", False),
        (Kind.COLLET_CHUCK, "MT5", "ER32", "20 mm", False), (Kind.COLLET_CHUCK, "MT3", "ER25", "1/2", False),
        (Kind.SLEEVE, "MT5", "MT3", None, False), (Kind.DRAWBAR, "MT5", None, None, False),
        (Kind.DRAWBAR, "MT3", None, None, False), (Kind.UNIVERSAL_CHUCK, "D1-4", None, "6", False),
        (Kind.UNIVERSAL_CHUCK, "D1-4", None, "8", False), (Kind.INDEPENDENT_CHUCK, "D1-4", None, "10", False),
        (Kind.LIVE_CENTER, "MT3", None, None, True), (Kind.DEAD_CENTER, "MT5", None, None, False),
        (Kind.FACEPLATE, "D1-4", None, None, False), (Kind.LATHE_DOG, None, None, "3", False),
        (Kind.STEADY_REST, None, None, "3", False), (Kind.MACHINABLE_COLLET, "5C", None, "1/4", False),
    ),
    (
        (Kind.COLLET_CHUCK, "MT3", "ER32", "1/2", False), (Kind.COLLET_CHUCK, "MT2", "ER16", "1/4", False),
        (Kind.SLEEVE, "MT3", "MT2", None, False), (Kind.DRAWBAR, "MT3", None, None, False),
        (Kind.DRAWBAR, "MT2", None, None, False), (Kind.UNIVERSAL_CHUCK, "1-1/2-8", None, "5", True),
        (Kind.INDEPENDENT_CHUCK, "1-1/2-8", None, "6", False), (Kind.LIVE_CENTER, "MT2", None, None, True),
        (Kind.DEAD_CENTER, "MT3", None, None, False), (Kind.FACEPLATE, "1-1/2-8", None, None, False),
        (Kind.LATHE_DOG, None, None, "2", False), (Kind.FOLLOW_REST, None, None, "2", False),
    ),
)  # fmt: skip


def fill(pieces: int) -> None:
    """Fill the open, empty book with so many pieces, their drawers, and those who take them."""
    with transaction.atomic():
        drawers = [Location.objects.create(name=f"Drawer {number:03d}") for number in range(1, 301)]
        User.objects.create_user("asker", role="keeper")
        for number in range(BORROWERS):
            User.objects.create_user(f"machinist{number}", first_name=f"Machinist {number}")
        collets = pieces // 2
        rig = _rig(2 + pieces // PIECES_A_LATHE, drawers)
        _collets(collets, _sizes(), [drawer.id for drawer in drawers])
        _cutters(pieces - collets - rig, [drawer.id for drawer in drawers])
        with connection.cursor() as cursor:
            # Else PostgreSQL would give the ids of these rows once more to rows that are made later.
            for statement in connection.ops.sequence_reset_sql(no_style(), [Tool, Inspection, Loan]):
                cursor.execute(statement)


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
    """Every 64th and half millimetre of the built-in series; the first are the common ones."""
    made = []
    for figures in SeriesShape.objects.select_related("series").order_by("series__code", "shape"):
        if figures.smallest is None or figures.largest is None:
            continue
        for nm in sorted({*_steps(figures, NM_PER_64TH), *_steps(figures, NM_PER_MM // 2)}):
            made.append(Size(series=figures.series, shape=figures.shape, nominal=Length(nm)))
            made[-1].follow(figures)
    random.Random(SEED).shuffle(made)
    return Size.objects.bulk_create(made, batch_size=50)


def _steps(figures: SeriesShape, step: int) -> range:
    return range(-(-figures.smallest.nm // step) * step, figures.largest.nm + 1, step)


def _rig(lathes: int, drawers: list[Location]) -> int:
    """The lathes with all that holds work on them; how many pieces that is."""
    chance = random.Random(SEED + 2)
    made = []
    for number in range(lathes):
        nose, head, tail, bore, tir = _LATHES[number % 2]
        lathe = Lathe.objects.create(
            name=f"Lathe {number + 1}", nose=_seat(nose), headstock_taper=_seat(head), tailstock_taper=_seat(tail),
            spindle_bore=parse(bore), nose_tir=parse(tir) if tir else None,
        )  # fmt: skip
        for kind, mounts, takes, figure, is_on in _OF_EACH_LATHE[number % 2]:
            tool = Tool(kind=kind, mounts_in=_seat(mounts), offers=_seat(takes), **_figures(kind, figure))
            tool.tag, tool.location = f"R-{len(made):04d}", chance.choice(drawers)
            tool.tir = Length(1270 * chance.randint(1, 8)) if chance.random() < 0.7 else None
            tool.mounted_on = lathe if is_on and chance.random() < 0.8 else None
            made.append(tool)
    Tool.objects.bulk_create(made)
    return len(made)


def _figures(kind: Kind, figure: str | None) -> dict:
    length = parse(figure) if figure else None
    if kind in (Kind.CLOSER, Kind.COLLET_CHUCK):
        return {"through": length}
    if kind == Kind.MACHINABLE_COLLET:
        return {"pilot": length}
    jaws = {Kind.UNIVERSAL_CHUCK: 3, Kind.INDEPENDENT_CHUCK: 4}.get(kind)
    return {"jaws": jaws, "outside_smallest": length and parse("1/8"), "outside_largest": length}


def _seat(code: str | None) -> Seat | None:
    return Seat.objects.get_or_create(code=code)[0] if code else None


def _collets(pieces: int, sizes: list[Size], drawers: list[int]) -> None:
    chance = random.Random(SEED + pieces)
    borrowers = list(User.objects.order_by("id").values_list("id", flat=True))
    commonness = list(accumulate((place + 1) ** -0.7 for place in range(len(sizes))))
    tools, readings, loans = [], [], []
    now = connection.ops.adapt_datetimefield_value(timezone.now())
    of_size = chance.choices(sizes, cum_weights=commonness, k=pieces)
    for number, size in enumerate(of_size, start=FIRST_ID):
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


def _cutters(pieces: int, drawers: list[int]) -> None:
    chance = random.Random(SEED + 3)
    kinds, mount, first = ("taper-shank drill", "reamer", "counterbore"), _seat("MT3").pk, FIRST_ID * 1000
    rows = [
        (
            number,
            f"D-{number}",
            chance.choice(kinds),
            mount,
            NM_PER_64TH * chance.randint(8, 80),
            chance.choice(drawers),
        )
        for number in range(first, first + pieces)
    ]
    _insert(Tool, "id tag kind mounts_in_id cuts location_id", rows)


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
