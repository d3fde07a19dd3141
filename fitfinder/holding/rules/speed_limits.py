"""A speed that a way must not go above, and why."""

from __future__ import annotations

from enum import Enum, auto

from msgspec import Struct

from fitfinder.holding.pieces import Piece


class SpeedCause(Enum):
    MARKED = auto()
    HALVED = auto()
    """Half of the mark: jaws beyond the body, long, heavy or lopsided work."""
    UNMARKED = auto()
    UNBALANCED = auto()
    BEHIND = auto()
    """Bar that whirls behind the spindle."""
    WHIRLS = auto()
    DEAD_CENTER = auto()
    DOG = auto()
    """A dog swings its tail and its screw, whatever drives it."""
    LATHE = auto()
    """It turns no faster, whatever the pieces would bear."""


class SpeedLimit(Struct, frozen=True, kw_only=True, gc=False):
    """In turns in a minute; `piece` is the one that sets it, where one does, and `words` say why."""

    rpm: int
    cause: SpeedCause
    words: str = ""
    piece: Piece | None = None

    @property
    def why(self) -> str:
        """`marked on K-1`."""
        tag = self.piece.tag if self.piece is not None else "it"
        return {
            SpeedCause.MARKED: f"marked on {tag}",
            SpeedCause.HALVED: f"half of the mark of {tag}, as {self.words}",
            SpeedCause.UNMARKED: f"as {tag} is not marked: {self.words}",
            SpeedCause.UNBALANCED: "until it is balanced",
            SpeedCause.BEHIND: "as the bar whips behind the spindle",
            SpeedCause.WHIRLS: "as it whirls, so slender",
            SpeedCause.DEAD_CENTER: f"as {tag} does not turn: {self.words}",
            SpeedCause.DOG: f"as {tag} swings its tail",
            SpeedCause.LATHE: self.words,
        }[self.cause]
