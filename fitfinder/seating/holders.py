"""Which holder on the tool post takes this shank or bar, for this operation, at center height."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

from fitfinder.holding.pieces import LatheOnHand
from fitfinder.questions import QuestionError, word_of
from fitfinder.seating.tools import Remark, Serving, ToolFit, ToolOnHand, best_first, length_asked
from inventory.measures.length_words import in_unit, span_of_sizes
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

KNURLING = "knurling"
OPERATIONS = ("turning", "facing", "boring", "threading", KNURLING, "grooving", "parting")
SHAPES = ("square", "round")
_ROUND_SHANKS = ("boring",)
"""Operations that are done with a round bar where no shape is told."""


class HolderQuestion(Struct, frozen=True, kw_only=True):
    """A shank or bar by its height or diameter; of a parting blade the height of the blade."""

    shank: Length
    shape: str = "square"
    operation: str = ""

    @classmethod
    def from_texts(cls, texts: Mapping[str, str]) -> HolderQuestion:
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
        return f"{in_unit(self.shank)} {self.shape} shank{f' for {self.operation}' if self.operation else ''}"


def which_holder(asked: HolderQuestion, lathe: LatheOnHand, tools: Iterable[ToolOnHand]) -> list[ToolFit]:
    """All holders, best first, those that do not serve last with the reason."""
    holders = [tool for tool in tools if tool.piece.kind == Kind.TOOL_POST_HOLDER]
    return best_first([_fit(asked, lathe, holder) for holder in holders], lathe)


def on_the_post_itself(asked: HolderQuestion, lathe: LatheOnHand, tools: Iterable[ToolOnHand]) -> list[ToolFit]:
    """Heads that sit on the post without a holder, where their work is asked for."""
    if asked.operation != KNURLING or lathe.post is None:
        return []
    heads = [tool for tool in tools if tool.piece.kind == Kind.KNURLING_HEAD and tool.shank_code == lathe.post.code]
    return best_first([ToolFit(tool=head, what="knurling head, without a holder") for head in heads], lathe)


def _fit(asked: HolderQuestion, lathe: LatheOnHand, holder: ToolOnHand) -> ToolFit:
    remarks = (
        *_by_post(lathe, holder),
        *_by_shank(asked, holder),
        *_by_operation(asked, holder),
        _by_height(lathe, holder),
    )
    return ToolFit(tool=holder, what=_what(holder), remarks=remarks)


def _what(holder: ToolOnHand) -> str:
    low, high = holder.capacity
    taken = f", {holder.shank_shape or 'shanks'} {span_of_sizes(low, high)}" if low and high else ""
    return f"holder{taken}"


def _by_post(lathe: LatheOnHand, holder: ToolOnHand) -> Iterator[Remark]:
    if lathe.post is None:
        yield Remark(Serving.LOOK_FIRST, f"the tool post of {lathe.name} is not filled in")
    elif holder.shank_code is None:
        yield Remark(Serving.LOOK_FIRST, f"which post {holder.piece.tag} mounts on is not filled in")
    elif holder.shank_code != lathe.post.code:
        yield Remark(Serving.DOES_NOT, f"it mounts on {holder.shank_code}, and {lathe.name} has {lathe.post.code}")
    elif holder.piece.mounted_on not in (None, lathe.id):
        yield Remark(Serving.INCOMPLETE, "it is on another lathe")


def _by_shank(asked: HolderQuestion, holder: ToolOnHand) -> Iterator[Remark]:
    low, high = holder.capacity
    if not holder.shank_shape:
        yield Remark(Serving.LOOK_FIRST, "whether it takes round or square shanks is not filled in", worse=1)
    elif holder.shank_shape != asked.shape:
        yield Remark(Serving.DOES_NOT, f"it takes {holder.shank_shape} shanks, not {asked.shape}")
    if low is None or high is None:
        yield Remark(Serving.LOOK_FIRST, "which shanks it takes is not filled in", worse=1)
    elif asked.shank > high:
        yield Remark(Serving.DOES_NOT, f"it takes shanks up to {in_unit(high)}")
    elif asked.shank < low:
        yield Remark(Serving.DOES_NOT, f"it takes shanks from {in_unit(low)} up")


def _by_operation(asked: HolderQuestion, holder: ToolOnHand) -> Iterator[Remark]:
    if not asked.operation:
        return
    if not holder.operations:
        yield Remark(Serving.LOOK_FIRST, f"nothing says that it is for {asked.operation}", worse=3)
    elif asked.operation not in holder.operations:
        sentence = f"it is set aside for {' and '.join(holder.operations)}, not {asked.operation}"
        yield Remark(Serving.LOOK_FIRST, sentence, worse=5)


def _by_height(lathe: LatheOnHand, holder: ToolOnHand) -> Remark:
    if lathe.id in holder.set_for:
        return Remark(Serving.SERVES, f"its center height is set for {lathe.name}")
    if holder.set_for:
        sentence = f"its center height is set for another lathe: set it anew on {lathe.name}"
        return Remark(Serving.SERVES, sentence, worse=2)
    return Remark(Serving.SERVES, "its center height is not set for any lathe: set it first", worse=2)
