"""Which holder on the tool post takes this shank or bar, for this operation, at center height."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand
from fitfinder.questions import QuestionError, word_of
from fitfinder.seating.tools import Match, ToolOnHand, best_first, length_asked
from inventory.measures.lengths import Length, named

OPERATIONS = ("turning", "facing", "boring", "threading", "knurling", "grooving", "parting")
SHAPES = ("square", "round")
_ROUND_SHANKS = ("boring",)
"""Operations that are done with a round bar where no shape is told."""


class HolderAsked(Struct, frozen=True, kw_only=True):
    """A shank or bar by its height or diameter; of a parting blade the height of the blade."""

    shank: Length
    shape: str = "square"
    operation: str = ""

    @classmethod
    def from_texts(cls, texts: Mapping[str, str]) -> HolderAsked:
        """Raises QuestionError where one cannot be read."""
        shank = length_asked(texts, "shank")
        if shank is None:
            raise QuestionError(
                "No shank was given. Write its height or diameter, like 1/2 or 12 mm.", field="shank", read=""
            )
        operation, shape = texts.get("operation", ""), texts.get("shape", "")
        operation = operation and word_of(operation, field="operation", words=OPERATIONS)
        shape = shape and word_of(shape, field="shape", words=SHAPES)
        shape = shape or ("round" if operation in _ROUND_SHANKS else "square")
        return cls(shank=shank, shape=shape, operation=operation)

    @property
    def words(self) -> str:
        return f"{named(self.shank)} in {self.shape} shank{f' for {self.operation}' if self.operation else ''}"


def which_holder(asked: HolderAsked, lathe: LatheOnHand, tools: Iterable[ToolOnHand]) -> list[Match]:
    """All holders, best first, those that do not serve last with the reason."""
    holders = [tool for tool in tools if tool.piece.kind == "tool-post holder"]
    return best_first([_match(asked, lathe, tool) for tool in holders], lathe_id=lathe.id)


def on_the_post_itself(asked: HolderAsked, lathe: LatheOnHand, tools: Iterable[ToolOnHand]) -> list[Match]:
    """Heads that sit on the post without a holder, where their work is asked for."""
    if asked.operation != "knurling" or lathe.post is None:
        return []
    heads = [tool for tool in tools if tool.piece.kind == "knurling head" and tool.shank_code == lathe.post.code]
    return best_first([Match(tool=head, what="knurling head, without a holder") for head in heads])


def _match(asked: HolderAsked, lathe: LatheOnHand, tool: ToolOnHand) -> Match:
    said: dict[str, list[str]] = {"against": [], "missing": [], "open": [], "notes": []}
    preference = 0
    for judge in (_by_post, _by_shank, _by_operation, _by_height):
        for name, sentence, worse in judge(asked, lathe, tool):
            said[name].append(sentence)
            preference += worse
    return Match(
        tool=tool,
        what=_what(tool),
        preference=preference,
        **{name: tuple(sentences) for name, sentences in said.items()},
    )


def _what(tool: ToolOnHand) -> str:
    low, high = tool.capacity
    taken = f", {tool.shank_shape or 'shanks'} {named(low)} to {named(high)} in" if low and high else ""
    return f"holder{taken}"


def _by_post(asked: HolderAsked, lathe: LatheOnHand, tool: ToolOnHand):
    if lathe.post is None:
        yield "open", f"the tool post of {lathe.name} is not filled in", 0
    elif tool.shank_code is None:
        yield "open", f"which post {tool.piece.tag} mounts on is not filled in", 0
    elif tool.shank_code != lathe.post.code:
        yield "against", f"it mounts on {tool.shank_code}, and {lathe.name} has {lathe.post.code}", 0
    elif tool.piece.mounted_on not in (None, lathe.id):
        yield "missing", "it is on another lathe", 0


def _by_shank(asked: HolderAsked, lathe: LatheOnHand, tool: ToolOnHand):
    low, high = tool.capacity
    if tool.shank_shape and tool.shank_shape != asked.shape:
        yield "against", f"it takes {tool.shank_shape} shanks, not {asked.shape}", 0
    elif not tool.shank_shape:
        yield "open", "whether it takes round or square shanks is not filled in", 1
    if low is None or high is None:
        yield "open", "which shanks it takes is not filled in", 1
    elif asked.shank > high:
        yield "against", f"it takes shanks up to {named(high)} in", 0
    elif asked.shank < low:
        yield "against", f"it takes shanks from {named(low)} in up", 0


def _by_operation(asked: HolderAsked, lathe: LatheOnHand, tool: ToolOnHand):
    if not asked.operation:
        return
    if not tool.operations:
        yield "open", f"nothing says that it is for {asked.operation}", 3
    elif asked.operation not in tool.operations:
        yield "open", f"it is kept for {' and '.join(tool.operations)}, not {asked.operation}", 5


def _by_height(asked: HolderAsked, lathe: LatheOnHand, tool: ToolOnHand):
    if lathe.id in tool.set_for:
        yield "notes", f"its center height is set for {lathe.name}", 0
    elif tool.set_for:
        yield "notes", f"its center height is set for another lathe: set it anew on {lathe.name}", 2
    else:
        yield "notes", "its center height is not set for any lathe: set it first", 2
