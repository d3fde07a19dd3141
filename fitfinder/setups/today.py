"""As last time: each piece of a setup sheet against today's crib, and what takes the place of one that is gone."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import parse_qsl

from msgspec import Struct

from fitfinder.holding.method import Method
from fitfinder.holding.rules.cautions import Caution
from fitfinder.plan.question import JobQuestion
from fitfinder.plan.setup_sheets import Pick
from fitfinder.questions import QuestionError
from fitfinder.setups.lathe_now import comes_off, lifting_caution
from inventory.keeping.tools_by_name import tools_without_tag
from inventory.models import Condition, CountedItem, SetupSheet, Tool
from inventory.models.kinds import CUTTERS

_MUST_BE_ALIKE = ("size", "mounts_in", "offers", "cuts", "shank", "shank_shape", "jaws", "angle_deg")
"""What another piece of the kind has to have as this one has it, to stand in for it."""


class PickToday(Struct, frozen=True, kw_only=True):
    """A piece of the sheet as it is today, and the one to take in its place where it cannot be had or is worn."""

    pick: Pick
    is_to_be_had: bool
    is_mine: bool
    instead: Tool | None = None
    is_by_plan: bool = False
    """Whether today's plan takes that one; else it is only like it."""

    @property
    def is_worn(self) -> bool:
        return self.pick.tool.condition == Condition.WORN

    @property
    def elsewhere(self) -> str:
        """The other lathe that it is on."""
        on = self.pick.tool.mounted_on
        return "" if on is None or self.pick.is_on_lathe else str(on)


class Today(Struct, frozen=True, kw_only=True):
    picks: tuple[PickToday, ...]
    missing: tuple[str, ...] = ()
    """What the set-up needs that the crib did not have when the sheet was made."""
    not_in_crib: tuple[str, ...] = ()
    """Tools that are written by what they are called and have neither a tag nor a count."""
    counted: tuple[CountedItem, ...] = ()
    """Tools without a tag that are counted."""
    lacking: tuple[str, ...] = ()
    """What of the tools without a tag cannot be fetched."""
    off: tuple[Tool, ...] = ()
    """What is on the lathe now and comes off first."""
    lifting: Caution | None = None

    @property
    def here(self) -> int:
        return sum(one.is_to_be_had for one in self.picks)

    @property
    def is_all_here(self) -> bool:
        return self.here == len(self.picks) and not self._missing

    @property
    def _missing(self) -> tuple[str, ...]:
        return (*self.missing, *self.lacking)

    @property
    def words(self) -> str:
        """`All 5 pieces are to be had today.`, `4 of 6 … today; missing beside them: a steady rest.`"""
        missing = f"; missing beside {'it' if len(self.picks) == 1 else 'them'}: {', '.join(self._missing)}"
        return f"{self._to_be_had} today{missing if self._missing else ''}." if self.picks else ""

    @property
    def _to_be_had(self) -> str:
        if self.here < len(self.picks):
            return f"{self.here} of {len(self.picks)} pieces are to be had"
        if self.here == 1:
            return "Its piece is to be had"
        return f"{'The' if self._missing else 'All'} {self.here} pieces are to be had"


def today(sheet: SetupSheet, picks: list[Pick], *, asker_id: int | None) -> Today:
    """`picks` in the order in which they are to be told."""
    off = comes_off(sheet, picks)
    untagged = tools_without_tag(sheet)
    return Today(
        picks=tuple(_picks_today(sheet, picks, asker_id)),
        missing=tuple(str(item).rstrip(".") for item in sheet.missing),
        not_in_crib=tuple(f"{words}, for {does}: not in the crib" for words, does in untagged.not_here),
        counted=untagged.counted,
        lacking=tuple(untagged.lacking),
        off=tuple(off),
        lifting=lifting_caution(sheet, picks, off),
    )


def _picks_today(sheet: SetupSheet, picks: list[Pick], asker_id: int | None) -> Iterable[PickToday]:
    rows = [_as_it_is(pick, asker_id) for pick in picks]
    wanted = [row for row in rows if not row.is_to_be_had or row.is_worn]
    if not wanted:
        return rows
    on_sheet = {pick.tool.pk for pick in picks}
    planned = [tool for tool in _planned_today(sheet, asker_id) if tool.pk not in on_sheet]
    replaced: dict[int, PickToday] = {}
    for row in wanted:
        by_plan = next((tool for tool in planned if tool.kind == row.pick.tool.kind), None)
        other = by_plan if by_plan and not row.is_to_be_had else _like(row.pick.tool, on_sheet)
        if other is not None:
            on_sheet.add(other.pk)
            replaced[row.pick.tool.pk] = PickToday(
                pick=row.pick,
                is_to_be_had=row.is_to_be_had,
                is_mine=row.is_mine,
                instead=other,
                is_by_plan=other is by_plan,
            )
    return [replaced.get(row.pick.tool.pk, row) for row in rows]


def _as_it_is(pick: Pick, asker_id: int | None) -> PickToday:
    is_mine = pick.loan is not None and pick.loan.borrower_id == asker_id
    is_elsewhere = pick.tool.mounted_on_id is not None and not pick.is_on_lathe
    is_free = (pick.loan is None or is_mine) and not is_elsewhere
    return PickToday(pick=pick, is_to_be_had=pick.tool.is_in_service and is_free, is_mine=is_mine)


def _planned_today(sheet: SetupSheet, asker_id: int | None) -> list[Tool]:
    """What the plan of the sheet takes today, by the same way to hold; nothing for a sheet that was written by hand."""
    method = next((method for method in Method if method == sheet.method or sheet.way.lower().startswith(method)), None)
    if not sheet.question or method is None:
        return []
    try:
        way = JobQuestion.from_texts(dict(parse_qsl(sheet.address))).way(method, asker_id=asker_id)
    except QuestionError:
        return []
    keys = [piece.id for piece in way.pieces] if way.is_here else []
    tools = Tool.objects.for_line().in_bulk(keys)
    return [tools[key] for key in keys if key in tools]


def _like(tool: Tool, taken: Iterable[int]) -> Tool | None:
    """A good piece of the same kind that is here, alike in all that counts."""
    alike = {name: getattr(tool, name) for name in _MUST_BE_ALIKE}
    if tool.kind in CUTTERS:
        alike["tip"] = tool.tip
    others = Tool.objects.for_line().in_service().is_here().filter(kind=tool.kind, condition=Condition.GOOD, **alike)
    return others.filter(mounted_on=None).exclude(pk__in=list(taken)).order_by("tag").first()
