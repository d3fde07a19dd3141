"""A piece in words: what it can do, and the state that it is in."""

from datetime import date

from msgspec import Struct

from inventory.measures import masses
from inventory.measures.day_words import shown as day_shown
from inventory.measures.display import now
from inventory.measures.length_words import figures, nominal, shown
from inventory.measures.lengths import Length
from inventory.models import Condition, Kind, Lathe, Loan, Size, Tool
from inventory.models.kinds import CHUCKS
from inventory.pieces.fields import PIECE_FIELDS, PieceField
from inventory.web.filters import money


class StateWord(Struct, frozen=True):
    """One word of a piece's state; `mark` is how the page shows it beside saying it."""

    word: str
    mark: str = ""


def size_of(tool: Tool) -> Length | None:
    """The size that a piece is called by: of a collet its bore, of a cutter what it cuts, of a tool its shank."""
    if tool.size is not None:
        return tool.size.nominal
    return tool.cuts or tool.shank or (tool.body if tool.kind in CHUCKS else None)


def size_and_rest(tool: Tool) -> tuple[str, str]:
    """What a piece is called, its size or seat first: `3/4` and `round 5C collet`, `MT3` and `dead center`."""
    if tool.size is not None:
        return nominal(tool.size.nominal), f"{tool.size.shape} {tool.size.series} {tool.kind}"
    if size := size_of(tool):
        return nominal(size), tool.kind
    if seat := tool.offers or tool.mounts_in:
        return seat.code, tool.what.removeprefix(f"{seat.code} ")
    return "", tool.what


def states(tool: Tool, loan: Loan | None, today: date | None = None) -> list[StateWord]:
    """What there is to say beside that the piece is good and in its drawer; with `today` whether it is late."""
    words = []
    if tool.retired_at:
        words.append(StateWord("retired", "out"))
    if tool.condition == Condition.WORN:
        words.append(StateWord("worn", "worn"))
    elif tool.condition != Condition.GOOD:
        words.append(StateWord(tool.condition, "out"))
    if tool.missing_since:
        words.append(StateWord("missing", "out"))
    if loan:
        back = f", due {day_shown(loan.due_on)}" if loan.due_on else ""
        words.append(StateWord(f"out to {loan.borrower}{back}", "out" if today and _is_late(loan, today) else ""))
    if tool.missing_details:
        words.append(StateWord("details to fill in", "out"))
    return words


def _is_late(loan: Loan, today: date) -> bool:
    return loan.due_on is not None and loan.due_on < today


def _value_in_words(field: PieceField, tool: Tool) -> str:
    """A stop fits what a key would tighten."""
    return "Fits" if field.name == "fits" and tool.kind == Kind.STOP else field.page


def facts(tool: Tool) -> list[tuple[str, str]]:
    """What is known of the piece, each with its words; what is not known is not listed."""
    size = tool.size if tool.kind == Kind.COLLET else None
    outside, inside = _HELD.get(tool.kind, ("Holds outside", "Holds inside"))
    rows = [
        ("Cuts", tool.cuts),
        ("Turned by", tool.driven_by),
        ("Clamps", _clamps(size) if size else None),
        ("Runs as marked", _reach(size.true_from, size.true_to) if size else None),
        ("Range", "marked on this piece" if size and size.is_marked else None),
        ("Thread for a stop", _one_of(tool.stop_thread, "cut inside", "not cut")),
        ("Bored to", tool.bored_to and f"{shown(tool.bored_to)}, and holds that size only"),
        ("Mounts on", tool.mounts_in and tool.mounts_in.in_words),
        ("Height of blade" if tool.kind == Kind.PARTING_BLADE else "Straight shank", tool.shank),
        ("Shape of shank", tool.shank_shape),
        ("Tang slot" if tool.kind == Kind.SLEEVE else "Tang", _one_of(tool.has_tang, "yes", "none")),
        ("Takes", tool.offers and tool.offers.in_words),
        ("Pilot" if tool.cuts else "Pilot hole", tool.pilot),
        ("Jaws", tool.jaws),
        ("Swings" if tool.kind == Kind.LATHE_DOG else "Body", tool.body),
        (outside, _reach(tool.outside_smallest, tool.outside_largest)),
        (inside, _reach(tool.inside_smallest, tool.inside_largest)),
        ("Set up for", tool.operations),
        ("Height set for", ", ".join(lathe.name for lathe in tool.lathes_set_for())),
        ("Tightened by", _keys(tool)),
        ("Bar passes", "none, it is solid" if tool.is_solid else tool.through and f"up to {shown(tool.through)}"),
        ("Marked maximum", tool.max_rpm and f"{tool.max_rpm} rpm"),
        ("Weight", tool.weight_ug and masses.shown(tool.weight_ug)),
        ("Rated load", tool.load_ug and masses.shown(tool.load_ug)),
        ("Point angle", tool.angle_deg and f"{tool.angle_deg}°"),
        *((_value_in_words(field, tool), getattr(tool, field.column)) for field in PIECE_FIELDS if field.page),
        ("Now", _mounted_in_words(tool)),
        ("Paid", money(tool.cost_cents)),
    ]
    return [(words, _in_words(value)) for words, value in rows if value not in (None, "")]


def _one_of(value: bool | None, yes: str, no: str) -> str:
    return "" if value is None else yes if value else no


_HELD: dict[str, tuple[str, str]] = {
    Kind.STEP_COLLET: ("Holds across the step", "Holds inside"),
    Kind.DRILL_CHUCK: ("Holds drills", "Holds inside"),
    Kind.TOOL_POST_HOLDER: ("Takes shanks or bars", "Holds inside"),
    Kind.LATHE_DOG: ("Drives work", "Holds inside"),
    Kind.STEADY_REST: ("Supports work", "Holds inside"),
    Kind.FOLLOW_REST: ("Supports work", "Holds inside"),
    Kind.BULL_NOSE_CENTER: ("Holds outside", "Enters holes"),
    Kind.MANDREL: ("Holds outside", "Fits bores"),
    Kind.EXPANDING_ARBOR: ("Holds outside", "Grips bores"),
}
"""How a kind says what it holds outside and inside, where it says it in words of its own."""
_TIGHTENED = (*CHUCKS, Kind.COLLET_CHUCK, Kind.CLOSER, Kind.DRILL_CHUCK)


def _mounted_in_words(tool: Tool) -> str:
    if tool.mounted_on is None:
        return ""
    where = f"in {tool.mounted_in}" if tool.mounted_in else tool.get_mounted_at_display()
    return f"{where}, {tool.mounted_on}" if where else f"on {tool.mounted_on}"


def _in_words(value: Length | Lathe | str | int) -> str:
    return shown(value) if isinstance(value, Length) else str(value)


def _keys(tool: Tool) -> str:
    """The keys and wrenches that are said to fit this piece or its seats, with where they lie."""
    if tool.kind not in _TIGHTENED:
        return ""
    own_names = {tool.tag, *(seat.code for seat in (tool.mounts_in, tool.offers) if seat)}
    keys = Tool.objects.in_book().filter(kind=Kind.KEY).exclude(fits="").select_related("location")
    ours = [key for key in keys if own_names & set(key.fits.split(", "))]
    return "; ".join(f"{key}{f' in {key.location.called}' if key.location else ''}" for key in ours)


def _clamps(size: Size) -> str:
    """The range, of an ER collet in a metric shop as it stands on one: `20–19 mm`."""
    if now().is_metric and size.series.is_er and size.nominal == size.clamps_to and size.nominal.is_metric:
        return f"{figures(size.clamps_to)}–{figures(size.clamps_from)} mm"
    return _reach(size.clamps_from, size.clamps_to)


def _reach(smallest: Length | None, largest: Length | None) -> str:
    if smallest is None:
        return "" if largest is None else f"up to {shown(largest)}"
    if largest is None:
        return f"from {shown(smallest)}"
    if smallest == largest:
        return f"{shown(smallest)} and no other size"
    return f"{shown(smallest)} to {shown(largest)}"
