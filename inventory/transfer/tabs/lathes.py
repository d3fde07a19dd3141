"""Lathes, out and in: what each offers and how far it reaches."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from inventory.keeping.lathes import SEATS, LatheForm
from inventory.measures.lengths import Length
from inventory.models import Lathe
from inventory.transfer.tabs.cells import RunOut, headings, texts
from inventory.transfer.tabs.entering import Entering, OwnTab, TabReport, refuse_form, rows_in, unique


class LatheLine(Struct, frozen=True, kw_only=True):
    """One lathe; the fields but for the last are those of its form."""

    name: str
    nose: str
    headstock_taper: str
    tailstock_taper: str
    post: str
    spindle_bore: Length | None
    spindle_length: Length | None
    swing_over_bed: Length | None
    swing_over_slide: Length | None
    gap_swing: Length | None
    gap_width: Length | None
    between_centers: Length | None
    set_over: Length | None
    compound_travel: Length | None
    slowest_rpm: int | None
    fastest_rpm: int | None
    nose_tir: RunOut | None
    retired: bool


def rows() -> Iterator[LatheLine]:
    return map(row_of, Lathe.objects.with_seats().order_by("name"))


def row_of(lathe: Lathe) -> LatheLine:
    return LatheLine(
        name=lathe.name,
        nose=lathe.nose.code if lathe.nose else "",
        headstock_taper=lathe.headstock_taper.code if lathe.headstock_taper else "",
        tailstock_taper=lathe.tailstock_taper.code if lathe.tailstock_taper else "",
        post=lathe.post.code if lathe.post else "",
        spindle_bore=lathe.spindle_bore,
        spindle_length=lathe.spindle_length,
        swing_over_bed=lathe.swing_over_bed,
        swing_over_slide=lathe.swing_over_slide,
        gap_swing=lathe.gap_swing,
        gap_width=lathe.gap_width,
        between_centers=lathe.between_centers,
        set_over=lathe.set_over,
        compound_travel=lathe.compound_travel,
        slowest_rpm=lathe.slowest_rpm,
        fastest_rpm=lathe.fastest_rpm,
        nose_tir=lathe.nose_tir,
        retired=lathe.retired_at is not None,
    )


def enter(tab: OwnTab, entering: Entering, report: TabReport) -> None:
    """Enter lathes that are new, and bring those of the same name to what their rows say."""
    known = {lathe.name.upper(): lathe for lathe in entering.to_change(Lathe.objects.with_seats())}
    for line, row in unique(rows_in(tab, LatheLine, report), lambda row: row.name, report):
        lathe = known.get(row.name.upper())
        if lathe is not None and row_of(lathe) == row:
            report.unchanged += 1
            continue
        if lathe is not None:
            entering.book_rows.note_before_change([lathe])
        cells = dict(zip(headings(LatheLine), texts(row), strict=True))
        form = LatheForm(cells, instance=lathe)
        if not form.is_valid():
            refuse_form(report, line, form, cells)
            continue
        _save(form, row, entering)
        report.added += lathe is None
        report.updated += lathe is not None


def _save(form: LatheForm, row: LatheLine, entering: Entering) -> None:
    seats = [form.cleaned_data[name] for name in SEATS if form.cleaned_data[name] is not None]
    new = [seat for seat in seats if seat.pk is None]
    lathe = form.save()
    if row.retired != (lathe.retired_at is not None):
        lathe.retired_at = entering.now if row.retired else None
        lathe.save()
    entering.book_rows.note_made([*new, lathe])
