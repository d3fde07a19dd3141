"""Which center for this work: live or dead, a bull nose for a bore, an extended point for room, and how fast."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from fitfinder.holding.cautions import COMMON, Caution
from fitfinder.holding.pieces import LatheOnHand
from fitfinder.plan.floor import Floor
from fitfinder.questions import speed_of
from fitfinder.seating.tailstock import CENTERS, seated
from fitfinder.seating.tools import OPEN, SERVES, Match, ToolOnHand, best_first, length_asked
from inventory.measures.lengths import Length, named
from inventory.reference.tapers import morse_tapers


class CenterAsked(Struct, frozen=True, kw_only=True):
    """`bore` is None for solid work; `clearance` how far the point has to reach out for the tool."""

    bore: Length | None = None
    clearance: Length | None = None
    rpm: int | None = None

    @classmethod
    def from_texts(cls, texts: Mapping[str, str]) -> CenterAsked:
        """Raises QuestionError where one cannot be read."""
        speed = texts.get("speed", "")
        return cls(
            bore=length_asked(texts, "bore"),
            clearance=length_asked(texts, "clearance"),
            rpm=speed_of(speed, field="speed") if speed else None,
        )

    @property
    def words(self) -> str:
        found = ["solid work" if self.bore is None else f"tube with a bore of {named(self.bore)} in"]
        found += [f"{named(self.clearance)} in of room for the tool"] if self.clearance is not None else []
        return ", ".join(found + ([f"{self.rpm} rpm"] if self.rpm is not None else []))


def which_center(asked: CenterAsked, lathe: LatheOnHand, tools: Iterable[ToolOnHand], floor: Floor) -> list[Match]:
    """All centers, best first, those that do not serve last with the reason."""
    return best_first(
        [_match(asked, lathe, tool, floor) for tool in tools if tool.piece.kind in CENTERS], lathe_id=lathe.id
    )


def lacking(asked: CenterAsked, lathe: LatheOnHand, matches: Iterable[Match]) -> str:
    """What the shop has not got for this work, whatever else may do; empty where it is here."""
    kind = "bull-nose center" if asked.bore is not None else "extended-point center" if asked.clearance else ""
    if not kind or any(match.piece.kind == kind and match.state in (SERVES, OPEN) for match in matches):
        return ""
    seat = f" for the {lathe.tailstock_taper.code} tailstock of {lathe.name}" if lathe.tailstock_taper else ""
    size = f"a bore of {named(asked.bore)} in" if asked.bore is not None else f"{named(asked.clearance)} in of room"
    return f"no {kind} for {size}{seat}"


def cautions(asked: CenterAsked, best: Match | None) -> tuple[Caution, ...]:
    """For the center that leads; silent where it turns by itself, within its marking."""
    if best is None:
        return ()
    found = []
    if best.piece.kind in ("dead center", "extended-point center") and not _turns(best.tool):
        found.append(
            Caution(
                f"{best.piece.tag} does not turn: lubricant in the hole, no more pressure than takes the play. Look "
                "again once the work is warm. Without it, it welds itself to the work.",
                COMMON,
            )
        )
    if best.piece.max_rpm is not None:
        found.append(Caution(f"{best.piece.tag} is marked {best.piece.max_rpm} rpm at most.", "marking on the piece"))
    return tuple(found)


def _turns(tool: ToolOnHand) -> bool:
    """A center with a marked maximum has bearings; a dead one needs no marking."""
    return tool.piece.kind in ("live center", "bull-nose center") or tool.piece.max_rpm is not None


def _match(asked: CenterAsked, lathe: LatheOnHand, tool: ToolOnHand, floor: Floor) -> Match:
    needs, why = seated(lathe, tool, floor)
    said = {name: list(why.get(name, ())) for name in ("against", "missing", "open")}
    notes = _tip(tool)
    preference = 0
    for judge in (_by_work, _by_room, _by_speed):
        found, worse = judge(asked, tool)
        preference += worse
        for name, sentence in found:
            (notes if name == "notes" else said[name]).append(sentence)
    return Match(
        tool=tool,
        what=tool.piece.kind + (f", {tool.tip}" if tool.tip else ""),
        needs=needs,
        notes=tuple(notes),
        preference=preference,
        **{name: tuple(sentences) for name, sentences in said.items()},
    )


def _tip(tool: ToolOnHand) -> list[str]:
    if tool.point_angle not in (None, 60):
        return [f"its point has {tool.point_angle} degrees: the center hole must have the same"]
    return []


def _by_work(asked: CenterAsked, tool: ToolOnHand) -> tuple[list[tuple[str, str]], int]:
    low, high = tool.piece.inside_smallest, tool.piece.inside_largest
    if tool.piece.kind != "bull-nose center":
        if asked.bore is None:
            return [], 0
        widest = _widest_point(tool)
        if widest is not None and asked.bore >= widest:
            return [("against", f"its point is {named(widest)} in at most, and the bore {named(asked.bore)} in")], 0
        return [("open", f"its point may not fill a bore of {named(asked.bore)} in: a bull nose is for that")], 20
    if asked.bore is None:
        return [("against", "a bull nose is for a bore, and the work is solid")], 0
    if low is None or high is None:
        return [("open", f"which bores {tool.piece.tag} enters is not filled in")], 10
    if not low <= asked.bore <= high:
        return [("against", f"it enters bores from {named(low)} to {named(high)} in, not {named(asked.bore)} in")], 0
    return [("notes", f"it enters bores from {named(low)} to {named(high)} in")], 0


def _widest_point(tool: ToolOnHand) -> Length | None:
    """The point of a dead center is no wider than the large end of its shank; a live one has a head of its own."""
    if tool.piece.kind != "dead center":
        return None
    return next((taper.large_end for taper in morse_tapers() if taper.code == tool.shank_code), None)


def _by_room(asked: CenterAsked, tool: ToolOnHand) -> tuple[list[tuple[str, str]], int]:
    """An extended point bends more: it comes last where no room is asked for."""
    is_extended = tool.piece.kind == "extended-point center"
    if asked.clearance is None:
        return (
            ([("notes", "its long point bends more than a short one: only where the tool needs room")], 5)
            if (is_extended)
            else ([], 0)
        )
    wanted = named(asked.clearance)
    if tool.extension is not None:
        reach = named(tool.extension)
        if tool.extension < asked.clearance:
            return [("against", f"its point reaches out {reach} in, and {wanted} in is asked for")], 0
        return [("notes", f"its point reaches out {reach} in")], 0
    if is_extended:
        return [("open", f"how far its point reaches out is not filled in; {wanted} in is asked for")], 0
    return [("open", f"nothing says that its point reaches out {wanted} in: measure it, or take an extended point")], 10


def _by_speed(asked: CenterAsked, tool: ToolOnHand) -> tuple[list[tuple[str, str]], int]:
    most = tool.piece.max_rpm
    if not _turns(tool):
        if asked.rpm is None:
            return [("notes", "it does not turn: true, for slow work, with lubricant")], 2
        return [("open", f"it does not turn: at {asked.rpm} rpm it needs lubricant all the time, or a live center")], 3
    if asked.rpm is None:
        return ([("notes", f"marked {most} rpm at most")] if most is not None else []), 0
    if most is None:
        return [("open", f"no maximum speed is filled in: look for its marking before you run {asked.rpm} rpm")], 0
    if most < asked.rpm:
        return [("against", f"it is marked {most} rpm at most, and {asked.rpm} rpm is asked for")], 0
    return [("notes", f"marked {most} rpm at most")], 0
