"""What is cut on a setup sheet, as plain objects: one operation, and the set-up that it is done in."""

from __future__ import annotations

from msgspec import Struct

from inventory.measures.lengths import Length
from inventory.reference.cutting import Does

INSIDE = frozenset({Does.BORING, Does.THREADING_INSIDE, Does.GROOVING_INSIDE})
"""Done with a bar that has to get into a hole first."""
IN_TAILSTOCK = frozenset({Does.CENTER_DRILLING, Does.DRILLING, Does.REAMING, Does.COUNTERBORING, Does.TAPPING})
BY_ITS_OWN_SIZE = frozenset({Does.DRILLING, Does.REAMING, Does.COUNTERBORING})
"""Where the size of the tool is what it cuts."""
THREADS = frozenset({Does.THREADING_OUTSIDE, Does.THREADING_INSIDE, Does.TAPPING})


class SpeedMark(Struct, frozen=True):
    """A speed that nothing of the set-up may turn faster than, and why: 1800, `marked on K-0082`."""

    rpm: int
    why: str


class CutSetup(Struct, frozen=True, kw_only=True):
    """What the cautions of an operation ask of the set-up it is done in."""

    marks: tuple[SpeedMark, ...] = ()
    is_hollow: bool = False
    """Whether the part is bored through before it is parted off."""
    is_unbalanced: bool = False
    centers: str = ""
    """Where the ends of the work are not free: `between centers`, `on a mandrel`."""

    @property
    def holds_the_end(self) -> str:
        return "the mandrel" if "mandrel" in self.centers else "the center"

    @property
    def lowest(self) -> SpeedMark | None:
        return min(self.marks, key=lambda mark: mark.rpm, default=None)


class Cut(Struct, frozen=True, kw_only=True):
    """One operation. None and empty are not told."""

    does: Does
    tool: str = ""
    """Its tag, or what it is called."""
    bar: Length | None = None
    """How thick the bar or shank is that goes into the hole."""
    has_taper_shank: bool = False
    stick_out: Length | None = None
    diameter: Length | None = None
    hole: Length | None = None
    rpm: int | None = None
    table_rpm: int | None = None
    """What the table of surface speeds gives for it, and `table_words` by what."""
    table_words: str = ""
    is_carbide: bool = False
    pitch: Length | None = None
    pattern: str = ""
    is_formed: bool = False
    caught_by: str = ""
