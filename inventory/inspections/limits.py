"""The limit and intervals that hold for a piece: the shop's own for its series or kind, else the built-in ones."""

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.models import Condition, Series, Tool, WearLimit
from inventory.reference.wear_limits import wear_figures

OWN = "the shop's own figure"


class Limits(Struct, frozen=True):
    """What holds for one piece; `source` says where the limit comes from."""

    limit: Length | None
    every_days: int | None
    every_uses: int | None
    source: str
    read_at: Length | None = None

    def exceeded_by(self, tir: Length | None, condition: str) -> Length | None:
        """The limit, where a piece reads over it and is still called good; None where nobody has to say anything."""
        if condition != Condition.GOOD or tir is None or self.limit is None or tir <= self.limit:
            return None
        return self.limit


class LimitBook:
    """The shop's own figures, fetched once, over the built-in ones."""

    def __init__(self):
        rows = WearLimit.objects.all()
        self._of_series = {row.series_id: row for row in rows if row.series_id}
        self._of_kind = {row.kind: row for row in rows if row.kind}

    def of(self, tool: Tool) -> Limits:
        """`tool` with its size and series at hand."""
        size = tool.size
        if size is None:
            return self.figures(tool.kind, None, None, None, None)
        return self.figures(tool.kind, size.series_id, size.series.code, size.shape, size.nominal)

    def figures(self, kind: str, series: int | None, code: str | None, shape: str | None, nominal) -> Limits:
        """Of pieces of this kind, and of this size by the key and code of its series; None where they have none."""
        if series is None:
            builtin = wear_figures(kind)
        else:
            builtin = wear_figures(kind, series=code, shape=shape, nominal=nominal)
        own = [self._of_series.get(series), self._of_kind.get(kind)]
        limit, is_own = _first(own, "limit", builtin.limit)
        return Limits(
            limit=limit,
            every_days=_first(own, "every_days", builtin.every_days)[0],
            every_uses=_first(own, "every_uses", builtin.every_uses)[0],
            source=OWN if is_own else builtin.source,
            read_at=None if is_own else builtin.read_at,
        )

    def own(self, *, series: Series | None = None, kind: str = "") -> WearLimit | None:
        return self._of_series.get(series.pk) if series else self._of_kind.get(kind)


def limits_of(tool: Tool) -> Limits:
    return LimitBook().of(tool)


def _first(own: list[WearLimit | None], name: str, builtin):
    """The first figure that the shop wrote down, and whether there is one."""
    for row in own:
        value = getattr(row, name) if row else None
        if value is not None:
            return value, True
    return builtin, False
