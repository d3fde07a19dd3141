"""Real rows, with all filled in that a test does not care about."""

import itertools
from datetime import date, timedelta

from django.utils import timezone

from inventory.measures import masses
from inventory.measures.fields import LengthField
from inventory.measures.lengths import Length, parse
from inventory.models import (
    CountedItem,
    CountedStock,
    Inspection,
    JawSet,
    KeptBar,
    Kind,
    Lathe,
    Loan,
    Location,
    Price,
    Reservation,
    Seat,
    Series,
    SeriesShape,
    SetPrice,
    SetupSheet,
    Size,
    Tool,
    User,
    Want,
    WearLimit,
)
from inventory.transfer import headings, in_progress, sheets

_numbers = itertools.count(1)


def user(role="keeper", *, name=None, password="a-shop-full-of-chips"):
    return User.objects.create_user(name or f"{role}{next(_numbers)}", password=password, role=role)


def seat(code):
    """The seat of this code, made as the shop's own where no table has it; None for None."""
    return Seat.objects.get_or_create(code=code)[0] if code else None


def place(name):
    return Location.objects.get_or_create(name=name)[0] if name else None


def lathe(name=None, *, nose="D1-4", headstock="MT5", tailstock="MT3", post=None, bore="1.57", tir=None, **fields):
    """A lathe; `fields` are columns, their lengths written as text."""
    return Lathe.objects.create(
        name=name or f"Lathe {next(_numbers)}",
        nose=seat(nose),
        headstock_taper=seat(headstock),
        tailstock_taper=seat(tailstock),
        post=seat(post),
        spindle_bore=_length(bore),
        nose_tir=_length(tir),
        **_columns(Lathe, fields),
    )


def size(text="3/4", *, series="5C", shape="round"):
    figures = SeriesShape.objects.select_related("series").get(series__code=series, shape=shape)
    return Size.objects.of(figures, parse(text))


def own_series(code, *, seat_code=None, shape="round", **fields):
    """A series that no table has, in one shape, of which a nominal from 1 to 25 mm may be made."""
    series = Series.objects.create(code=code, seat=seat(seat_code or code), **fields)
    zero = Length(0)
    SeriesShape.objects.create(
        series=series, shape=shape, smallest=Length.mm(1), largest=Length.mm(25), closes_by=parse("0.5 mm"),
        opens_by=zero, edge_bottom=zero, edge_top=zero,
    )  # fmt: skip
    return series


def collet(text="3/4", *, series="5C", shape="round", **fields):
    of_size = size(text, series=series, shape=shape)
    return piece(Kind.COLLET, size=of_size, mounts_in=of_size.series.seat, **fields)


def blank(pilot="1/16", *, series="5C", **fields):
    """A machinable blank."""
    return piece(Kind.MACHINABLE_COLLET, mount=series, pilot=pilot, **fields)


def closer(*, mount="D1-4", takes="5C", through="1-1/16", **fields):
    return piece(Kind.CLOSER, mount=mount, takes=takes, through=through, **fields)


def collet_chuck(*, mount="MT5", takes="ER32", through="20 mm", **fields):
    return piece(Kind.COLLET_CHUCK, mount=mount, takes=takes, through=through, **fields)


def chuck(*, kind=Kind.UNIVERSAL_CHUCK, mount="D1-4", jaws=3, outside=("1/8", "6"), inside=("2", "5-1/2"), **fields):
    return piece(kind, mount=mount, jaws=jaws, outside=outside, inside=inside, **fields)


def jaws(*, of=None, kind="outside", outside=("1/8", "3"), inside=None, bored_to=None, **fields):
    """A set of jaws of a chuck."""
    for name, ends in (("outside", outside), ("inside", inside)):
        if ends:
            fields[f"{name}_smallest"], fields[f"{name}_largest"] = map(parse, ends)
    return JawSet.objects.create(chuck=of or chuck(), kind=kind, bored_to=_length(bored_to), **fields)


def bored(to="1/2", *, series="5C", pilot="1/16", **fields):
    """A machinable collet that is bored."""
    figures = SeriesShape.objects.select_related("series").get(series__code=series, shape="round")
    return blank(pilot, series=series, size=Size.objects.bored(figures, parse(to)), **fields)


def center(*, kind=Kind.LIVE_CENTER, mount="MT3", angle_deg=60, **fields):
    return piece(kind, mount=mount, angle_deg=angle_deg, **fields)


def sleeve(*, mount="MT5", takes="MT3", **fields):
    return piece(Kind.SLEEVE, mount=mount, takes=takes, **fields)


def drawbar(*, mount="MT5", is_solid=False, **fields):
    return piece(Kind.DRAWBAR, mount=mount, is_solid=is_solid, **fields)


def piece(
    kind,
    *,
    tag=None,
    location="A2",
    mount=None,
    takes=None,
    outside=None,
    inside=None,
    weight=None,
    tir=None,
    inspected_on=date(2026, 3, 18),
    **fields,
):
    """A piece of any kind; `fields` are columns, lengths written as text. A TIR is kept as a reading."""
    for name, ends in (("outside", outside), ("inside", inside)):
        if ends:
            fields[f"{name}_smallest"], fields[f"{name}_largest"] = ends
    if mount:
        fields["mounts_in"] = seat(mount)
    if takes:
        fields["offers"] = seat(takes)
    if weight:
        fields["weight_ug"] = masses.parse(weight)
    tool = Tool.objects.create(
        tag=tag or f"T-{next(_numbers):04d}",
        kind=kind,
        location=place(location),
        **_columns(Tool, fields),
    )
    if tir:
        reading(tool, tir, taken_on=inspected_on)
    return tool


def reading(tool, tir="0.0005", *, taken_on=date(2026, 3, 18), by=None, finding="", note="", **seen):
    return tool.record(tir=_length(tir), taken_on=taken_on, by=by, finding=finding, note=note, **seen)


def wearing(tool, *tirs, last_on=date(2026, 3, 18), days_apart=90, lathe=None):
    """Readings taken alike, one each so many days, the last on `last_on`."""
    for place, tir in enumerate(reversed(tirs)):
        day = last_on - timedelta(days=days_apart * place)
        made = Inspection.objects.create(tool=tool, tir=_length(tir), taken_on=day, is_bare=True, on_lathe=lathe)
        if place == 0:
            type(tool).objects.filter(pk=tool.pk).update(tir=made.tir, reading=made, inspected_on=day)
    tool.refresh_from_db()


def limits(*, series="5C", limit=None, **intervals):
    """The shop's own limit and intervals of a series."""
    return WearLimit.objects.create(series=Series.objects.get(code=series), limit=_length(limit), **intervals)


def loan(tool, *, to=None, at=None, due_on=None, sheet=None):
    """An open loan."""
    return Loan.objects.create(
        tool=tool, borrower=to or user("machinist"), issued_at=at or timezone.now(), due_on=due_on, sheet=sheet
    )


def reservation(tool=None, *, sheet=None, by=None, starts_at=None, hours=24, **fields):
    """A piece that is kept for a job from this moment on, or from a day from now."""
    starts_at = starts_at or timezone.now() + timedelta(days=1)
    tool = tool or collet()
    return Reservation.objects.create(
        tool=tool,
        sheet=sheet or setup_sheet(tool),
        starts_at=starts_at,
        lapses_at=starts_at + timedelta(hours=hours),
        reserved_by=by or user("machinist"),
        made_at=timezone.now(),
        **fields,
    )


def want(of_size=None, *, by=None, **fields):
    return Want.objects.create(size=of_size or size(), asked_by=by or user("machinist"), **fields)


def want_of(*, by=None, **fields):
    """A want for what is no size: `what` in words, or an `item` that is counted."""
    return Want.objects.create(asked_by=by or user("machinist"), **fields)


def kept_bar(text="3/4", *, shape="round", grade="cold-drawn", weight=1, **fields):
    return KeptBar.objects.create(size=text, shape=shape, grade=grade, weight=weight, **fields)


def price(text=None, *, series="5C", shape="round", cents=2850, is_blank=False):
    """The price of a size, or without one of all sizes that have none of their own."""
    of_series = Series.objects.get(code=series)
    return Price.objects.create(series=of_series, shape=shape, nominal=_length(text), is_blank=is_blank, cents=cents)


def price_set(*texts, name=None, series="5C", shape="round", cents=9900):
    made = SetPrice.objects.create(
        name=name or f"Set {next(_numbers)}", series=Series.objects.get(code=series), cents=cents
    )
    made.sizes.set([size(text, series=series, shape=shape) for text in texts or ("1/4", "1/2")])
    return made


def counted(name=None, *, low_mark=3, size=None, **in_places):
    """Something counted; `in_places` is how many lie in each place: `A4=12`. Other columns are set by hand."""
    item = CountedItem.objects.create(
        name=name or f"Center drill {next(_numbers)}", group="center drills", low_mark=low_mark, size=_length(size)
    )
    for name_of_place, count in in_places.items():
        CountedStock.objects.create(item=item, location=place(name_of_place), count=count)
    return item


def sheet_in_progress(text, *, name="crib.csv", by=None):
    """A sheet that was sent to the import page and nothing said of it yet."""
    content = text if isinstance(text, bytes) else text.encode()
    return in_progress.SheetInProgress(
        in_progress.begin(sheets.grid(content, name=name), content=content, by=by or user())
    )


def sheet_read(text, *, choices=None, unit="in", dates="", **how):
    """A sheet whose headings are matched as they are guessed, or as `choices` say, and whose rows are all read."""
    sent = sheet_in_progress(text, **how)
    guessed = headings.guessed_choices(sent.sheet.headings, sent.contents)
    in_progress.settle_columns(sent, choices or guessed, by=sent.sent.made_by)
    in_progress.answer(sent.sent, unit=unit, dates=dates)
    while not sent.is_read:
        in_progress.read_on(sent)
    return sent


def setup_sheet(*tools, by=None, **fields):
    """A kept setup with these pieces, from the spindle on."""
    made = SetupSheet.objects.create(
        **{"title": "3/4 in round, measured", "question": "size=3/4", "way": "Collet, 3/4 round, 5C", **fields},
        made_by=by or user("machinist"),
    )
    for order, tool in enumerate(tools):
        made.pieces.create(tool=tool, order=order)
    return made


def _columns(model, fields):
    """Fields as its columns have them: the lengths among them are written as text."""
    return {
        column: _length(value) if isinstance(value, str) and _is_length(model, column) else value
        for column, value in fields.items()
    }


def _is_length(model, column):
    return isinstance(model._meta.get_field(column), LengthField)


def _length(text):
    return parse(text) if text else None
