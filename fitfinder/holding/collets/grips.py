"""One way to hold the stock with what is on hand, and what can be said of it."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from fitfinder.holding.chains import Chain
from fitfinder.holding.method import Method
from fitfinder.holding.pieces import Piece
from fitfinder.holding.rules import passage
from fitfinder.holding.runout import Runout
from fitfinder.holding.stock import Band
from fitfinder.holding.verdicts import Reach, Verdict
from inventory.measures.lengths import Length


class GripOfStock(Struct, frozen=True, kw_only=True, gc=False):
    """What all grips have: the pieces from spindle to work, the verdict, and how truly it runs.

    `margin` is signed, to the nearer limit. `meets_tir` is None where it is open. `bar` is the circle that has to go
    through, None where nothing is to.
    """

    method: Method
    piece: Piece
    """What the work is held with, or between centers the center in the tailstock."""
    chain: Chain
    reach: Reach | None
    """None of what is clamped to a face."""
    held: Band
    held_on: str
    """The shape of the stock."""
    verdict: Verdict
    margin: Length
    in_true_zone: bool = True
    runout: Runout
    meets_tir: bool | None
    bar: Length | None = None

    @property
    def passes_through(self) -> bool | None:
        """Whether the bar goes through every link, None where that is open; corners decide for hex and square."""
        return None if self.bar is None else passage.passes(self.bar, self.piece, self.chain)

    @property
    def name(self) -> str:
        """The way in a few words: `Universal chuck, 3 jaws`, `Between centers`."""
        jaws = f", {self.piece.jaws} jaws" if self.piece.jaws else ""
        return f"{self.method.capitalize()}{jaws}"

    @property
    def nominal(self) -> Length | None:
        """The size that is marked on what holds the work; None where none is."""
        return None

    @property
    def is_last_resort(self) -> bool:
        """Whether something speaks against it where another way would do."""
        return False

    @property
    def is_by_corners(self) -> bool:
        """Whether only the corners of the stock touch."""
        return False

    @property
    def is_mounted(self) -> bool:
        """Whether the piece is on the lathe of this way already."""
        return self.chain.lathe is not None and self.piece.mounted_on == self.chain.lathe.id

    @property
    def is_wanted(self) -> bool:
        """Whether somebody else's job wants it, or what leads to it, soon."""
        return self.piece.is_wanted or self.chain.is_wanted

    @property
    def where(self) -> str:
        """Where the piece is now, which is not always its drawer; empty where nobody wrote it down."""
        if self.chain.lathe is not None and self.piece.mounted_on == self.chain.lathe.id:
            return f"on {self.chain.lathe.name}"
        return "with you" if self.piece.is_with_asker else self.piece.location

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """From the spindle outward."""
        return (*self.chain.links, self.piece)

    @property
    def tags(self) -> tuple[str, ...]:
        return tuple(piece.tag for piece in self.pieces)


def worn_links(chain: Chain) -> list[str]:
    """A sentence for each worn piece on the way to the work."""
    return [f"{link.tag} on the way is worn" for link in chain.links if link.is_worn]


def wanted_pieces(pieces: Iterable[Piece]) -> list[str]:
    """A sentence for each job that is waiting for some of these, soon or later."""
    jobs: dict[str, list[str]] = {}
    for piece in pieces:
        if piece.reserved is not None:
            jobs.setdefault(piece.reserved.words, []).append(piece.tag)
    return [f"{' and '.join(tags)} {'are' if len(tags) > 1 else 'is'} {words}" for words, tags in jobs.items()]


def marked_speed(chain: Chain, piece: Piece) -> list[str]:
    """The lowest marked maximum of the chain, where one is known."""
    marked = [(link.max_rpm, link.tag) for link in (*chain.links, piece) if link.max_rpm is not None]
    return [f"{min(marked)[1]} is marked {min(marked)[0]} rpm at most"] if marked else []
