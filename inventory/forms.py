"""The one form through which a piece comes into the book, from a page or from a row of a sheet.

Its fields carry the names of the sheet's fields (docs: DEVELOPERS.md, "Sheets").
"""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction

from inventory import masses, words
from inventory.book import Book
from inventory.fields import LengthInput, MassInput
from inventory.inputs import CountInput, DayInput, MoneyInput, TirInput, known_code, say_plainly
from inventory.lengths import Length, LengthError, Unit, exact, nominal, parse, shorten
from inventory.marked import marked_size, what_is_wrong
from inventory.models import Condition, Kind, Lathe, Seat, Shape, Tool
from inventory.models.tools import COLLETS, USABLE_CONDITIONS
from inventory.reference.tapers import morse

FIELDS = (
    "tag", "kind", "series", "shape", "size", "location", "condition", "tir", "inspected_on", "cost", "notes",
    "mount", "takes", "pilot", "through", "jaws", "body", "outside_min", "outside_max", "inside_min", "inside_max",
    "max_rpm", "weight", "angle",
)  # fmt: skip

COMMON = ("tag", "location", "condition", "tir", "inspected_on", "cost", "notes")
_OUTSIDE = ("outside_min", "outside_max")
_INSIDE = ("inside_min", "inside_max")
ASKED = {
    Kind.COLLET: ("series", "shape", "size", "grips_min", "grips_max", "stop_thread"),
    Kind.MACHINABLE_COLLET: ("series", "pilot"),
    Kind.UNIVERSAL_CHUCK: ("mount", "jaws", "body", *_OUTSIDE, *_INSIDE, "through", "max_rpm", "weight"),
    Kind.INDEPENDENT_CHUCK: ("mount", "jaws", "body", *_OUTSIDE, *_INSIDE, "through", "max_rpm", "weight"),
    Kind.LIVE_CENTER: ("mount", "angle", "max_rpm"),
    Kind.DEAD_CENTER: ("mount", "angle"),
    Kind.BULL_NOSE_CENTER: ("mount", *_INSIDE, "angle", "max_rpm"),
    Kind.EXTENDED_POINT_CENTER: ("mount", "angle", "max_rpm"),
    Kind.COLLET_CHUCK: ("mount", "takes", "through", "max_rpm", "weight"),
    Kind.CLOSER: ("mount", "takes", "through", "max_rpm", "weight"),
    Kind.SLEEVE: ("mount", "takes"),
    Kind.DRAWBAR: ("mount", "through", "solid"),
    Kind.DRILL_CHUCK: ("mount", *_OUTSIDE),
    Kind.TOOL_POST_HOLDER: ("mount",),
    Kind.FACEPLATE: ("mount", "body", "max_rpm", "weight"),
    Kind.LATHE_DOG: _OUTSIDE,
    Kind.STEADY_REST: _OUTSIDE,
    Kind.FOLLOW_REST: _OUTSIDE,
    Kind.MANDREL: _INSIDE,
}
"""What each kind is asked about beside what is common to all."""

# Form field -> column, where a text goes over as it was cleaned.
_PLAIN = {
    "through": "through", "jaws": "jaws", "body": "body", "pilot": "pilot",
    "outside_min": "outside_smallest", "outside_max": "outside_largest",
    "inside_min": "inside_smallest", "inside_max": "inside_largest",
    "max_rpm": "max_rpm", "weight": "weight_ug", "angle": "angle_deg", "solid": "is_solid",
    "stop_thread": "stop_thread",
}  # fmt: skip
_LARGEST_COLLET = Length.inches(3)
"""Above what any series holds: where a series' own limit is unknown, a larger bare number is asked back."""
_EXAMPLES = {"tag": "C-0011", "series": "5C or ER32", "size": "3/4, .7485, 19 mm or #7", "name": "Lathe 1"}
_TAG = re.compile(r"[A-Z0-9][A-Z0-9._-]{0,19}")


class PieceForm(forms.Form):
    """One piece. With `kind` it asks just what that kind needs; without, the kind is a field (a sheet's row)."""

    tag = forms.CharField(max_length=20, help_text="Short, as it is etched on the piece: C-0011.")
    kind = forms.CharField(required=False)
    series = forms.CharField(required=False, help_text="5C, ER32 …")
    shape = forms.CharField(required=False, widget=forms.Select(choices=Shape.choices))
    size = forms.CharField(
        required=False, help_text="The size that is marked on it: 3/4, 19 mm, #7. Hex and square: across flats."
    )
    grips_min = LengthInput(required=False, label="Marked range, from", help_text="Only where it is marked on it.")
    grips_max = LengthInput(required=False, label="Marked range, to", help_text="It beats the series' own figures.")
    stop_thread = forms.TypedChoiceField(
        required=False,
        label="Thread for a stop inside",
        help_text="Where it is cut, a 5C passes 63/64 in only.",
        choices=[("", "not known"), ("yes", "cut"), ("no", "not cut")],
        coerce=lambda text: text == "yes",
        empty_value=None,
    )
    mount = forms.CharField(required=False, label="Mounts on", max_length=30, help_text="D1-4, MT3, 1-1/2-8 …")
    takes = forms.CharField(required=False, max_length=30, help_text="5C, ER32, or the taper inside: MT3.")
    pilot = LengthInput(required=False, label="Pilot hole")
    jaws = CountInput(required=False, min_value=2, max_value=8)
    body = LengthInput(required=False, label="Body diameter")
    outside_min = LengthInput(required=False, label="Holds outside, from")
    outside_max = LengthInput(required=False, label="Holds outside, to")
    inside_min = LengthInput(required=False, label="Holds inside, from")
    inside_max = LengthInput(required=False, label="Holds inside, to")
    through = LengthInput(required=False, label="Bar passes up to")
    solid = forms.BooleanField(required=False, label="Solid: passes no bar")
    max_rpm = CountInput(required=False, min_value=1, max_value=100_000, label="Marked maximum, rpm")
    weight = MassInput(required=False, help_text="With its unit: 42 lb, 19 kg.")
    angle = CountInput(required=False, min_value=1, max_value=179, label="Point angle, degrees")
    location = forms.CharField(required=False, max_length=60, label="Drawer or place")
    condition = forms.CharField(required=False, widget=forms.Select(choices=Condition.choices))
    tir = TirInput(required=False, label="TIR", help_text="The full swing of the indicator: .0005, 0.012 mm.")
    inspected_on = DayInput(required=False, label="Inspected on", help_text="Like 2026-03-18.")
    cost = MoneyInput(required=False, label="Paid")
    notes = forms.CharField(required=False, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))

    def __init__(
        self, data=None, *, tool=None, kind=None, book=None, unit=Unit.INCH, dates=None, like=None, today=None, **kwargs
    ):
        """`like` is the form of another row of the same sheet: its fields serve this row too.

        A day of inspection after `today` is refused, where that is given.
        """
        self.tool, self.fixed_kind, self.unit = tool, kind, unit
        self._book = book
        self._was = _columns(tool) if tool is not None else None
        self.own_seats = []
        self.has_changed_piece = False
        if tool is not None:
            kwargs.setdefault("initial", as_fields(tool))
        if like is not None:
            self.base_fields = {}  # copying the fields would take half the time of reading a sheet
            super().__init__(data, **kwargs)
            self.fields = like.fields
            return
        super().__init__(data, **kwargs)
        say_plainly(self.fields, _EXAMPLES)
        for field in self.fields.values():
            if isinstance(field, LengthInput):
                field.unit = unit
            if isinstance(field, DayInput):
                field.order, field.today = dates, today
        if kind is not None:
            asked = ("tag", *ASKED[kind], *COMMON[1:])
            self.fields = {name: self.fields[name] for name in asked}
            for name in ("series", "size") if kind == Kind.COLLET else ():
                self.fields[name].required = True

    @property
    def book(self) -> Book:
        if self._book is None:
            self._book = Book()
        return self._book

    def clean_tag(self):
        tag = self.cleaned_data["tag"].upper()
        if not _TAG.fullmatch(tag):
            raise ValidationError(
                f"“{shorten(tag)}” is no tag. Write up to 20 letters, figures, dots and dashes, like C-0011."
            )
        if self.fixed_kind is not None and Tool.objects.tagged(tag).exclude(pk=self.tool and self.tool.pk).exists():
            raise ValidationError(f"{tag} is on another piece already.")
        return tag

    def clean_kind(self):
        text = self.cleaned_data["kind"]
        kind = words.kind_of(text)
        if kind is None:
            read = f"“{shorten(text)}” is no kind of piece here." if text else "The kind of piece is missing."
            raise ValidationError(f"{read} Write {words.KINDS_ACCEPTED}.")
        return kind

    def clean_condition(self):
        text = self.cleaned_data["condition"]
        if not text and self.tool is not None:
            return self.tool.condition
        condition = words.condition_of(text)
        if condition is None:
            raise ValidationError(f"“{shorten(text)}” is no condition. Write good, worn, damaged or scrapped.")
        if self.fixed_kind is None and self.tool is not None and self.tool.is_found_unfit:
            # A sheet that says good does not undo what was found on the piece.
            return self.tool.condition if condition in USABLE_CONDITIONS else condition
        return condition

    def clean_notes(self):
        lines = self.cleaned_data["notes"].replace("\r\n", "\n").replace("\r", "\n")
        return "".join(character for character in lines if character.isprintable() or character in "\n\t").strip()

    def clean_location(self):
        return _one_line(self.cleaned_data["location"])

    def clean_mount(self):
        return self._seat_code(self.cleaned_data["mount"])

    def clean_takes(self):
        return self._seat_code(self.cleaned_data["takes"])

    def _seat_code(self, text):
        """The code of the known seat that is meant; else the text, which becomes a seat of the shop's own."""
        code = _one_line(text)
        known = known_code(code, self.book.seats) if code else ""
        if known is not None:
            return self.book.seats[known].code if known else ""
        self.own_seats.append(code)
        return code

    def clean(self):
        cleaned = super().clean()
        kind = self.fixed_kind or cleaned.get("kind")
        if kind is None:
            return cleaned
        cleaned["kind"] = kind
        if kind == Kind.COLLET:
            self._clean_collet(cleaned)
        elif kind == Kind.MACHINABLE_COLLET:
            self._clean_blank(cleaned)
        self._refuse_inverted(cleaned, "outside_min", "outside_max")
        self._refuse_inverted(cleaned, "inside_min", "inside_max")
        if self._value("through", cleaned) is not None and self._value("solid", cleaned):
            self.add_error("through", "A solid piece passes no bar: leave one of the two empty.")
        return cleaned

    def _value(self, name, cleaned):
        """What the piece will have: the form's value, or in a sheet its own where the cell is empty."""
        value = cleaned.get(name)
        if self.fixed_kind is None and self.tool is not None and value in (None, "", False):
            return getattr(self.tool, _PLAIN[name])
        return value

    def _refuse_inverted(self, cleaned, smallest, largest):
        low, high = self._value(smallest, cleaned), self._value(largest, cleaned)
        if low is not None and high is not None and high < low:
            self.add_error(largest, f"{exact(high)} is below the smallest size, {exact(low)}.")

    def _series(self, cleaned):
        code = (cleaned.get("series") or "").strip()
        series = self.book.series.get(known_code(code, self.book.series))
        if series is None:
            known = ", ".join(sorted(self.book.series))
            read = f"“{shorten(code)}” is no series here." if code else "A collet needs its series."
            self.add_error("series", f"{read} Write one of {known.upper()}.")
        return series

    def _clean_collet(self, cleaned):
        series = self._series(cleaned)
        shape = words.shape_of(cleaned.get("shape") or "")
        if shape is None:
            self.add_error(
                "shape", f"“{shorten(cleaned['shape'])}” is no shape of a collet. Write round, hex or square."
            )
        if series is None or shape is None or "size" in self.errors:
            return
        figures = self.book.figures.get((series.code.upper(), shape))
        if figures is None:
            self.add_error("shape", f"{series.code} has no {shape} collets.")
            return
        length = self._size(cleaned.get("size") or "", figures)
        if length is not None:
            cleaned["figures"], cleaned["nominal"] = figures, length
            wrong = what_is_wrong(length, cleaned.get("grips_min"), cleaned.get("grips_max"))
            if wrong:
                self.add_error("grips_max", wrong)

    def _size(self, text, figures):
        if not text:
            self.add_error("size", "A collet needs its size. Write it like 3/4, .7485, 19 mm or #7.")
            return None
        try:
            length = parse(text, self.unit, bare_limit=_LARGEST_COLLET if figures.largest is None else None)
        except LengthError as error:
            self.add_error("size", error.message)
            return None
        if not figures.takes_nominal(length):
            limits = " to ".join(nominal(limit) for limit in (figures.smallest, figures.largest) if limit)
            read = f"“{shorten(text)}” was read as {exact(length)}; {figures} collets go from {limits}."
            self.add_error("size", read + self._other_unit(text, figures))
            return None
        return length

    def _other_unit(self, text, figures) -> str:
        """What to write where a bare number is a size of the series in the other unit only."""
        other = Unit.MM if self.unit is Unit.INCH else Unit.INCH
        if "/" in text:
            return ""  # a bare fraction is inches to everybody
        try:
            length = parse(f"{text} {other}")
        except LengthError:
            return ""
        return f" If it is in {other}, write {text} {other}." if figures.takes_nominal(length) else ""

    def _clean_blank(self, cleaned):
        cleaned["blank_series"] = self._series(cleaned)
        if cleaned.get("size") and not cleaned.get("pilot"):
            try:
                cleaned["pilot"] = LengthInput(unit=self.unit).clean(cleaned["size"])
            except ValidationError as error:
                self.add_error("size", error)

    @transaction.atomic(savepoint=False)
    def save(self, *, by, finding: str = "") -> Tool:
        """Put the piece into the book; what the form was not given stays as it is.

        `finding` is what was found on the piece, where that is known from elsewhere than the form.
        """
        tool = self.applied()
        has_new_reading = bool(self.says_new_reading(tool) or finding)
        self.has_changed_piece = has_new_reading or _columns(tool) != self._was
        if has_new_reading:
            self._record(tool, by, finding)
        elif self.has_changed_piece:
            tool.save()
        return tool

    def applied(self) -> Tool:
        """The piece with the form's values on it, not saved; its size, seats and place are made where new."""
        tool = self.tool or Tool()
        cleaned = self.cleaned_data
        tool.tag, tool.kind = cleaned["tag"], cleaned["kind"]
        if tool.kind != Kind.COLLET:
            tool.size = None
        if "nominal" in cleaned:
            tool.size = self._own_size(tool, cleaned) or self.book.size(cleaned["figures"], cleaned["nominal"])
            tool.mounts_in = cleaned["figures"].series.seat
        if cleaned.get("blank_series"):
            tool.mounts_in = cleaned["blank_series"].seat
        if tool.kind not in COLLETS and self._is_given("mount"):
            tool.mounts_in = self.book.seat(cleaned["mount"]) if cleaned["mount"] else None
        if self._is_given("takes"):
            tool.offers = self.book.seat(cleaned["takes"]) if cleaned["takes"] else None
        if self._is_given("location"):
            tool.location = self.book.place(cleaned["location"]) if cleaned["location"] else None
        tool.condition = cleaned["condition"]
        for name, column in _PLAIN.items():
            if self._is_given(name):
                setattr(tool, column, cleaned[name])
        if tool.kind == Kind.MACHINABLE_COLLET and cleaned.get("pilot"):
            tool.pilot = cleaned["pilot"]
        if self._is_given("cost"):
            tool.cost_cents = cleaned["cost"]
        if self._is_given("notes"):
            tool.notes = cleaned["notes"]
        return tool

    def _own_size(self, tool, cleaned):
        """The piece's own marked range: the form's, and in a sheet its own while series, shape and nominal stay."""
        if cleaned.get("grips_max") is not None:
            return marked_size(
                cleaned["figures"], cleaned["nominal"], smallest=cleaned["grips_min"], largest=cleaned["grips_max"]
            )
        if self.fixed_kind is not None:
            return None
        size = tool.size if tool.size_id else None
        if size is None or not size.is_marked:
            return None
        figures = cleaned["figures"]
        same = (size.series_id, size.shape, size.nominal) == (figures.series_id, figures.shape, cleaned["nominal"])
        return size if same else None

    def _is_given(self, name: str) -> bool:
        """On a page every field that is asked is given; in a sheet only a cell that is filled in."""
        if name not in self.fields or name not in self.cleaned_data:
            return False
        return self.fixed_kind is not None or self.cleaned_data[name] not in (None, "", False)

    def says_new_reading(self, tool: Tool) -> bool:
        """Whether the form says a reading or a date that the piece does not have yet."""
        if self.says_older_look(tool):
            return False
        tir, day = self.cleaned_data.get("tir"), self.cleaned_data.get("inspected_on")
        return (tir is not None and tir != tool.tir) or (day is not None and day != tool.inspected_on)

    def says_older_look(self, tool: Tool) -> bool:
        """Whether a row of a sheet says a look from before the last one in the book; a page may correct the day."""
        day = self.cleaned_data.get("inspected_on")
        return self.fixed_kind is None and None not in (day, tool.inspected_on) and day < tool.inspected_on

    def _record(self, tool: Tool, by, finding: str) -> None:
        tir, day = self.cleaned_data.get("tir"), self.cleaned_data.get("inspected_on")
        if not self.says_new_reading(tool):
            tir, day = None, tool.inspected_on
        if tool.pk is None:
            tool.save()
        tool.record(tir=tir, taken_on=day, by=by, finding=finding or tool.finding)


def _columns(row) -> dict:
    """The row's own values, to tell whether a form changed any."""
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def _one_line(text: str) -> str:
    return " ".join("".join(character for character in text if character.isprintable() or character.isspace()).split())


def as_fields(tool: Tool) -> dict[str, str]:
    """A piece as the texts of the sheet's fields, which the form reads back to the same piece."""
    size = tool.size
    texts = {
        "tag": tool.tag,
        "kind": tool.kind,
        "series": size.series.code if size else "",
        "shape": size.shape if size else "",
        "size": exact(size.nominal) if size else "",
        "location": tool.location.name if tool.location else "",
        "condition": tool.condition,
        "tir": exact(tool.tir) if tool.tir is not None else "",
        "inspected_on": tool.inspected_on.isoformat() if tool.inspected_on else "",
        "cost": f"{tool.cost_cents // 100}.{tool.cost_cents % 100:02d}" if tool.cost_cents is not None else "",
        "notes": tool.notes,
        "mount": tool.mounts_in.code if tool.mounts_in and tool.kind not in COLLETS else "",
        "takes": tool.offers.code if tool.offers else "",
        "solid": tool.is_solid,
        "stop_thread": {True: "yes", False: "no", None: ""}[tool.stop_thread],
        "grips_min": exact(size.clamps_from) if size and size.is_marked else "",
        "grips_max": exact(size.clamps_to) if size and size.is_marked else "",
        "weight": masses.exact(tool.weight_ug) if tool.weight_ug is not None else "",
    }
    if tool.kind == Kind.MACHINABLE_COLLET and tool.mounts_in:
        texts["series"] = tool.mounts_in.code
    for name, column in _PLAIN.items():
        if name not in texts:
            value = getattr(tool, column)
            texts[name] = "" if value is None else exact(value) if hasattr(value, "nm") else str(value)
    return texts


class LatheForm(forms.ModelForm):
    """A lathe; seats are written by their code, known or the shop's own."""

    _SEATS = ("nose", "headstock_taper", "tailstock_taper", "post")
    nose = forms.CharField(required=False, max_length=30, label="Spindle nose", help_text="D1-4, 1-1/2-8 …")
    headstock_taper = forms.CharField(required=False, max_length=30, help_text="MT5 …")
    tailstock_taper = forms.CharField(required=False, max_length=30, help_text="MT3 …")
    post = forms.CharField(required=False, max_length=30, label="Tool post")
    slowest_rpm = CountInput(required=False, min_value=1, max_value=100_000, label="Slowest speed, rpm")
    fastest_rpm = CountInput(required=False, min_value=1, max_value=100_000, label="Fastest speed, rpm")
    nose_tir = TirInput(required=False, label="Spindle run-out at the nose", help_text="TIR, like 0.0001.")

    class Meta:
        model = Lathe
        fields = (
            "name", "nose", "headstock_taper", "tailstock_taper", "post", "spindle_bore", "spindle_length",
            "swing_over_bed", "swing_over_slide", "between_centers", "slowest_rpm", "fastest_rpm", "nose_tir",
        )  # fmt: skip

    def __init__(self, *args, instance=None, **kwargs):
        if instance is not None:
            seats = {name: getattr(instance, name) and getattr(instance, name).code for name in self._SEATS}
            kwargs["initial"] = {**seats, **kwargs.get("initial", {})}
        super().__init__(*args, instance=instance, **kwargs)
        self._was = _columns(self.instance) if instance is not None else None
        self.own_seats, self.has_changed_lathe = [], False
        say_plainly(self.fields, _EXAMPLES)

    def clean(self):
        cleaned = super().clean()
        known = {seat.code.upper(): seat for seat in Seat.objects.all()}
        for name in self._SEATS:
            cleaned[name] = self._seat(cleaned.get(name) or "", known)
        self._refuse_wide_bore(cleaned)
        return cleaned

    def _seat(self, text, known):
        code = _one_line(text)
        if not code:
            return None
        found = known_code(code, known)
        if found is not None:
            return known[found]
        # It is only put into the book when the lathe is.
        self.own_seats.append(code)
        return known.setdefault(code.upper(), Seat(code=code))

    def _refuse_wide_bore(self, cleaned):
        seat, bore = cleaned["headstock_taper"], cleaned.get("spindle_bore")
        taper = morse(seat.code) if seat else None
        if taper and bore and bore > taper.large_end:
            self.add_error(
                "spindle_bore",
                f"{exact(bore)} is more than the large end of {taper.code}, {exact(taper.large_end)}: "
                "a bore that large would leave no taper.",
            )

    @transaction.atomic
    def save(self, commit=True):
        for name in self._SEATS:
            seat = self.cleaned_data[name]
            if seat is not None and seat.pk is None:
                seat.save()
            setattr(self.instance, name, seat)
        self.has_changed_lathe = _columns(self.instance) != self._was
        return super().save(commit=commit) if self.has_changed_lathe else self.instance
