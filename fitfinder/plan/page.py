"""A plan and a way as their pages show them: plain words in the order of the page, of which the templates make HTML."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fitfinder.arithmetic.sketches import Sketch
from fitfinder.holding.collets.grips import wanted_pieces
from fitfinder.holding.parts import Reason
from fitfinder.holding.way import Way
from fitfinder.plan.holding_drawing import drawing_of
from fitfinder.plan.holdings import holding_of
from fitfinder.plan.pictures import MinutesPicture, minutes_against_parts
from fitfinder.plan.plan import Plan
from fitfinder.plan.sheet import SheetNumber, numbers, steps
from inventory.measures.length_words import in_unit, runout_text


@dataclass(frozen=True)
class PageWord:
    """A word, and the class of the stylesheets in which it stands out."""

    text: str
    css_class: str = ""

    @property
    def form(self) -> str:
        """That of an answer that this is the verdict of: `yes`, `maybe` or `no`."""
        return {"out": "no", "worn": "maybe"}.get(self.css_class, "yes")


CANNOT = PageWord("cannot", "out")
MISSING = PageWord("missing", "out")
UNCHECKED = PageWord("unchecked", "worn")
TOO_FAR_OUT = PageWord("stands out too far", "out")
ALL_HERE = PageWord("all here")
TRUTH = {True: PageWord("true enough"), False: PageWord("misses the TIR", "out"), None: PageWord("how true is open")}
AND_TRUE = {True: ", and true enough", False: ", but not true enough", None: "; how true is open"}
AGAINST = {True: PageWord("within"), False: PageWord("more than", "out"), None: PageWord("open against")}
WAY_VERDICTS = {
    CANNOT: "Cannot hold it", MISSING: "Not all here", TOO_FAR_OUT: "Here, but it stands out too far",
    UNCHECKED: "Here, not all checked", ALL_HERE: "All here",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class WayRow:
    """One way in the table. `truth` is told where it matters, `lathe` where the ways are of several."""

    way: Way
    state: PageWord
    truth: PageWord | None
    lathe: str
    tir: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PlanPage:
    asked: tuple[str, ...]
    form: str
    """`yes`, `maybe` or `no`: what the lead looks like at arm's length."""
    verdict: str
    heading: str
    sentence: str
    """What is said below the heading where no way is all here, or the one that leads is not all checked."""
    table_heading: str
    rows: tuple[WayRow, ...]
    says_why_once: bool
    """Whether the reason of most ways stands above the table and not in it."""
    picture: MinutesPicture | None
    holding: Sketch | None


def page_of(plan: Plan, *, lathe: str = "") -> PlanPage:
    """`lathe` is the one that was asked about."""
    shared = plan.shared_reason
    is_of_one_lathe = len({way.lathe.id for way in plan.ways if way.lathe and way.can}) < 2
    verdict, heading, sentence = _verdict(plan, lathe)
    return PlanPage(
        asked=(*plan.job.words, *([lathe] if lathe else [])),
        form=_form(plan.lead) if plan.lead is not None else "no",
        verdict=verdict,
        heading=heading,
        sentence=sentence,
        table_heading=_table_heading(plan, is_of_one_lathe=is_of_one_lathe),
        rows=tuple(_row(way, shared, names_lathe=not is_of_one_lathe) for way in plan.ways),
        says_why_once=shared is not None,
        picture=minutes_against_parts(plan) if plan.job.parts > 1 else None,
        holding=drawing_of(holding_of(plan.lead)) if plan.lead is not None else None,
    )


def _verdict(plan: Plan, lathe: str) -> tuple[str, str, str]:
    """The verdict in large, the heading, and the sentence below it."""
    if plan.lead is not None:
        truth = AND_TRUE[plan.lead.runs_as_asked] if _truth_matters(plan.lead) else ""
        remarks = " ".join([*_not_as_asked(plan, plan.lead), *map(sentence, plan.lead.doubts)])
        return f"{WAY_VERDICTS[state_of(plan.lead)]}{truth}", plan.lead.name, remarks
    if plan.is_possible:
        words = "The table says what each way lacks; the first lacks the least."
        return "Something is missing for every way", "Nothing is all here", words
    why = plan.shared_reason
    where = f"on {lathe}" if lathe else "here"
    return f"Cannot be held {where}", "No way can hold it", sentence(why) if why else "The table says why not."


def _form(way: Way) -> str:
    """Work that is gripped again and must be true then, and is not, is no plain yes."""
    state = state_of(way)
    if state is MISSING or (state is ALL_HERE and _truth_matters(way) and way.runs_as_asked is not True):
        return "maybe"
    return state.form


def _not_as_asked(plan: Plan, lead: Way) -> Iterator[str]:
    """How far it stands out, where no more of it goes inside than it does."""
    asked, out = plan.job.stick_out, lead.stick_out
    if asked is not None and out is not None and out > asked:
        yield f"It stands out {in_unit(out)}, not {in_unit(asked)}: no more of it goes inside."


def _table_heading(plan: Plan, *, is_of_one_lathe: bool) -> str:
    words = "All ways, best first" if plan.is_possible else "Why each way cannot"
    lathe = plan.lead.lathe if plan.lead is not None and is_of_one_lathe else None
    return f"{words}, on {lathe.name}" if lathe is not None else words


def _row(way: Way, shared: Reason | None, *, names_lathe: bool) -> WayRow:
    tir = way.tir
    return WayRow(
        way=way,
        state=state_of(way),
        truth=TRUTH[way.runs_as_asked] if way.is_here and _truth_matters(way) else None,
        lathe=way.lathe.name if way.lathe and way.can and names_lathe else "",
        tir="" if not way.can else runout_text(tir) if tir is not None else "not known",
        remarks=tuple(_remarks(way, shared)),
    )


def _remarks(way: Way, shared: Reason | None) -> Iterator[str]:
    """Why not, without what is said once; else what is missing, not checked, or against it."""
    if way.why_not is not None:
        if way.why_not != shared:
            yield sentence(way.why_not)
        return
    yield from (sentence(item) for item in (*way.missing, *way.doubts))
    yield from (f"But {reason}." for reason in way.but)
    if way.lost:
        yield sentence(way.lost)
    yield from map(sentence, wanted_pieces(way.pieces))


def _truth_matters(way: Way) -> bool:
    return (way.job.runs_within if way.job.setups == 1 else way.job.tir) is not None


def state_of(way: Way) -> PageWord:
    if not way.can:
        return CANNOT
    if way.missing:
        return MISSING
    if way.is_forbidden:
        return TOO_FAR_OUT
    return UNCHECKED if way.doubts else ALL_HERE


def sentence(reason: object) -> str:
    """`It has no finished bore to be held by.`"""
    words = str(reason)
    return f"{words[:1].upper()}{words[1:]}."


@dataclass(frozen=True, kw_only=True)
class WayPage:
    form: str
    verdict: str
    steps: tuple[str, ...]
    numbers: tuple[SheetNumber, ...]
    against: PageWord
    """How the way stands to the TIR that was asked."""
    is_tir_open: bool
    """Whether the work is gripped again, and nobody knows how truly."""
    good_to_know: tuple[Reason, ...]
    picture: Sketch | None


def way_page_of(way: Way) -> WayPage:
    return WayPage(
        form=_form(way),
        verdict=WAY_VERDICTS[state_of(way)],
        steps=tuple(step.do for step in steps(way)),
        numbers=tuple(numbers(way)),
        against=AGAINST[way.runs_as_asked],
        is_tir_open=way.job.setups > 1 and way.tir is None,
        # How true it is between set-ups stands among the numbers.
        good_to_know=way.reasons,
        picture=drawing_of(holding_of(way)),
    )
