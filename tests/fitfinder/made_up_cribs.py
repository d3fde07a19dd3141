"""Cribs that nobody would keep, written to the database in bulk, and questions to ask of them.

What a piece is follows from the seed and its own number alone: a smaller crib of one seed is part of the larger one.
"""

import random
import uuid
from datetime import date, timedelta

from django.utils import timezone

from inventory.measures.lengths import NM_PER_TENTH, Length, parse
from inventory.models import (
    Inspection,
    Kind,
    Lathe,
    Loan,
    Location,
    Reservation,
    Seat,
    SeriesShape,
    SetupSheet,
    Size,
    Tool,
    User,
)

DAY = date(2026, 3, 18)
NAMES = ("kim", "lee", "max")
_MIDDLES = ("59/64", "3/4", "1/2", "3/8", "20 mm", "13 mm")
_SERIES = (("5C", "round"),) * 6 + tuple(
    (code, shape)
    for code, shape in (
        ("16C", "round"), ("3J", "round"), ("R8", "round"), ("ER32", "round"), ("ER40", "round"), ("ER25", "round"),
        ("5C", "hex"), ("5C", "square"), ("16C", "hex"),
    )
)  # fmt: skip
_TIRS = (None, None, "0", "0.0002", "0.0005", "0.0008", "0.0012", "0.0013", "0.0014", "0.002", "0.004")
_FIRST_ID = 1_000_000


def fill(seed, *, pieces):
    """Fill the database with lathes, all that is no collet, and so many collets."""
    chance = random.Random(f"{seed} the shop")
    for name in NAMES:
        User.objects.create_user(name, first_name=chance.choice(["", name.title()]))
    drawers = Location.objects.bulk_create([Location(name=f"Drawer {number}") for number in range(5)])
    lathes = _lathes(chance)
    standing = [lathe for lathe in lathes if lathe.retired_at is None]
    rig = [_of_the_rig(random.Random(f"{seed} rig {number}"), standing) for number in range(chance.randint(4, 30))]
    sizes = _sizes(chance)
    collets = [_collet(random.Random(f"{seed} {number}"), sizes, standing) for number in range(pieces)]
    for number, tool in enumerate([*rig, *collets]):
        _befall(tool, number, random.Random(f"{seed} fate {number}"), drawers)
    Tool.objects.bulk_create([*rig, *collets])
    _read([*rig, *collets], rig, lathes, seed)
    _lend([*rig, *collets], seed)
    _reserve([*rig, *collets], seed)


def _lathes(chance):
    return [
        Lathe.objects.create(
            name=f"Lathe {number}",
            nose=_seat(chance.choice(["D1-4", "D1-4", "D1-4", "1-1/2-8", None])),
            headstock_taper=_seat(chance.choice(["MT5", "MT5", "5C", "MT3", None])),
            tailstock_taper=_seat(chance.choice(["MT3", "MT3", "MT2", None])),
            spindle_bore=_length(chance.choice(["1.57", "25/32", None])),
            nose_tir=_length(chance.choice(["0.0001", "0.0002", None])),
            swing_over_bed=_length(chance.choice(["13", "2", None])),
            fastest_rpm=chance.choice([2000, 3000, None]),
            retired_at=timezone.now() if chance.random() < 0.1 else None,
        )
        for number in range(1, 1 + chance.choice([0, 1, 2, 2, 3]))
    ]


def _sizes(chance):
    """Sizes near one another, so that many pieces overlap one stock; a few with a range of their own."""
    figures = {
        (row.series.code, row.shape): row
        for row in SeriesShape.objects.select_related("series").filter(series__code__in=[code for code, _ in _SERIES])
    }
    made = {}
    for _ in range(chance.randint(3, 40)):
        of = figures[chance.choice(_SERIES)]
        off = chance.choice([0, 0, 0, -156, 156, 25, 50, -25, -50, 400, -900])
        size = Size(
            series=of.series,
            shape=of.shape,
            nominal=Length(parse(chance.choice(_MIDDLES)).nm + off * NM_PER_TENTH),
            is_marked=chance.random() < 0.15,
        )
        if size.is_marked:
            size.clamps_from = size.nominal - Length(NM_PER_TENTH * chance.randint(0, 90))
            size.clamps_to = size.nominal + Length(NM_PER_TENTH * chance.randint(0, 90))
        size.follow(of)
        key = (of.pk, size.nominal, (size.clamps_from, size.clamps_to) if size.is_marked else None)
        made.setdefault(key, size)
    return Size.objects.bulk_create(made.values())


def _of_the_rig(chance, lathes):
    kind, mounts, offers = chance.choice(
        [
            *[(Kind.CLOSER, "D1-4", "5C")] * 4,
            (Kind.CLOSER, "D1-4", "16C"),
            (Kind.CLOSER, "1-1/2-8", "3J"),
            (Kind.CLOSER, None, "5C"),
            (Kind.CLOSER, "MT5", None),
            (Kind.COLLET_CHUCK, "MT5", "ER32"),
            (Kind.COLLET_CHUCK, "MT3", "ER25"),
            (Kind.COLLET_CHUCK, "D1-4", "ER40"),
            (Kind.SLEEVE, "MT5", "MT3"),
            (Kind.DRAWBAR, "MT5", None),
            (Kind.DRAWBAR, None, None),
            (Kind.UNIVERSAL_CHUCK, "D1-4", None),
            (Kind.UNIVERSAL_CHUCK, "1-1/2-8", None),
            (Kind.INDEPENDENT_CHUCK, "D1-4", None),
            (Kind.MACHINABLE_COLLET, "5C", None),
            (Kind.FACEPLATE, "D1-4", None),
            (Kind.DEAD_CENTER, "MT5", None),
            (Kind.DEAD_CENTER, "MT3", None),
            (Kind.LIVE_CENTER, "MT3", None),
            (Kind.LATHE_DOG, None, None),
            (Kind.TAPER_SHANK_DRILL, "MT3", None),
            (Kind.TURNING_TOOL, None, None),
            (Kind.STEP_COLLET, "5C", None),
            (Kind.DRILL_CHUCK, "MT3", None),
            (Kind.KEY, None, None),
        ]
    )
    tool = Tool(kind=kind, mounts_in=_seat(mounts), offers=_seat(offers), is_solid=chance.random() < 0.05)
    if kind in (Kind.UNIVERSAL_CHUCK, Kind.INDEPENDENT_CHUCK, Kind.LATHE_DOG):
        tool.outside_smallest, tool.outside_largest = _length("1/8"), _length(chance.choice(["3/4", "2", "6", None]))
    if kind in (Kind.UNIVERSAL_CHUCK, Kind.INDEPENDENT_CHUCK):
        tool.jaws = chance.choice([3, 4, 6, None])
    if kind == Kind.STEP_COLLET:
        tool.outside_smallest, tool.outside_largest = _length("3/4"), _length(chance.choice(["2", "1"]))
    if kind == Kind.KEY:
        tool.fits = chance.choice(["D1-4", "MT5", "5C", "1-1/2-8"])
    if kind == Kind.MACHINABLE_COLLET:
        tool.pilot = _length(chance.choice(["1/16", "1/2", None]))
    if offers and not tool.is_solid:
        tool.through = _length(chance.choice(["1-1/16", "1/2", None]))
    tool.weight_ug = chance.choice([None, None, 20 * 10**9])
    tool.max_rpm = chance.choice([None, None, 2500])
    _mount(tool, chance, lathes, share=0.25)
    return tool


def _collet(chance, sizes, lathes):
    # The first sizes are the common ones.
    size = sizes[min(int(chance.expovariate(4) * len(sizes)), len(sizes) - 1)]
    is_bored = chance.random() < 0.03
    tool = Tool(
        kind=Kind.MACHINABLE_COLLET if is_bored else Kind.COLLET,
        size=size,
        mounts_in=size.series.seat if chance.random() < 0.5 or is_bored else None,
        stop_thread=chance.choice([None, None, True, False]),
    )
    _mount(tool, chance, lathes, share=0.03)
    return tool


def _mount(tool, chance, lathes, *, share):
    if lathes and chance.random() < share:
        tool.mounted_on = chance.choice(lathes)


def _befall(tool, number, chance, drawers):
    """Its tag and place, and what became of it."""
    tool.pk = _FIRST_ID + number
    tool.tag = f"{chance.choice('ABCX')}-{number}"
    tool.location = chance.choice([None, *drawers])
    fate = chance.random()
    tool.condition = "worn" if fate < 0.2 else "damaged" if fate < 0.27 else "scrapped" if fate < 0.29 else "good"
    if tool.condition == "damaged":
        tool.finding = chance.choice(["", "cracked"])
    tool.missing_since = DAY if 0.29 < fate < 0.33 else None
    tool.retired_at = timezone.now() if 0.33 < fate < 0.36 else None
    tool.tir = _length(chance.choice(_TIRS))


def _read(tools, rig, lathes, seed):
    """Some readings were taken in a holder or on a lathe, and the book knows of it."""
    readings = []
    for tool in tools:
        chance = random.Random(f"{seed} reading {tool.pk}")
        if tool.tir is None or chance.random() < 0.6:
            continue
        readings.append(
            Inspection(
                tool=tool,
                tir=tool.tir,
                taken_on=DAY,
                in_holder=chance.choice([None, *rig]) if chance.random() < 0.4 else None,
                on_lathe=chance.choice([None, *lathes]) if chance.random() < 0.4 else None,
            )
        )
    for reading in Inspection.objects.bulk_create(readings):
        reading.tool.reading = reading
    Tool.objects.bulk_update([reading.tool for reading in readings], ["reading"], batch_size=100)


def _reserve(tools, seed):
    """Some pieces wait for a job: today, tomorrow or in weeks; some of it was lifted, taken or lapsed."""
    chance = random.Random(f"{seed} jobs")
    people = list(User.objects.filter(username__in=NAMES).order_by("username"))
    sheets = [
        SetupSheet.objects.create(
            title=f"Job {number}",
            made_by=chance.choice(people),
            put_away_at=timezone.now() if chance.random() < 0.2 else None,
        )
        for number in range(4)
    ]
    rows = []
    for tool in tools:
        chance, now = random.Random(f"{seed} job {tool.pk}"), timezone.now()
        for hours in chance.sample([-40, -3, 2, 20, 70, 75, 400], k=2) if chance.random() < 0.15 else ():
            starts_at, fate = now + timedelta(hours=hours), chance.random()
            rows.append(
                Reservation(
                    tool=tool,
                    sheet=chance.choice(sheets),
                    reserved_by=chance.choice(people),
                    made_at=now,
                    starts_at=starts_at,
                    lapses_at=starts_at + timedelta(days=1),
                    lifted_at=now if fate < 0.1 else None,
                    lifted_by=people[0] if fate < 0.1 else None,
                    taken_at=now if fate > 0.9 else None,
                )
            )
    Reservation.objects.bulk_create(rows)


def _lend(tools, seed):
    people = list(User.objects.filter(username__in=NAMES).order_by("username"))
    loans = []
    for tool in tools:
        chance = random.Random(f"{seed} loan {tool.pk}")
        fate, now = chance.random(), timezone.now()
        if fate < 0.12:
            loans.append(
                Loan(
                    tool=tool,
                    borrower=chance.choice(people),
                    issued_at=now,
                    returned_at=now if fate < 0.04 else None,
                    token=uuid.UUID(int=chance.getrandbits(128)),
                )
            )
    Loan.objects.bulk_create(loans)


def questions(seed, how_many):
    """The texts of so many questions of the crib that is in the database, and who asks."""
    nominals = [*Size.objects.order_by("pk").values_list("nominal", flat=True)] or [parse("3/4")]
    tags = [*Tool.objects.filter(size__isnull=False).order_by("pk").values_list("tag", flat=True)[:5]]
    lathes = [*Lathe.objects.filter(retired_at=None).order_by("pk").values_list("name", flat=True)]
    askers = [None, *User.objects.filter(username__in=NAMES).order_by("username").values_list("pk", flat=True)]
    return [
        (_texts(random.Random(f"{seed} asks {number}"), nominals, tags, lathes), askers[number % len(askers)])
        for number in range(how_many)
    ]


def _texts(chance, nominals, tags, lathes):
    size = chance.choice(nominals)
    off = chance.choice([0, 0, -10, -30, -49, -50, -51, 20, 45, 50, 51, 70, -200, 2000])
    low = Length(max(size.nm + off * NM_PER_TENTH, NM_PER_TENTH))
    texts = {"size": f"{low.inch_text} in"}
    way = chance.random()
    if way < 0.15:
        texts["size2"] = f"{(low + Length(NM_PER_TENTH * chance.choice([5, 20, 60, 3000]))).inch_text} in"
    elif way < 0.3:
        texts |= {"size": chance.choice(["59/64", "3/4", "1/2", "3/8"]), "grade": chance.choice(["cold-drawn", "h9"])}
    elif way < 0.35:
        texts |= {"size": chance.choice(["3/4", "1/2"]), "grade": "hot-rolled"}
    elif way < 0.4 and tags:
        texts["size"] = chance.choice(tags)
    if chance.random() < 0.25:
        texts["shape"] = chance.choice(["hex", "square"])
    if lathes and chance.random() < 0.5:
        texts["lathe"] = chance.choice([str, str.lower])(chance.choice(lathes))
    if chance.random() < 0.6:
        texts["tir"] = chance.choice([".0003", ".0008", ".0012", ".0013", ".0015", ".004"])
    return texts


def _length(text):
    if text is None:
        return None
    return parse(text) if text != "0" else Length(0)


def _seat(code):
    return Seat.objects.get(code=code) if code else None
