"""Lathes out: what each offers and how far it reaches."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import Lathe


class LatheRow(Struct, frozen=True, kw_only=True):
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
    between_centers: Length | None
    set_over: Length | None
    compound_travel: Length | None
    slowest_rpm: int | None
    fastest_rpm: int | None
    nose_tir: Length | None
    retired: bool


def rows() -> Iterator[LatheRow]:
    return map(row_of, Lathe.objects.with_seats().order_by("name"))


def row_of(lathe: Lathe) -> LatheRow:
    return LatheRow(
        name=lathe.name,
        nose=lathe.nose.code if lathe.nose else "",
        headstock_taper=lathe.headstock_taper.code if lathe.headstock_taper else "",
        tailstock_taper=lathe.tailstock_taper.code if lathe.tailstock_taper else "",
        post=lathe.post.code if lathe.post else "",
        spindle_bore=lathe.spindle_bore,
        spindle_length=lathe.spindle_length,
        swing_over_bed=lathe.swing_over_bed,
        swing_over_slide=lathe.swing_over_slide,
        between_centers=lathe.between_centers,
        set_over=lathe.set_over,
        compound_travel=lathe.compound_travel,
        slowest_rpm=lathe.slowest_rpm,
        fastest_rpm=lathe.fastest_rpm,
        nose_tir=lathe.nose_tir,
        retired=lathe.retired_at is not None,
    )
