"""The one form through which a piece comes into the book, from a page or from a row of a sheet."""

from __future__ import annotations

import re
from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction

from inventory.measures.days import DayInput
from inventory.measures.display import now
from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.length_words import typed
from inventory.measures.lengths import Unit, shorten
from inventory.models import Kind, Lathe, Size, Tool, User
from inventory.models.kinds import COLLETS, Operation
from inventory.models.wear import USABLE_CONDITIONS
from inventory.pieces import rules, words
from inventory.pieces.asked import COMMON, WORDS, asked_now
from inventory.pieces.book import Book
from inventory.pieces.fields import COLUMN_OF, PIECE_FIELDS, UNKNOWN, as_typed
from inventory.pieces.readings import TypedReading
from inventory.pieces.tags import next_tag
from inventory.web.editing import columns_of

_EXAMPLES = {"tag": "C-0011", "series": "5C or ER32", "size": "3/4, .7485, 19 mm or #7"}
_TAG = re.compile(r"[A-Z0-9][A-Z0-9._-]{0,19}")


def _latest(today: date | None, tool: Tool | None) -> date | None:
    """The last day that is not still to come; a day that stands in the book may be sent again, whatever the clock."""
    stands = tool.inspected_on if tool is not None else None
    return max(today, stands) if today and stands else today


class PieceForm(forms.BaseForm):
    """One piece. With `kind` it asks just what that kind needs; without, the kind is a field (a sheet's row)."""

    base_fields = {field.name: field.asked for field in PIECE_FIELDS} | {
        "mistyped": forms.BooleanField(
            required=False,
            label="The bore in Gripbook was mistyped",
            help_text="Only then may it become smaller, or empty.",
        )
    }

    def __init__(
        self,
        data=None,
        *,
        tool: Tool | None = None,
        kind: Kind | None = None,
        book: Book | None = None,
        unit: Unit | None = None,
        dates: str | None = None,
        like: PieceForm | None = None,
        today: date | None = None,
        **kwargs,
    ):
        """`unit` is that of the bare numbers of a sheet; left out, it is that of who types.

        `like` is the form of another row of the same sheet: its fields serve this row too. A day of inspection after
        `today` is refused, where that is given.
        """
        self.tool, self.fixed_kind, self.unit = tool, kind, unit or now().unit
        self._book = book
        self._was = columns_of(tool) if tool is not None else None
        self.own_seats: list[str] = []
        self.unknown_fits: list[str] = []
        self.size_notes: list[str] = []
        """What is to be told of a size as it was written."""
        self.has_changed_piece = False
        if tool is not None:
            kwargs.setdefault("initial", as_typed(tool))
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
                field.order, field.today, field.is_of_sheet = dates, _latest(today, tool), self.is_row
        if kind is not None:
            self._ask(kind)

    def _ask(self, kind: Kind) -> None:
        """Keep the fields of this kind, in its own words."""
        asked = asked_now(kind, self.tool, self.book)
        self.fields = {name: self.fields[name] for name in ("tag", *asked, *COMMON[1:])}
        for name, (label, hint) in WORDS.get(kind, {}).items():
            if name in self.fields:
                self.fields[name].label, self.fields[name].help_text = label, hint
        for name in ("series", "size") if kind == Kind.COLLET else ():
            self.fields[name].required = True
        if "operations" in self.fields:
            self.fields["operations"].widget = forms.CheckboxSelectMultiple(
                choices=[(value, value) for value in Operation.values]
            )
        if {"set_for", "belongs_to"} & set(asked):
            self._offer_lathes()

    def _offer_lathes(self) -> None:
        names = [(lathe.name, lathe.name) for lathe in self.book.lathes_to_choose(self.tool)]
        if "set_for" in self.fields:
            self.fields["set_for"].widget = forms.CheckboxSelectMultiple(choices=names)
        if "belongs_to" in self.fields:
            self.fields["belongs_to"].widget = forms.Select(choices=[UNKNOWN, *names])

    def offer_known(self) -> None:
        """Let the page offer what the book has, from the lists that its template writes."""
        for name, known in (("series", "series"), ("mount", "seats"), ("takes", "seats"), ("location", "places")):
            if name in self.fields:
                self.fields[name].widget.attrs["list"] = known

    @property
    def is_row(self) -> bool:
        """Whether it reads a row of a sheet, where an empty cell leaves what is in the book."""
        return self.fixed_kind is None

    @property
    def book(self) -> Book:
        if self._book is None:
            self._book = Book()
        return self._book

    @property
    def reading(self) -> TypedReading:
        cleaned = self.cleaned_data
        return TypedReading(tir=cleaned.get("tir"), day=cleaned.get("inspected_on"), is_of_sheet=self.is_row)

    def clean_tag(self) -> str:
        tag = self.cleaned_data["tag"].upper()
        if not _TAG.fullmatch(tag):
            raise ValidationError(
                f"“{shorten(tag)}” is no tag. Write up to 20 letters, figures, dots and dashes, like C-0011."
            )
        if self.fixed_kind is not None and self.is_on_another(tag):
            free = next_tag(self.fixed_kind)
            raise ValidationError(
                f"{tag} is on another piece already.{f' The next free tag is {free}.' if free else ''}"
            )
        return tag

    def is_on_another(self, tag: str) -> bool:
        """Whether another piece has this tag."""
        others = Tool.objects.exclude(pk=self.tool.pk) if self.tool is not None else Tool.objects.all()
        return others.tagged(tag).exists()

    def clean_kind(self) -> Kind:
        text = self.cleaned_data["kind"]
        kind = words.kind_of(text)
        if kind is None:
            read = f"“{shorten(text)}” is no kind of piece here." if text else "The kind of piece is missing."
            raise ValidationError(f"{read} Write {words.KINDS_ACCEPTED}.")
        return kind

    def clean_condition(self) -> str:
        text = self.cleaned_data["condition"]
        if not text and self.tool is not None:
            return self.tool.condition
        condition = words.condition_of(text)
        if condition is None:
            raise ValidationError(f"“{shorten(text)}” is no condition. Write good, worn, damaged or scrapped.")
        if self.is_row and self.tool is not None and self.tool.is_found_unfit:
            # A sheet that says good does not undo what was found on the piece.
            return self.tool.condition if condition in USABLE_CONDITIONS else condition
        return condition

    def clean_notes(self) -> str:
        lines = self.cleaned_data["notes"].replace("\r\n", "\n").replace("\r", "\n")
        return "".join(character for character in lines if character.isprintable() or character in "\n\t").strip()

    def clean_mount(self) -> str:
        return self._seat_code(self.cleaned_data["mount"])

    def clean_takes(self) -> str:
        return self._seat_code(self.cleaned_data["takes"])

    def clean_belongs_to(self) -> Lathe | None:
        name = self.cleaned_data["belongs_to"]
        return self.book.lathe(name) if name else None

    def clean_set_for(self) -> list[Lathe]:
        return [self.book.lathe(name) for name in dict.fromkeys(self.cleaned_data["set_for"])]

    def clean_fits(self) -> str:
        return rules.fits(self, self.cleaned_data["fits"])

    def _seat_code(self, text: str) -> str:
        """The code of the known seat that is meant; else the text, which becomes a seat of the shop's own."""
        if not text:
            return ""
        known = self.book.seat_named(text)
        if known is not None:
            return known.code
        self.own_seats.append(text)
        return text

    def clean(self):
        cleaned = self.cleaned_data
        kind = self.fixed_kind or cleaned.get("kind")
        if kind is None:
            return cleaned
        cleaned["kind"] = kind
        if rule := rules.OF_KIND.get(kind):
            rule(self, cleaned)
        self._refuse_inverted(cleaned, "outside_min", "outside_max")
        self._refuse_inverted(cleaned, "inside_min", "inside_max")
        if self._value("through", cleaned) is not None and self._value("solid", cleaned):
            self.add_error("through", "A solid piece passes no bar: leave one of the two empty.")
        return cleaned

    def _value(self, name: str, cleaned):
        """What the piece will have: the form's value, or in a sheet its own where the cell is empty."""
        value = cleaned.get(name)
        is_asked = not self.is_row and name in self.fields
        if not is_asked and self.tool is not None and value in (None, "", False):
            return getattr(self.tool, COLUMN_OF[name])
        return value

    def _refuse_inverted(self, cleaned, smallest: str, largest: str) -> None:
        low, high = self._value(smallest, cleaned), self._value(largest, cleaned)
        if low is not None and high is not None and high < low:
            # Beside the one that can be changed: a form that asks only what is missing has one of the two.
            if largest in self.fields:
                self.add_error(largest, f"{typed(high)} is below the smallest size, {typed(low)}.")
            else:
                self.add_error(smallest, f"{typed(low)} is above the largest size, {typed(high)}.")

    @transaction.atomic(savepoint=False)
    def save(self, *, by: User | None, finding: str = "") -> Tool:
        """Put the piece into the book; what the form was not given stays as it is.

        `finding` is what was found on the piece, where that is known from elsewhere than the form.
        """
        tool = self.applied()
        has_new_reading = self.reading.is_new_to(tool) or bool(finding)
        self.has_changed_piece = has_new_reading or columns_of(tool) != self._was
        if has_new_reading:
            self._record(tool, by, finding)
        elif self.has_changed_piece:
            tool.save()
        if tool.keep_heights():
            self.has_changed_piece = True
        return tool

    def _record(self, tool: Tool, by: User | None, finding: str) -> None:
        tir, day = self.reading.tir, self.reading.day_for(tool)
        if not self.reading.is_new_to(tool):
            tir, day = None, tool.inspected_on
        if tool.pk is None:
            tool.save()
        tool.record(tir=tir, taken_on=day, by=by, finding=finding or tool.finding)

    def applied(self) -> Tool:
        """The piece with the form's values on it, not saved; its size, seats and place are made where new."""
        tool, cleaned, book = self.tool or Tool(), self.cleaned_data, self.book
        tool.tag, tool.kind, tool.condition = cleaned["tag"], cleaned["kind"], cleaned["condition"]
        for name, column in COLUMN_OF.items():
            if self._is_given(name):
                setattr(tool, column, cleaned[name])
        self._apply_size(tool)
        if tool.kind not in COLLETS and self._is_given("mount"):
            tool.mounts_in = book.seat(cleaned["mount"]) if cleaned["mount"] else None
        if self._is_given("takes"):
            tool.offers = book.seat(cleaned["takes"]) if cleaned["takes"] else None
        if self._is_given("location"):
            tool.location = book.place(cleaned["location"]) if cleaned["location"] else None
        if tool.kind == Kind.TOOL_POST_HOLDER and self._is_given("set_for"):
            tool.set_for_next = cleaned["set_for"]
        return tool

    def _apply_size(self, tool: Tool) -> None:
        """Series, size, bore and cut, as the rule of the kind read them."""
        cleaned = self.cleaned_data
        if tool.kind not in (Kind.COLLET, Kind.MACHINABLE_COLLET):
            tool.size = None
        if "nominal" in cleaned:
            tool.size = self._own_size(tool) or self.book.size(cleaned["figures"], cleaned["nominal"])
            tool.mounts_in = cleaned["figures"].series.seat
        if cleaned.get("own_series"):
            tool.mounts_in = cleaned["own_series"].seat
        if "bore" in cleaned:
            tool.size = self.book.bored(cleaned["figures"], cleaned["bore"]) if cleaned["bore"] else None
        if "cuts" in cleaned:
            tool.cuts = cleaned["cuts"]
        if tool.kind == Kind.MACHINABLE_COLLET and cleaned.get("pilot"):
            tool.pilot = cleaned["pilot"]

    def _own_size(self, tool: Tool) -> Size | None:
        """The piece's own marked range: the form's, and in a sheet its own while series, shape and nominal stay."""
        cleaned = self.cleaned_data
        figures = cleaned["figures"]
        if cleaned.get("grips_max") is not None:
            return self.book.marked(
                figures, cleaned["nominal"], smallest=cleaned["grips_min"], largest=cleaned["grips_max"]
            )
        size = tool.size
        if not self.is_row or size is None or not size.is_marked:
            return None
        is_same = (size.series_id, size.shape, size.nominal) == (figures.series_id, figures.shape, cleaned["nominal"])
        return size if is_same else None

    def _is_given(self, name: str) -> bool:
        """On a page every field that is asked is given; in a sheet only a cell that is filled in."""
        if name not in self.fields or name not in self.cleaned_data:
            return False
        value = self.cleaned_data[name]
        is_unticked = name == "solid" and not value
        return not self.is_row or not (value in (None, "", []) or is_unticked)
