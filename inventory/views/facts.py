"""A piece in words: what it can do, and the state that it is in."""

from dataclasses import dataclass

from inventory import masses
from inventory.lengths import Length, shown
from inventory.models import Condition, Loan, Tool
from inventory.templatetags.gripbook import money


@dataclass(frozen=True)
class State:
    """One word of a piece's state; `look` is how the page marks it beside saying it."""

    word: str
    look: str = ""


def states(tool: Tool, loan: Loan | None) -> list[State]:
    """What there is to say beside that the piece is good and in its drawer."""
    found = []
    if tool.retired_at:
        found.append(State("retired", "out"))
    if tool.condition == Condition.WORN:
        found.append(State("worn", "worn"))
    elif tool.condition != Condition.GOOD:
        found.append(State(tool.condition, "out"))
    if tool.missing_since:
        found.append(State("missing", "out"))
    if loan:
        found.append(State(f"out to {loan.borrower}"))
    if tool.missing_details:
        found.append(State("details missing", "out"))
    return found


def why_not_issued(tool: Tool) -> str:
    """The sentence why a piece is not in service, empty where it is."""
    if tool.retired_at:
        return f"{tool} is retired and is not issued."
    if tool.missing_since:
        return f"{tool} is missing since {tool.missing_since:%Y-%m-%d}. If you hold it, tell the crib keeper."
    if not tool.is_in_service:
        return f"{tool} is {tool.condition} and is not issued."
    return ""


def facts(tool: Tool) -> list[tuple[str, str]]:
    """What is known of the piece, each with its words; what is not known is not listed."""
    size = tool.size
    rows = [
        ("Clamps", _reach(size.clamps_from, size.clamps_to) if size else None),
        ("Runs as marked", _reach(size.true_from, size.true_to) if size else None),
        ("Range", "marked on this piece" if size and size.is_marked else None),
        ("Thread for a stop", {True: "cut inside", False: "not cut", None: None}[tool.stop_thread]),
        ("Mounts on", tool.mounts_in and tool.mounts_in.told),
        ("Takes", tool.offers and tool.offers.told),
        ("Pilot hole", tool.pilot),
        ("Jaws", tool.jaws),
        ("Body", tool.body),
        ("Holds outside", _reach(tool.outside_smallest, tool.outside_largest)),
        ("Holds inside", _reach(tool.inside_smallest, tool.inside_largest)),
        (
            "Bar passes",
            "none, it is solid" if tool.is_solid else tool.through and f"up to {shown(tool.through)}",
        ),
        ("Marked maximum", tool.max_rpm and f"{tool.max_rpm} rpm"),
        ("Weight", tool.weight_ug and masses.shown(tool.weight_ug)),
        ("Point angle", tool.angle_deg and f"{tool.angle_deg}°"),
        ("Mounted on", tool.mounted_on),
        ("Paid", money(tool.cost_cents)),
    ]
    return [(words, str(value)) for words, value in rows if value not in (None, "")]


def _reach(smallest: Length | None, largest: Length | None) -> str | None:
    if smallest is None and largest is None:
        return None
    if smallest is None:
        return f"up to {shown(largest)}"
    if largest is None:
        return f"from {shown(smallest)}"
    return f"{shown(smallest)} to {shown(largest)}"
