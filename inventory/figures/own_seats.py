"""Seats of the shop's own, further names of any seat or series, and two seats that turn out to be one."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Model, Q

from inventory.figures.names import Names
from inventory.measures.inputs import LineInput, say_plainly
from inventory.measures.lengths import shorten
from inventory.models import Lathe, OtherName, Seat, Series, Tool, User, Want
from inventory.reference.codes import LONGEST, spelling_key

SEATS_OF_A_PIECE = ("mounts_in", "offers")
SEATS_OF_A_LATHE = ("nose", "headstock_taper", "tailstock_taper", "post")
_FAMILIES = (
    Seat.Family.TAPER, Seat.Family.NOSE, Seat.Family.THREAD, Seat.Family.BORE, Seat.Family.COLLET, Seat.Family.POST,
    Seat.Family.OTHER,
)  # fmt: skip


class OwnSeatForm(forms.Form):
    """A seat that no table has: its name, what kind of place it is, and whether a drawbar holds what sits in it."""

    code = LineInput(max_length=30, label="Name", help_text="As the shop calls it: B16, NT40, 1-1/4-7, QCTP 200 …")
    family = forms.ChoiceField(
        choices=[(one.value, "not said" if one is Seat.Family.OTHER else one.label) for one in _FAMILIES],
        label="What it is",
    )
    is_drawn = forms.BooleanField(
        required=False,
        label="A drawbar holds what sits in it",
        help_text="As in a Morse or 7:24 taper: a collet chuck in it is only offered with its drawbar.",
    )
    standard = LineInput(
        required=False, max_length=200, label="Standard, or a note", help_text="DIN 238, measured on the old mill …"
    )

    def __init__(self, data: Any = None, *, seat: Seat | None = None) -> None:
        self.seat = seat
        initial = {name: getattr(seat, name) for name in ("code", "family", "is_drawn", "standard")} if seat else {}
        super().__init__(data, initial=initial)
        say_plainly(self.fields, {"code": "B16 or 1-1/4-7"})

    def clean_code(self) -> str:
        code = self.cleaned_data["code"]
        refuse_taken_name(code, but=self.seat)
        return code

    @transaction.atomic
    def save(self, *, by: User) -> Seat:
        """A name that it had still leads to it."""
        seat = self.seat or Seat()
        was = seat.code
        for name, value in self.cleaned_data.items():
            setattr(seat, name, value)
        if self.has_changed() or self.seat is None:
            seat.changed_by = by
            seat.save()
        if was and spelling_key(was) != spelling_key(seat.code):
            OtherName.objects.create(text=was, seat=seat, added_by=by)
            _rename_in_texts(was, seat.code)
        elif was and was != seat.code:
            _rename_in_texts(was, seat.code)
        return seat


class OtherNameForm(forms.Form):
    """A further name of a seat or a series."""

    text = LineInput(
        max_length=LONGEST, label="Another name", help_text="As somebody here writes it, on a label or in a sheet."
    )

    def __init__(self, data: Any = None, *, of: Seat | Series) -> None:
        self.of = of
        super().__init__(data)
        say_plainly(self.fields, {"text": "old mill taper"})

    def clean_text(self) -> str:
        text = self.cleaned_data["text"]
        if not spelling_key(text):
            raise ValidationError(f"“{shorten(text)}” is no name. Write letters or figures.")
        names = Names.of_book()
        means = names.series_of_name(text) if isinstance(self.of, Series) else names.seat(text)
        if means == self.of:
            raise ValidationError(f"“{shorten(text)}” is read as {self.of} already.")
        refuse_taken_name(text)
        return text

    def save(self, *, by: User) -> OtherName:
        of = {"series" if isinstance(self.of, Series) else "seat": self.of}
        return OtherName.objects.create(text=self.cleaned_data["text"], added_by=by, **of)


class SameSeatForm(forms.Form):
    """Which other seat this one is."""

    same_as = LineInput(
        max_length=LONGEST,
        label="It is the same seat as",
        help_text="All that names it is at the other from then on, and its name leads there.",
        widget=forms.TextInput(attrs={"list": "seats"}),
    )

    def __init__(self, data: Any = None, *, seat: Seat) -> None:
        self.seat = seat
        super().__init__(data)
        say_plainly(self.fields, {"same_as": "MT4"})

    def clean_same_as(self) -> Seat:
        text = self.cleaned_data["same_as"]
        other = Names.of_book().seat(text)
        if other is None:
            raise ValidationError(f"“{shorten(text)}” is no seat here. Write one of the list.")
        if other == self.seat:
            raise ValidationError(f"“{shorten(text)}” is this seat itself. Write the other one.")
        return other


def refuse_taken_name(text: str, *, but: Seat | None = None) -> None:
    """Raises ValidationError where the name means a seat or series already, other than `but`."""
    names = Names.of_book()
    key = spelling_key(text)
    if not key:
        raise ValidationError(f"“{shorten(text)}” is no name. Write letters or figures.")
    for taken in (names.seat(text), names.series_of_name(text)):
        if taken is None or taken == but or (isinstance(taken, Series) and taken.seat == but):
            continue
        what = "series" if isinstance(taken, Series) else "seat"
        raise ValidationError(f"“{shorten(text)}” is a name of the {what} {taken} already. Write another.")


@transaction.atomic
def merge(seat: Seat, into: Seat, *, by: User) -> None:
    """All that names the one is at the other from now on, histories too: it was that seat all along."""
    named: tuple[tuple[type[Model], tuple[str, ...]], ...] = (
        (Tool, SEATS_OF_A_PIECE),
        (Tool.history.model, SEATS_OF_A_PIECE),
        (Lathe, SEATS_OF_A_LATHE),
        (Lathe.history.model, SEATS_OF_A_LATHE),
        (Series, ("seat",)),
        (Series.history.model, ("seat",)),
    )
    for model, columns in named:
        for column in columns:
            model._default_manager.filter(**{f"{column}_id": seat.pk}).update(**{f"{column}_id": into.pk})
    _rename_in_texts(seat.code, into.code)
    OtherName.objects.filter(seat=seat).update(seat=into)
    was = seat.code
    seat.delete()
    if spelling_key(was) != spelling_key(into.code):
        OtherName.objects.create(text=was, seat=into, added_by=by)


def _rename_in_texts(was: str, code: str) -> None:
    """What a key is for, and the seats of a link on the order list, are kept in words."""
    for key in Tool.objects.filter(fits__icontains=was):
        parts = [part.strip() for part in key.fits.split(",")]
        named = [code if part.upper() == was.upper() else part for part in parts]
        if named != parts:
            Tool.objects.filter(pk=key.pk).update(fits=", ".join(dict.fromkeys(named))[:60])
    for column in ("mount", "takes"):
        Want.objects.filter(**{f"{column}__iexact": was}).update(**{column: code})


def users_of(seat: Seat) -> list[str]:
    """Tags and names of what is at this seat."""
    # A collet of a size is at the seat of its series, which stands here by itself.
    pieces = Tool.objects.in_book().filter(Q(mounts_in=seat, size=None) | Q(offers=seat))
    tags = list(pieces.order_by("tag").values_list("tag", flat=True))
    return [*_lathes_with(seat), *(f"series {one}" for one in Series.objects.filter(seat=seat)), *tags]


def is_used(seat: Seat) -> bool:
    """Whether anything in the book, retired or not, is at it: then it stays."""
    return (
        Series.objects.filter(seat=seat).exists()
        or bool(_lathes_with(seat))
        or any(Tool.objects.filter(**{column: seat}).exists() for column in SEATS_OF_A_PIECE)
    )


def _lathes_with(seat: Seat) -> list[str]:
    at_seat = [Lathe.objects.filter(**{column: seat}) for column in SEATS_OF_A_LATHE]
    return sorted({lathe.name for lathes in at_seat for lathe in lathes})
