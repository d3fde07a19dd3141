"""A rack of collets of one series, entered at once: its run of sizes, and the tags that they would get."""

import re
from collections import defaultdict
from collections.abc import Collection
from typing import Any

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, transaction
from msgspec import Struct

from inventory.measures.fields import LengthInput
from inventory.measures.inputs import say_plainly
from inventory.measures.length_words import typed
from inventory.measures.lengths import Length, exact, shorten
from inventory.models import Condition, Kind, Shape, Tool, User
from inventory.pieces.book import Book
from inventory.pieces.form import PieceForm
from inventory.pieces.tags import LONGEST, free_tags

MOST = 200
"""Collets entered at once: more than a rack holds, and still one page."""
_PREFIX = re.compile(r"[A-Z0-9][A-Z0-9._-]{0,15}")
_EXAMPLES = {
    "series": "5C or ER32",
    "smallest": "[1/16 or 1 mm|1]",
    "largest": "[1-1/8 or 20 mm|20]",
    "step": "[1/64 or 1 mm|1]",
    "prefix": "C-",
}


class RackRow(Struct, frozen=True):
    """One size of the run: the tag that it would get, and the tags of those that are in the book already."""

    size: Length
    tag: str
    in_book: tuple[str, ...]
    is_ticked: bool

    @property
    def pick(self) -> str:
        """What the page sends back where this row is ticked."""
        return f"{exact(self.size)}|{self.tag}"


class RackForm(forms.Form):
    """Which rack: series, shape, the run of sizes, drawer and tag prefix.

    A valid one has its run in `sizes`; ends and series are read as they are for a single collet.
    """

    series = forms.CharField(help_text="5C, ER32 …", widget=forms.TextInput(attrs={"list": "series"}))
    shape = forms.CharField(initial=Shape.ROUND, widget=forms.Select(choices=[(word, word) for word in Shape.values]))
    smallest = forms.CharField(label="From")
    largest = forms.CharField(label="To")
    step = LengthInput(help_text="[1/64, 1/16, 1 mm|1, 0.5, 1/64] …")
    location = forms.CharField(
        required=False,
        max_length=60,
        label="Drawer or place",
        help_text="A new name makes a new place.",
        widget=forms.TextInput(attrs={"list": "places"}),
    )
    prefix = forms.CharField(  # type: ignore[assignment]  # an address has it by this name
        initial="C-", label="Tags begin with", help_text="The number after it is the next free one."
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        say_plainly(self.fields, _EXAMPLES)
        self.book = Book()
        self.sizes: list[Length] = []

    @property
    def as_typed(self) -> list[tuple[str, str]]:
        """What was typed, to be sent along with the list of sizes."""
        return [(name, self.data.get(name, "")) for name in self.fields]

    @property
    def has_run(self) -> bool:
        """Whether there are sizes to list: every field is right, even where a ticked piece was refused."""
        return self.is_bound and set(self.errors) <= {NON_FIELD_ERRORS}

    def clean_prefix(self) -> str:
        prefix = self.cleaned_data["prefix"].upper()
        if not _PREFIX.fullmatch(prefix):
            raise ValidationError(
                f"“{shorten(prefix)}” begins no tag. Write up to 16 letters, figures, dots and dashes, like C-."
            )
        return prefix

    def clean(self) -> dict[str, Any]:
        first, last = self._end("smallest"), self._end("largest")
        step = self.cleaned_data.get("step")
        if first is not None and last is not None and step is not None:
            self._lay_out(first, last, step)
        return self.cleaned_data

    def _end(self, name: str) -> Length | None:
        """This end of the run, read as the size of one collet; what is wrong with it is said where it was typed."""
        family = {field: self.data.get(field, "") for field in ("series", "shape")}
        one = PieceForm({**family, "size": self.data.get(name, "")}, kind=Kind.COLLET, book=self.book)
        for field, own in (("series", "series"), ("shape", "shape"), ("size", name)):
            if field in one.errors and own not in self.errors:
                self.add_error(own, one.errors[field].as_data())
        if "figures" in one.cleaned_data:
            self.figures = one.cleaned_data["figures"]
        return one.cleaned_data.get("nominal")

    def _lay_out(self, first: Length, last: Length, step: Length) -> None:
        if last < first:
            self.add_error("largest", f"{typed(last)} is below where the run begins, {typed(first)}.")
            return
        span = last - first
        count = span.nm // step.nm + 1
        if span.nm and count == 1:
            self.add_error(
                "step",
                f"A step of {typed(step)} is more than the whole way from {typed(first)} to {typed(last)}. "
                "Write it with its unit, like 1/64 in or 1 mm.",
            )
        elif count > MOST:
            self.add_error(
                "step", f"That would be {count:,} sizes; at most {MOST} at once. Take a larger step or a shorter run."
            )
        elif "prefix" in self.cleaned_data and self._has_free_numbers(count):
            self.sizes = [first + step * place for place in range(count)]

    def _has_free_numbers(self, count: int) -> bool:
        prefix = self.cleaned_data["prefix"]
        if len(free_tags(prefix, count)[-1]) > LONGEST:
            self.add_error(
                "prefix",
                f"The next free numbers after {prefix} make tags longer than 20 characters. Write another prefix.",
            )
            return False
        return True

    def rows(self, ticked: Collection[Length] | None = None) -> list[RackRow]:
        """The run with its tags; `ticked` are the sizes to tick, without it all that are not in the book yet.

        The sizes that are in the book already get the last numbers, so that leaving them out leaves no gap.
        """
        have = self._in_book()
        lacking = [size for size in self.sizes if size not in have]
        in_turn = lacking + [size for size in self.sizes if size in have]
        ticked = lacking if ticked is None else ticked
        tags = dict(zip(in_turn, free_tags(self.cleaned_data["prefix"], len(in_turn)), strict=True))
        return [RackRow(size, tags[size], tuple(have.get(size, ())), size in ticked) for size in self.sizes]

    def _in_book(self) -> dict[Length, list[str]]:
        pieces = Tool.objects.in_book().filter(size__series=self.figures.series_id, size__shape=self.figures.shape)
        have: defaultdict[Length, list[str]] = defaultdict(list)
        for size, tag in pieces.order_by("tag").values_list("size__nominal", "tag"):
            have[size].append(tag)
        return dict(have)

    def picked(self, sent: list[str]) -> dict[Length, str]:
        """The ticked sizes with the tags that the page showed; what is none of this run is refused."""
        of_text = {exact(size): size for size in self.sizes}
        picked = {}
        for pick in sent:
            text, _, tag = pick.partition("|")
            if text not in of_text or of_text[text] in picked:
                self.add_error(None, f"“{shorten(pick)}” is not in this list. Look over the list, then enter it again.")
                return {}
            picked[of_text[text]] = tag
        if not picked:
            self.add_error(None, "No size is ticked. Tick those that are in the rack.")
        return picked

    def save(self, picked: dict[Length, str], *, by: User) -> list[Tool]:
        """All of the picked ones in the book; where one is refused none, and the form says why."""
        try:
            with transaction.atomic():
                return self._save_pieces(picked, by)
        except ValidationError as error:
            self.add_error(None, error)
        except IntegrityError:
            # Between the look at the tags and the saving somebody else may have used one.
            if not Tool.objects.filter(tag__in=picked.values()).exists():
                raise
            self.add_error(None, "One of these tags was put on another piece just now. Nothing was entered.")
        return []

    def _save_pieces(self, picked: dict[Length, str], by: User) -> list[Tool]:
        tools: list[Tool] = []
        troubles: list[str] = []
        like: PieceForm | None = None
        for size, tag in picked.items():
            form = like = self._piece(size, tag, like)
            if form.is_valid():
                tools.append(form.save(by=by))
            else:
                troubles += [str(message) for messages in form.errors.values() for message in messages]
        if troubles:
            raise ValidationError([*_shortened(troubles), "Nothing was entered; the list has the next free tags."])
        return tools

    def _piece(self, size: Length, tag: str, like: PieceForm | None) -> PieceForm:
        typed = {
            "tag": tag,
            "series": self.figures.series.code,
            "shape": self.figures.shape,
            "size": exact(size),
            "location": self.cleaned_data["location"],
            "condition": Condition.GOOD,
        }
        return PieceForm(typed, kind=Kind.COLLET, book=self.book, like=like)

    def still_wanted(self, picked: dict[Length, str]) -> set[Length]:
        """Those of the refused that are to stay ticked: not those whose very tag is on such a collet already."""
        have = self._in_book()
        return {size for size, tag in picked.items() if tag not in have.get(size, ())}


def _shortened(troubles: list[str]) -> list[str]:
    """The first few; the rest is of the same sort."""
    rest = len(troubles) - 5
    return troubles if rest <= 1 else [*troubles[:5], f"So it is with {rest} more."]
