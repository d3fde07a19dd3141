"""The limit and intervals that hold for a piece: the shop's own for its series or kind, else the built-in ones."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import Condition, Series, Tool, WearLimit
from inventory.reference.wear_limits import wear_figures

T = TypeVar("T")
OWN = "the shop's own figure"


class Limits(Struct, frozen=True):
    """What holds for one piece; `source` says where the limit comes from."""

    limit: Length | None
    every_days: int | None
    every_uses: int | None
    source: str
    read_at: Length | None = None

    @property
    def intervals(self) -> list[str]:
        return intervals(self.every_days, self.every_uses)

    def exceeded_by(self, tir: Length | None, condition: str) -> Length | None:
        """The limit, where a piece reads over it and is still called good; None where nobody has to say anything."""
        if condition != Condition.GOOD or tir is None or self.limit is None or tir <= self.limit:
            return None
        return self.limit


class LimitBook:
    """The shop's own figures, fetched once, over the built-in ones."""

    def __init__(self) -> None:
        rows = WearLimit.objects.all()
        self._of_series: dict[int | None, WearLimit] = {row.series_id: row for row in rows if row.series_id}
        self._of_kind = {row.kind: row for row in rows if row.kind}

    def of(self, tool: Tool) -> Limits:
        """`tool` with its size and series at hand."""
        size = tool.size
        if size is None:
            return self.figures(tool.kind, None, None, None, None)
        return self.figures(tool.kind, size.series_id, size.series.code, size.shape, size.nominal)

    def figures(
        self, kind: str, series: int | None, code: str | None, shape: str | None, nominal: Length | None
    ) -> Limits:
        """Of pieces of this kind, and of this size by the key and code of its series; None where they have none."""
        builtin = wear_figures(kind, series=code or "", shape=shape or "", nominal=nominal)
        rows = [row for row in (self._of_series.get(series), self._of_kind.get(kind)) if row]
        own_limit = _first(row.limit for row in rows)
        return Limits(
            limit=builtin.limit if own_limit is None else own_limit,
            every_days=_first([*(row.every_days for row in rows), builtin.every_days]),
            every_uses=_first([*(row.every_uses for row in rows), builtin.every_uses]),
            source=builtin.source if own_limit is None else OWN,
            read_at=builtin.read_at if own_limit is None else None,
        )

    def own(self, *, series: Series | None = None, kind: str = "") -> WearLimit | None:
        return self._of_series.get(series.pk) if series else self._of_kind.get(kind)


def intervals(every_days: int | None, every_uses: int | None) -> list[str]:
    """When a piece is inspected, in words."""
    days = [f"every {every_days} days"] if every_days else []
    uses = [f"after {every_uses} issues"] if every_uses else []
    return days + uses


def limits_of(tool: Tool) -> Limits:
    return LimitBook().of(tool)


def _first(values: Iterable[T | None]) -> T | None:
    """The first figure that somebody wrote down."""
    return next((value for value in values if value is not None), None)
