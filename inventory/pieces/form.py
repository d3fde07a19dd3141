"""The one form through which a piece comes into the book, from a page or from a row of a sheet.

Its fields carry the names of the sheet's fields (docs: DEVELOPERS.md, "Sheets").
"""

import re

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction

from inventory.measures.fields import LengthInput
from inventory.measures.inputs import DayInput, known_code, say_plainly
from inventory.measures.lengths import Unit, exact, shorten
from inventory.models import CenterHeight, Kind, Tool
from inventory.models.kinds import CHUCKS, COLLETS, CUT_TO_SIZE, Operation
from inventory.models.tools import USABLE_CONDITIONS
from inventory.pieces import rules, words
from inventory.pieces.asked import ASKED, COMMON, FIELDS, PLAIN, WORDS
from inventory.pieces.book import Book
from inventory.pieces.fields import UNKNOWN, PieceFields
from inventory.pieces.tags import next_tag
from inventory.pieces.texts import as_fields

__all__ = ["ASKED", "FIELDS", "PieceForm", "as_fields"]

_EXAMPLES = {"tag": "C-0011", "series": "5C or ER32", "size": "3/4, .7485, 19 mm or #7"}
_TAG = re.compile(r"[A-Z0-9][A-Z0-9._-]{0,19}")


class PieceForm(PieceFields):
    """One piece. With `kind` it asks just what that kind needs; without, the kind is a field (a sheet's row)."""

    def __init__(
        self, data=None, *, tool=None, kind=None, book=None, unit=Unit.INCH, dates=None, like=None, today=None, **kwargs
    ):
        """`like` is the form of another row of the same sheet: its fields serve this row too.

        A day of inspection after `today` is refused, where that is given.
        """
        self.tool, self.fixed_kind, self.unit = tool, kind, unit
        self._book = book
        self._was = own_columns(tool) if tool is not None else None
        self.own_seats, self.unknown_fits = [], []
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
            self._ask(kind)

    def _ask(self, kind):
        """Keep the fields of this kind, in its own words."""
        asked = rules.asked_now(kind, self.tool, self.book)
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

    def _offer_lathes(self):
        names = [(lathe.name, lathe.name) for lathe in self.book.lathes_to_choose(self.tool)]
        if "set_for" in self.fields:
            self.fields["set_for"].widget = forms.CheckboxSelectMultiple(choices=names)
        if "belongs_to" in self.fields:
            self.fields["belongs_to"].widget = forms.Select(choices=[UNKNOWN, *names])

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
            free = next_tag(self.fixed_kind)
            raise ValidationError(
                f"{tag} is on another piece already.{f' The next free tag is {free}.' if free else ''}"
            )
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
        return one_line(self.cleaned_data["location"])

    def clean_mount(self):
        return self._seat_code(self.cleaned_data["mount"])

    def clean_takes(self):
        return self._seat_code(self.cleaned_data["takes"])

    def clean_shank_shape(self):
        return self._word("shank_shape", words.shank_shape_of, "round or square")

    def clean_dog_tail(self):
        return self._word("dog_tail", words.tail_of, "bent or straight")

    def clean_driven_by(self):
        return self._word("driven_by", words.driven_by_of, "hand or machine")

    def clean_tang(self):
        return self._word("tang", words.yes_or_no, "yes or no", empty=None)

    def _word(self, name, read, accepted, *, empty=""):
        text = self.cleaned_data[name]
        if not text:
            return empty
        word = read(text)
        if word is None:
            raise ValidationError(f"“{shorten(text)}” was read. Write {accepted}, or leave it empty.")
        return word

    def clean_belongs_to(self):
        name = one_line(self.cleaned_data["belongs_to"])
        return self.book.lathe(name) if name else None

    def clean_set_for(self):
        return [self.book.lathe(name) for name in dict.fromkeys(self.cleaned_data["set_for"])]

    def clean_point_tip(self):
        return one_line(self.cleaned_data["point_tip"])

    def clean_fits(self):
        return rules.fits(self, one_line(self.cleaned_data["fits"]))

    def _seat_code(self, text):
        """The code of the known seat that is meant; else the text, which becomes a seat of the shop's own."""
        code = one_line(text)
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
            rules.clean_collet(self, cleaned)
        elif kind == Kind.MACHINABLE_COLLET:
            rules.clean_machinable(self, cleaned)
        elif kind == Kind.STEP_COLLET:
            rules.clean_series(self, cleaned)
        elif kind in CUT_TO_SIZE:
            rules.clean_cut(self, cleaned)
        elif kind in CHUCKS:
            rules.refuse_other_than_jaws(self, cleaned)
        self._refuse_inverted(cleaned, "outside_min", "outside_max")
        self._refuse_inverted(cleaned, "inside_min", "inside_max")
        if self._value("through", cleaned) is not None and self._value("solid", cleaned):
            self.add_error("through", "A solid piece passes no bar: leave one of the two empty.")
        return cleaned

    def _value(self, name, cleaned):
        """What the piece will have: the form's value, or in a sheet its own where the cell is empty."""
        value = cleaned.get(name)
        is_asked = self.fixed_kind is not None and name in self.fields
        if not is_asked and self.tool is not None and value in (None, "", False):
            return getattr(self.tool, PLAIN[name])
        return value

    def _refuse_inverted(self, cleaned, smallest, largest):
        low, high = self._value(smallest, cleaned), self._value(largest, cleaned)
        if low is not None and high is not None and high < low:
            self.add_error(largest, f"{exact(high)} is below the smallest size, {exact(low)}.")

    @transaction.atomic(savepoint=False)
    def save(self, *, by, finding: str = "") -> Tool:
        """Put the piece into the book; what the form was not given stays as it is.

        `finding` is what was found on the piece, where that is known from elsewhere than the form.
        """
        tool = self.applied()
        has_new_reading = bool(self.says_new_reading(tool) or finding)
        self.has_changed_piece = has_new_reading or own_columns(tool) != self._was
        if has_new_reading:
            self._record(tool, by, finding)
        elif self.has_changed_piece:
            tool.save()
        if set_heights(tool):
            self.has_changed_piece = True
        return tool

    def applied(self) -> Tool:
        """The piece with the form's values on it, not saved; its size, seats and place are made where new."""
        tool = self.tool or Tool()
        cleaned = self.cleaned_data
        tool.tag, tool.kind = cleaned["tag"], cleaned["kind"]
        if tool.kind not in (Kind.COLLET, Kind.MACHINABLE_COLLET):
            tool.size = None
        if "nominal" in cleaned:
            tool.size = self._own_size(tool, cleaned) or self.book.size(cleaned["figures"], cleaned["nominal"])
            tool.mounts_in = cleaned["figures"].series.seat
        if cleaned.get("own_series"):
            tool.mounts_in = cleaned["own_series"].seat
        if "bore" in cleaned:
            tool.size = self.book.bored(cleaned["figures"], cleaned["bore"]) if cleaned["bore"] else None
        if "cuts" in cleaned:
            tool.cuts = cleaned["cuts"]
        if tool.kind == Kind.TOOL_POST_HOLDER and self._is_given("set_for"):
            tool.__dict__["lathes_set_for"] = sorted(cleaned["set_for"], key=lambda lathe: lathe.name)
        if tool.kind not in COLLETS and self._is_given("mount"):
            tool.mounts_in = self.book.seat(cleaned["mount"]) if cleaned["mount"] else None
        if self._is_given("takes"):
            tool.offers = self.book.seat(cleaned["takes"]) if cleaned["takes"] else None
        if self._is_given("location"):
            tool.location = self.book.place(cleaned["location"]) if cleaned["location"] else None
        tool.condition = cleaned["condition"]
        for name, column in PLAIN.items():
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
            return self.book.marked(
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
        value = self.cleaned_data[name]
        is_unticked = name == "solid" and not value
        return self.fixed_kind is not None or not (value in (None, "", []) or is_unticked)

    def says_new_reading(self, tool: Tool) -> bool:
        """Whether the form says a reading or a date that the piece does not have yet."""
        if self.says_older_look(tool):
            return False
        tir, day = self.cleaned_data.get("tir"), self.cleaned_data.get("inspected_on")
        if tir is not None and day == tool.inspected_on and self._is_ended_reading(tool, tir, day):
            return False
        return (tir is not None and tir != tool.tir) or (day is not None and day != tool.inspected_on)

    def _is_ended_reading(self, tool: Tool, tir, day) -> bool:
        """Whether a row of a sheet says once more what a chuck read before other jaws went in."""
        if self.fixed_kind is not None or tool.tir is not None or tool.pk is None:
            return False
        return tool.inspections.standing().filter(tir=tir, taken_on=day).exists()

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


def set_heights(tool: Tool) -> bool:
    """Bring the lathes for which a holder's height is set to what its form said; whether any changed."""
    wanted = tool.__dict__.pop("lathes_set_for", None)
    if wanted is None:
        return False
    standing = {height.lathe_id: height for height in tool.center_heights.all()}
    fresh = [lathe for lathe in wanted if standing.pop(lathe.pk, None) is None]
    for lathe in fresh:
        CenterHeight.objects.create(tool=tool, lathe=lathe)
    for height in standing.values():
        height.delete()
    return bool(fresh or standing)


def own_columns(row) -> dict:
    """The row's own values, to tell whether a form changed any."""
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def one_line(text: str) -> str:
    return " ".join("".join(character for character in text if character.isprintable() or character.isspace()).split())
