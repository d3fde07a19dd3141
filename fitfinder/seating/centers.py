"""Which center for this work: live or dead, a bull nose for a bore, an extended point for room, and how fast."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand
from fitfinder.holding.rules.cautions import COMMON, Caution
from fitfinder.holding.seats import LatheRig
from fitfinder.questions import speed_of
from fitfinder.seating.tailstock import CENTERS, seated
from fitfinder.seating.tools import Remark, Serving, ToolFit, ToolOnHand, best_first, length_asked
from inventory.measures.length_words import in_unit, span_of_sizes
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind
from inventory.reference.tapers import morse_tapers


class CenterQuestion(Struct, frozen=True, kw_only=True):
    """`bore` is None for solid work; `clearance` how far the point has to reach out for the tool."""

    bore: Length | None = None
    clearance: Length | None = None
    rpm: int | None = None

    @classmethod
    def from_texts(cls, texts: Mapping[str, str]) -> CenterQuestion:
        """Raises QuestionError where one cannot be read."""
        speed = texts.get("speed", "")
        return cls(
            bore=length_asked(texts, "bore"),
            clearance=length_asked(texts, "clearance"),
            rpm=speed_of(speed, field="speed") if speed else None,
        )

    @property
    def words(self) -> str:
        words = ["solid work" if self.bore is None else f"tube with a bore of {in_unit(self.bore)}"]
        if self.clearance is not None:
            words.append(f"{in_unit(self.clearance)} of room for the tool")
        if self.rpm is not None:
            words.append(f"{self.rpm} rpm")
        return ", ".join(words)


def which_center(
    asked: CenterQuestion, lathe: LatheOnHand, tools: Iterable[ToolOnHand], rig: LatheRig
) -> list[ToolFit]:
    """All centers, best first, those that do not serve last with the reason."""
    return best_first([_fit(asked, lathe, tool, rig) for tool in tools if tool.piece.kind in CENTERS], lathe)


def lacking(asked: CenterQuestion, lathe: LatheOnHand, fits: Iterable[ToolFit]) -> str:
    """What the shop has not got for this work, whatever else may do; empty where it is here."""
    if asked.bore is not None:
        kind, need = Kind.BULL_NOSE_CENTER, f"a bore of {in_unit(asked.bore)}"
    elif asked.clearance is not None:
        kind, need = Kind.EXTENDED_POINT_CENTER, f"{in_unit(asked.clearance)} of room"
    else:
        return ""
    if any(fit.piece.kind == kind and fit.serving in (Serving.SERVES, Serving.LOOK_FIRST) for fit in fits):
        return ""
    seat = f" for the {lathe.tailstock_taper.code} tailstock of {lathe.name}" if lathe.tailstock_taper else ""
    return f"no {kind} for {need}{seat}"


def cautions(best: ToolFit | None) -> tuple[Caution, ...]:
    """For the center that leads; silent where it turns by itself, within its marking."""
    if best is None:
        return ()
    about_center = []
    if not _turns(best.tool):
        about_center.append(
            Caution(
                f"{best.piece.tag} does not turn: lubricant in the hole, no more pressure than takes the play. Look "
                "again once the work is warm. Without it, it welds itself to the work.",
                COMMON,
            )
        )
    if best.piece.max_rpm is not None:
        about_center.append(
            Caution(f"{best.piece.tag} is marked {best.piece.max_rpm} rpm at most.", "marking on the piece")
        )
    return tuple(about_center)


def _turns(tool: ToolOnHand) -> bool:
    """A center with a marked maximum has bearings; a dead one needs no marking."""
    return tool.piece.kind in (Kind.LIVE_CENTER, Kind.BULL_NOSE_CENTER) or tool.piece.max_rpm is not None


def _fit(asked: CenterQuestion, lathe: LatheOnHand, tool: ToolOnHand, rig: LatheRig) -> ToolFit:
    seat = seated(lathe, tool, rig)
    remarks = (
        *seat.remarks,
        *_by_point(tool),
        *_by_work(asked, tool),
        *_by_room(asked, tool),
        *_by_speed(asked, tool),
    )
    tip = f", {tool.tip}" if tool.tip else ""
    return ToolFit(tool=tool, what=f"{tool.piece.kind}{tip}", sleeves=seat.sleeves, remarks=remarks)


def _by_point(tool: ToolOnHand) -> Iterator[Remark]:
    if tool.point_angle not in (None, 60):
        sentence = f"its point has {tool.point_angle} degrees: the center hole must have the same"
        yield Remark(Serving.SERVES, sentence)


def _by_work(asked: CenterQuestion, tool: ToolOnHand) -> Iterator[Remark]:
    if tool.piece.kind == Kind.BULL_NOSE_CENTER:
        yield _bull_nose(asked.bore, tool)
    elif asked.bore is not None:
        yield _point_in_a_bore(asked.bore, tool)


def _bull_nose(bore: Length | None, tool: ToolOnHand) -> Remark:
    enters = tool.piece.inside
    if bore is None:
        return Remark(Serving.DOES_NOT, "a bull nose is for a bore, and the work is solid")
    if enters is None:
        return Remark(Serving.LOOK_FIRST, f"which bores {tool.piece.tag} enters is not filled in", worse=10)
    reach = f"it enters bores from {span_of_sizes(enters.smallest, enters.largest)}"
    if not enters.smallest <= bore <= enters.largest:
        return Remark(Serving.DOES_NOT, f"{reach}, not {in_unit(bore)}")
    return Remark(Serving.SERVES, reach)


def _point_in_a_bore(bore: Length, tool: ToolOnHand) -> Remark:
    widest = _widest_point(tool)
    if widest is not None and bore >= widest:
        return Remark(Serving.DOES_NOT, f"its point is {in_unit(widest)} at most, and the bore {in_unit(bore)}")
    sentence = f"its point may not fill a bore of {in_unit(bore)}: a bull nose is for that"
    return Remark(Serving.LOOK_FIRST, sentence, worse=20)


def _widest_point(tool: ToolOnHand) -> Length | None:
    """The point of a dead center is no wider than the large end of its shank; a live one has a head of its own."""
    if tool.piece.kind != Kind.DEAD_CENTER:
        return None
    return next((taper.large_end for taper in morse_tapers() if taper.code == tool.shank_code), None)


def _by_room(asked: CenterQuestion, tool: ToolOnHand) -> Iterator[Remark]:
    is_extended = tool.piece.kind == Kind.EXTENDED_POINT_CENTER
    if asked.clearance is not None:
        yield _reach_out(asked.clearance, tool, is_extended=is_extended)
    elif is_extended:
        sentence = "its long point bends more than a short one: only where the tool needs room"
        yield Remark(Serving.SERVES, sentence, worse=5)


def _reach_out(wanted: Length, tool: ToolOnHand, *, is_extended: bool) -> Remark:
    if tool.extension is not None:
        reach = f"its point reaches out {in_unit(tool.extension)}"
        if tool.extension < wanted:
            return Remark(Serving.DOES_NOT, f"{reach}, and {in_unit(wanted)} is asked for")
        return Remark(Serving.SERVES, reach)
    if is_extended:
        sentence = f"how far its point reaches out is not filled in; {in_unit(wanted)} is asked for"
        return Remark(Serving.LOOK_FIRST, sentence)
    sentence = f"nothing says that its point reaches out {in_unit(wanted)}: measure it, or take an extended point"
    return Remark(Serving.LOOK_FIRST, sentence, worse=10)


def _by_speed(asked: CenterQuestion, tool: ToolOnHand) -> Iterator[Remark]:
    most, rpm = tool.piece.max_rpm, asked.rpm
    if not _turns(tool):
        yield _not_turning(rpm)
    elif most is None:
        if rpm is not None:
            sentence = f"no maximum speed is filled in: look for its marking before you run {rpm} rpm"
            yield Remark(Serving.LOOK_FIRST, sentence)
    elif rpm is not None and most < rpm:
        yield Remark(Serving.DOES_NOT, f"it is marked {most} rpm at most, and {rpm} rpm is asked for")
    else:
        yield Remark(Serving.SERVES, f"marked {most} rpm at most", is_caution=True)


def _not_turning(rpm: int | None) -> Remark:
    if rpm is None:
        return Remark(Serving.SERVES, "it does not turn: true, for slow work, with lubricant", worse=2)
    sentence = f"it does not turn: at {rpm} rpm it needs lubricant all the time, or a live center"
    return Remark(Serving.LOOK_FIRST, sentence, worse=3)
