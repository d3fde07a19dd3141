"""Where the labels lie on a sheet. Whole micrometres from the sheet's upper left corner."""

from __future__ import annotations

from msgspec import Struct

from inventory.measures.lengths import Length

NM_PER_UM = 1000
NARROWEST, LOWEST = Length.mm(40), Length.mm(20)
"""Less does not hold a name of 14 points beside a code that a phone reads (tried on paper; no source)."""


class Paper(Struct, frozen=True):
    """A sheet, or a single label. `code` stands in addresses and names its page in labels.css."""

    code: str
    words: str
    width: Length
    height: Length
    is_single: bool = False


PAPERS = {
    paper.code: paper
    for paper in (
        # ISO 216 and ANSI/ASME Y14.1, sizes A4 and A (Letter).
        Paper("a4", "A4", Length.mm(210), Length.mm(297)),
        Paper("letter", "Letter", Length.inches("8.5"), Length.inches(11)),
        Paper("large", "single, 100 × 50 mm", Length.mm(100), Length.mm(50), is_single=True),
        Paper("small", "single, 60 × 30 mm", Length.mm(60), Length.mm(30), is_single=True),
    )
}


class LabelBox(Struct, frozen=True):
    """One label's place on the sheet, in micrometres."""

    left: int
    top: int
    width: int
    height: int


class LabelGrid(Struct, frozen=True, kw_only=True):
    """Columns and rows of equal labels between margins, with gaps between them."""

    paper: Paper
    columns: int
    rows: int
    top: Length
    bottom: Length
    left: Length
    right: Length
    gap_across: Length
    gap_down: Length

    @property
    def label_width(self) -> Length:
        free = self.paper.width.nm - self.left.nm - self.right.nm - self.gap_across.nm * (self.columns - 1)
        return Length(free // self.columns)

    @property
    def label_height(self) -> Length:
        free = self.paper.height.nm - self.top.nm - self.bottom.nm - self.gap_down.nm * (self.rows - 1)
        return Length(free // self.rows)

    @property
    def label_words(self) -> str:
        """To a tenth: no ruler on a sheet says more, `95 × 38.4 mm`."""
        tenths = [divmod((side.nm + 50_000) // 100_000, 10) for side in (self.label_width, self.label_height)]
        return f"{' × '.join(f'{mm}.{tenth}' if tenth else f'{mm}' for mm, tenth in tenths)} mm"

    @property
    def holds(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows

    @property
    def is_large_enough(self) -> bool:
        return self.label_width >= NARROWEST and self.label_height >= LOWEST

    def box(self, position: int) -> LabelBox:
        """The place of a label; position 0 is at the upper left, and they run along the rows."""
        row, column = divmod(position, self.columns)
        left = self.left.nm + column * (self.label_width.nm + self.gap_across.nm)
        top = self.top.nm + row * (self.label_height.nm + self.gap_down.nm)
        sides = (left, top, self.label_width.nm, self.label_height.nm)
        return LabelBox(*(side // NM_PER_UM for side in sides))


def single(paper: Paper) -> LabelGrid:
    """One label that fills its paper but for the edge that no printer reaches."""
    edge, none = Length.mm(1), Length(0)
    return LabelGrid(
        paper=paper, columns=1, rows=1, top=edge, bottom=edge, left=edge, right=edge, gap_across=none, gap_down=none
    )
