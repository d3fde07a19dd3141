"""The plain objects that the core takes: pieces, sizes and lathes as they are on hand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from functools import cached_property

from msgspec import Struct
from msgspec.structs import asdict

from fitfinder.holding.stock import StockShape
from fitfinder.holding.verdicts import Reach
from inventory.measures.length_words import nominal
from inventory.measures.lengths import Length
from inventory.reference.kinds import Kind

LINK_KINDS = frozenset({Kind.CLOSER, Kind.COLLET_CHUCK, Kind.SLEEVE, Kind.BACKPLATE})
IN_THE_SPINDLE = frozenset({Kind.COLLET_CHUCK, Kind.SLEEVE, Kind.EXPANDING_ARBOR})
"""What may go into the headstock taper, and leaves no room for a chuck on the nose."""
CHUCK_KINDS = frozenset({Kind.UNIVERSAL_CHUCK, Kind.INDEPENDENT_CHUCK})
COLLET_KINDS = frozenset({Kind.COLLET, Kind.MACHINABLE_COLLET, Kind.STEP_COLLET})
CENTER_KINDS = frozenset({Kind.LIVE_CENTER, Kind.DEAD_CENTER, Kind.EXTENDED_POINT_CENTER})
"""What carries work in a center hole."""
REST_KINDS = frozenset({Kind.STEADY_REST, Kind.FOLLOW_REST})


class SeatOnHand(Struct, frozen=True, gc=False):
    """A standard place to mount in. A Morse shank that is to hold work needs a drawbar."""

    code: str
    needs_drawbar: bool = False
    is_thread: bool = False


class SizeOnHand(Struct, frozen=True, kw_only=True, gc=False):
    """One size of a series with the range it may grip."""

    id: int
    series: str
    seat: str
    shape: StockShape
    nominal: Length
    reach: Reach
    passes: Length | None = None
    passes_with_stop_thread: Length | None = None
    typical_tir: Length | None = None
    closing: str = ""
    """How a collet of the shop's own is closed: `outside`, `inside` or `nut`; of the others the tables say it."""
    length: Length | None = None
    """Over all, of a series of the shop's own."""

    @property
    def is_drawn(self) -> bool:
        """Whether a drawbar closes it where it sits."""
        return self.closing == "inside"

    @property
    def name(self) -> str:
        """The size in words: `3/4 round 5C`."""
        return f"{nominal(self.nominal)} {self.shape} {self.series}"

    def is_marked(self, series: str, size: Length) -> bool:
        """Whether this is that size of that series."""
        return self.series == series and self.nominal == size


class ReservedFor(Struct, frozen=True, gc=False):
    """The job that a piece is kept for, by whom, and from when on, as a moment and as it is said now."""

    job: str
    by: str
    begins: datetime
    when: str
    pushes_back: bool
    """Whether it is somebody else's, and so soon that the piece comes behind those that are free."""

    @property
    def words(self) -> str:
        """`reserved for Idler shaft, tomorrow 7:00`."""
        return f"reserved for {self.job}, {self.when}"


class Piece(Struct, frozen=True, kw_only=True, gc=False):
    """One physical piece. `why_not` says why it cannot be used now; `lacks` names its missing details."""

    id: int
    tag: str
    kind: Kind
    condition: str = "good"
    location: str = ""
    mounts_in: SeatOnHand | None = None
    offers: str | None = None
    through: Length | None = None
    is_solid: bool = False
    pilot: Length | None = None
    jaws: int | None = None
    outside_smallest: Length | None = None
    outside_largest: Length | None = None
    inside_smallest: Length | None = None
    inside_largest: Length | None = None
    max_rpm: int | None = None
    weight_ug: int | None = None
    tir: Length | None = None
    tir_in_holder: int | None = None
    tir_on_lathe: int | None = None
    mounted_on: int | None = None
    why_not: str = ""
    lacks: tuple[str, ...] = ()
    is_with_asker: bool = False
    is_lent: bool = False
    """Whether it cannot be used only because somebody else has it."""
    lent_to: str = ""
    """Who else has it, by name; empty where nobody has."""
    lent_since: date | None = None
    due_back: date | None = None
    reserved: ReservedFor | None = None
    """The first job that it is kept for."""
    is_lost: bool = False
    """Missing, or lost as its note says."""
    belongs_to: int | None = None
    """The lathe that a rest is made for."""
    tightens: str = ""
    """What a key is for: tags of pieces and codes of seats, with commas."""
    step_depth: Length | None = None
    """How deep the step of a step collet is."""
    body: Length | None = None
    """Across the body of a chuck, or a faceplate; of a lathe dog the circle that it swings."""
    jaw_length: Length | None = None
    """How much of the work the jaws in it touch, along the axis."""
    tail: str = ""
    """Of a lathe dog: `bent` or `straight`; empty is not known."""
    slots: int | None = None
    """Of a faceplate: how many there are for the tail of a dog."""
    shank: Length | None = None
    """Of a dead center that a chuck grips by it: its point is soft, and cut anew there."""
    load_ug: int | None = None
    """What a live center is rated for at its point."""

    def __hash__(self) -> int:
        return self.id  # of one piece: to take in all that is known of it would cost more than what is looked up

    @property
    def series(self) -> str | None:
        """The code of its series, where it is a collet."""
        return self.mounts_in.code if self.kind in COLLET_KINDS and self.mounts_in is not None else None

    def hole_for(self, needs: Length) -> Length | None:
        """The hole that decides whether a bar that needs so much passes this piece; None where that is open."""
        return self.through

    @property
    def fits(self) -> frozenset[str]:
        """What a key tightens, one by one and in capitals."""
        return frozenset(part.strip().upper() for part in self.tightens.split(",")) - {""}

    @property
    def outside(self) -> Reach | None:
        """What it holds from outside, or takes; None where an end is not filled in."""
        return _reach(self.outside_smallest, self.outside_largest)

    @property
    def inside(self) -> Reach | None:
        """The bores that it holds from within; None where an end is not filled in."""
        return _reach(self.inside_smallest, self.inside_largest)

    def mounts_on(self, seat: SeatOnHand | None) -> bool:
        """Whether it is made for this seat; what is not known mounts on none."""
        return seat is not None and self.mounts_in is not None and self.mounts_in.code == seat.code

    def is_free_for(self, lathe: LatheOnHand) -> bool:
        """Whether it is on this lathe or on none."""
        return self.mounted_on is None or self.mounted_on == lathe.id

    @property
    def is_good(self) -> bool:
        return self.condition == "good"

    @property
    def is_worn(self) -> bool:
        """Worn, but fit for use."""
        return self.condition == "worn"

    @property
    def is_wanted(self) -> bool:
        """Whether somebody else's job wants it soon."""
        return self.reserved is not None and self.reserved.pushes_back

    @property
    def is_usable(self) -> bool:
        return not self.why_not

    @property
    def is_plain(self) -> bool:
        """Whether it lies in its drawer and was read by itself: then the best way to its seat is its best way."""
        return self.mounted_on is None and self.tir_in_holder is None and self.tir_on_lathe is None


class ColletOnHand(Piece, frozen=True, kw_only=True, gc=False):
    """A collet, or a machinable collet that is bored: its size is known."""

    size: SizeOnHand
    tir_limit: Length | None = None
    """Above this it is worn, whatever it is called; None where no limit is on file."""
    stop_thread: bool | None = None
    """Whether a thread for a stop is cut in it, which narrows it; None where nobody looked."""

    @property
    def series(self) -> str | None:
        return self.size.series

    def hole_for(self, needs: Length) -> Length | None:
        """What it lets through. With an unknown thread, None for the bars alone that lie between both bores."""
        narrow, wide = self.size.passes_with_stop_thread, self.size.passes
        if narrow is None or self.stop_thread is False:
            return wide
        if self.stop_thread or needs <= narrow:
            return narrow
        return wide if wide is not None and needs > wide else None

    @property
    def over_limit(self) -> Length | None:
        """The limit, where it reads over it and is still called good, as the due list has it."""
        is_over = self.is_good and self.tir is not None and self.tir_limit is not None and self.tir > self.tir_limit
        return self.tir_limit if is_over else None

    @property
    def as_blank(self) -> Piece:
        """A bored collet as what it is to be opened further: a blank whose pilot is the bore that is in it now."""
        of_any_piece = {
            name: value for name, value in asdict(self).items() if name not in ("size", "stop_thread", "tir_limit")
        }
        return Piece(**of_any_piece | {"mounts_in": SeatOnHand(self.size.seat), "pilot": self.size.nominal})


class LatheOnHand(Struct, frozen=True, kw_only=True, dict=True):
    """One lathe and its seats; what is not known is None."""

    id: int
    name: str
    nose: SeatOnHand | None = None
    headstock_taper: SeatOnHand | None = None
    tailstock_taper: SeatOnHand | None = None
    spindle_bore: Length | None = None
    nose_tir: Length | None = None
    post: SeatOnHand | None = None
    swing_over_bed: Length | None = None
    swing_over_slide: Length | None = None
    gap_swing: Length | None = None
    gap_width: Length | None = None
    """How long work is that turns in the gap of its bed."""
    between_centers: Length | None = None
    set_over: Length | None = None
    """How far the tailstock moves to one side."""
    compound_travel: Length | None = None
    slowest_rpm: int | None = None
    fastest_rpm: int | None = None
    spindle_length: Length | None = None

    @cached_property
    def spindle_seats(self) -> tuple[SeatOnHand, ...]:
        """What of its spindle is described: the nose and the taper in it."""
        return tuple(seat for seat in (self.nose, self.headstock_taper) if seat is not None)


def _reach(smallest: Length | None, largest: Length | None) -> Reach | None:
    return None if smallest is None or largest is None else Reach(smallest=smallest, largest=largest)


class CountedOnHand(Struct, frozen=True, kw_only=True, gc=False):
    """What is counted and has no tag of its own: how many there are, and where the first of them lie."""

    name: str
    count: int
    location: str = ""


class JawsOnHand(Struct, frozen=True, kw_only=True, gc=False):
    """A set of jaws of one chuck and what it reaches; of soft jaws also the size they were last bored to."""

    id: int = 0
    chuck: int
    kind: str
    """`outside`, `inside` or `soft`."""
    outside: Reach | None = None
    inside: Reach | None = None
    jaw_length: Length | None = None
    last_bored: Length | None = None
    is_in: bool = False
    location: str = ""
    why_not: str = ""


class SeriesOnHand(Struct, frozen=True, kw_only=True, gc=False):
    """The figures of a series in one shape, for the sizes that are not here."""

    code: str
    seat: str
    shape: StockShape
    smallest: Length | None
    largest: Length | None
    ladder_from: Length | None
    ladder_to: Length | None
    ladder_step: Length | None
    reach_of: Callable[[Length], Reach]
    """From a nominal size."""
    listed: tuple[Length, ...] = ()
    """The sizes that it is made in, where they follow no one step."""
    closing: str = ""
    """As of a size."""

    @property
    def is_drawn(self) -> bool:
        """As of a size."""
        return self.closing == "inside"


class CribNow(Struct, frozen=True, kw_only=True, gc=False):
    """All that an answer is made from: the lathes in question, all that is no collet of a size, and the collets.

    Among the collets are all of the sizes that may hold the stock, round ones by its corners too. What a gap asks for,
    the figures of the series and the collets of the sizes beside the stock, may be left out where there is none.
    """

    lathes: tuple[LatheOnHand, ...]
    rig: tuple[Piece, ...] = ()
    collets: tuple[ColletOnHand, ...] = ()
    series: tuple[SeriesOnHand, ...] = ()
