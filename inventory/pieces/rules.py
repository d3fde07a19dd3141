"""What must hold of a piece of one kind; each rule says what is wrong beside the field where it was typed.

The rules take the form of a piece and what it has cleaned so far, to which they add what they read.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError

from inventory.measures.collet_marks import ColletMark, read_mark, shape_beside, shape_off
from inventory.measures.length_words import nominal, typed
from inventory.measures.lengths import Length, LengthError, Unit, exact, parse, shorten
from inventory.models import Kind, Series, SeriesShape, Shape, Tool
from inventory.models.kinds import CHUCKS, CUT_TO_SIZE
from inventory.pieces import words
from inventory.pieces.asked import jaws_in
from inventory.pieces.fields import FIELD_OF

if TYPE_CHECKING:
    from inventory.pieces.form import PieceForm

Cleaned = dict[str, Any]

_LARGEST_BARE = Length.inches(3)
"""Above what any series holds, or a drill cuts: where no limit is known, a larger bare number is asked back."""
LARGEST_CUT = Length.inches(6)
"""Above any drill, reamer or counterbore for a lathe (common practice, no source)."""
_OF_JAWS = ("inside_largest", "inside_smallest", "outside_largest", "outside_smallest")


def refuse_other_than_jaws(form: PieceForm, cleaned: Cleaned) -> None:
    """A chuck holds what the jaws hold that are in it: another range belongs to other jaws."""
    jaws = None
    for column in _OF_JAWS:
        value = cleaned.get(FIELD_OF[column])
        if value is None or form.tool is None or value == getattr(form.tool, column):
            continue
        jaws = jaws or jaws_in(form.tool)
        if jaws is None:
            return
        form.add_error(
            FIELD_OF[column],
            f"{typed(value)} was read, and the {jaws} are in {form.tool}: change the range with those jaws, "
            "on the chuck's page.",
        )


def clean_series(form: PieceForm, cleaned: Cleaned) -> None:
    """The series, whose seat the piece sits in."""
    if "series" in form.fields:
        cleaned["own_series"] = _series(form, cleaned)


def clean_collet(form: PieceForm, cleaned: Cleaned) -> None:
    series = _series(form, cleaned)
    shape = _shape_of_collet(form, cleaned)
    if series is None or shape is None or "size" in form.errors:
        return
    figures = form.book.figures.get((series.code.upper(), shape))
    if figures is None:
        form.add_error("shape", f"{series.code} has no {shape} collets.")
        return
    mark = _size_of_collet(form, cleaned.get("size") or "", figures)
    if mark is None:
        return
    cleaned["figures"], cleaned["nominal"] = figures, mark.nominal
    wrong = _take_range(form, cleaned, mark, figures) or _wrong_with_marked(
        mark.nominal, cleaned.get("grips_min"), cleaned.get("grips_max")
    )
    if wrong:
        form.add_error("grips_max", wrong)


def _shape_of_collet(form: PieceForm, cleaned: Cleaned) -> Shape | None:
    """The shape that was chosen; where none was, as in a sheet, the one that stands beside the size."""
    text, size = cleaned.get("shape") or "", cleaned.get("size") or ""
    shape_in_size, is_flats = shape_beside(size)
    if not text and is_flats and not shape_in_size:
        form.add_error("shape", f"“{shorten(size)}” is across flats. Write hex or square.")
        return None
    shape = words.shape_of(text or shape_in_size)
    if shape is None:
        form.add_error("shape", f"“{shorten(text)}” is no shape of a collet. Write round, hex or square.")
    return shape


def _take_range(form: PieceForm, cleaned: Cleaned, mark: ColletMark, figures: SeriesShape) -> str:
    """Count with a range that is written with the size where it is not that of the series; why it cannot be, if so."""
    differs = mark.differs_from(figures)
    smallest = cleaned.get("grips_min")
    if mark.closes_to is not None and smallest is not None and smallest != mark.closes_to:
        return f"With the size stands that it closes to {exact(mark.closes_to)}; here stands {exact(smallest)}."
    if differs and smallest is None and cleaned.get("grips_max") is None:
        largest = figures.figures.clamping_range(mark.nominal).largest
        cleaned["grips_min"], cleaned["grips_max"] = mark.closes_to, largest
        form.size_notes.append(f"{differs[0].upper()}{differs[1:]}: what is marked on the piece counts.")
    return ""


def _wrong_with_marked(nominal: Length, smallest: Length | None, largest: Length | None) -> str:
    """Why these cannot be the marked limits of a collet of this size; empty where they can, or where both are empty."""
    if smallest is None and largest is None:
        return ""
    if smallest is None or largest is None:
        return "A marked range has two ends. Write both, or leave both empty."
    if smallest <= nominal <= largest:
        return ""
    return f"{typed(smallest)} to {typed(largest)} does not reach the size that is marked, {typed(nominal)}."


def clean_machinable(form: PieceForm, cleaned: Cleaned) -> None:
    """Its size in a sheet is the pilot hole; its bore is only ever opened."""
    clean_series(form, cleaned)
    if cleaned.get("size") and not cleaned.get("pilot"):
        try:
            cleaned["pilot"] = form.fields["pilot"].clean(cleaned["size"])
        except ValidationError as error:
            form.add_error("size", error)
    if "bored" in form.fields and not {"series", "bored", "pilot"} & set(form.errors):
        _clean_bore(form, cleaned)


def _clean_bore(form: PieceForm, cleaned: Cleaned) -> None:
    bore, was = cleaned.get("bored"), form.tool.bored_to if form.tool is not None else None
    pilot = cleaned.get("pilot") or (form.tool.pilot if form.tool is not None and form.is_row else None)
    if bore is None:
        if was is not None and not form.is_row:
            _empty_bore(form, cleaned, was)
        return
    figures = form.book.figures.get((cleaned["own_series"].code.upper(), Shape.ROUND))
    if pilot is not None and bore < pilot:
        form.add_error("bored", f"{typed(bore)} is below the pilot hole, {typed(pilot)}.")
    elif was is not None and bore < was and not cleaned.get("mistyped"):
        form.add_error("bored", f"It is bored to {typed(was)}, and a bore is only ever opened, never closed.")
    elif figures is None:
        form.add_error("series", f"{cleaned['own_series'].code} has no round collets.")
    elif not figures.takes_nominal(bore):
        limits = " to ".join(nominal(limit) for limit in (figures.smallest, figures.largest) if limit)
        form.add_error("bored", f"{typed(bore)} was read; {figures} collets go from {limits}.")
    else:
        cleaned["figures"], cleaned["bore"] = figures, bore


def _empty_bore(form: PieceForm, cleaned: Cleaned, was: Length) -> None:
    if cleaned.get("mistyped"):
        cleaned["bore"] = None
    else:
        form.add_error("bored", f"It is bored to {typed(was)}; a bore stays. Tick below where that was mistyped.")


def clean_cut(form: PieceForm, cleaned: Cleaned) -> None:
    """The size that a drill, reamer or counterbore cuts."""
    text = cleaned.get("size") or ""
    if "size" not in form.fields or (not text and form.is_row):
        return
    if not text:
        cleaned["cuts"] = None
        return
    try:
        size, shape = shape_off(text)
        cuts = parse(size if shape == "round" else text, form.unit, bare_limit=_LARGEST_BARE)
    except LengthError as error:
        form.add_error("size", error.message)
        return
    if cuts > LARGEST_CUT:
        form.add_error("size", f"“{shorten(text)}” was read as {typed(cuts)}; write at most {typed(LARGEST_CUT)}.")
        return
    cleaned["cuts"] = cuts


def fits(form: PieceForm, text: str) -> str:
    """What a key tightens: seats by their code and pieces by their tag, as the book writes them."""
    parts = [part for part in re.split(r"\s*[,;]\s*", text) if part]
    read = []
    for part in parts:
        seat = form.book.seat_named(part)
        read.append(seat.code if seat else part.upper())
        if seat is None and not form.is_row and not Tool.objects.tagged(part).exists():
            form.unknown_fits.append(part.upper())
    joined = ", ".join(dict.fromkeys(read))
    if len(joined) > 60:
        raise ValidationError(f"{len(joined)} characters were read; write at most 60.")
    return joined


def _series(form: PieceForm, cleaned: Cleaned) -> Series | None:
    code = (cleaned.get("series") or "").strip()
    series = form.book.series_named(code)
    if series is None:
        known = ", ".join(sorted(form.book.series))
        read = f"“{shorten(code)}” is no series here." if code else "A collet needs its series."
        form.add_error("series", f"{read} Write one of {known.upper()}.")
    elif series.retired_at is not None and form.tool is None:
        form.add_error("series", f"{series} is retired here. Take it back into use on its page, or write another.")
        return None
    return series


def _size_of_collet(form: PieceForm, text: str, figures: SeriesShape) -> ColletMark | None:
    if not text:
        form.add_error("size", "A collet needs its size. Write it like 3/4, .7485, 19 mm or #7.")
        return None
    try:
        mark = read_mark(text, form.unit, series=figures, bare_limit=_LARGEST_BARE if figures.largest is None else None)
    except LengthError as error:
        form.add_error("size", error.message)
        return None
    if wrong := mark.disagrees(figures.shape):
        form.add_error("shape", f"“{shorten(text)}” cannot be the size of it: {wrong}. Choose its shape.")
        return None
    if not figures.takes_nominal(mark.nominal):
        limits = " to ".join(nominal(limit) for limit in (figures.smallest, figures.largest) if limit)
        read = f"“{shorten(text)}” was read as {typed(mark.nominal)}; {figures} collets go from {limits}."
        form.add_error("size", read + _other_unit(form, text, figures))
        return None
    return mark


def _other_unit(form: PieceForm, text: str, figures: SeriesShape) -> str:
    """What to write where a bare number is a size of the series in the other unit only."""
    other = Unit.MM if form.unit is Unit.INCH else Unit.INCH
    if "/" in text:
        return ""  # a bare fraction is inches to everybody
    try:
        length = parse(f"{text} {other}")
    except LengthError:
        return ""
    return f" If it is in {other}, write {text} {other}." if figures.takes_nominal(length) else ""


OF_KIND = {
    Kind.COLLET: clean_collet,
    Kind.MACHINABLE_COLLET: clean_machinable,
    Kind.STEP_COLLET: clean_series,
    **dict.fromkeys(CUT_TO_SIZE, clean_cut),
    **dict.fromkeys(CHUCKS, refuse_other_than_jaws),
}
"""The rule of each kind that has one."""
