"""What to do about a sheet, in the words of who sent it: the options of the command, or the boxes of the page."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Advice:
    """`tag_column` ends the sentence on a sheet without tags; `day_order` follows the one on a date of two readings."""

    tag_column: str
    day_order: str


COMMAND = Advice(
    tag_column="name that column “Tag”, or say which it is with --map HEADING=tag.",
    day_order="For the whole sheet, say --dates mdy or --dates dmy.",
)
PAGE = Advice(
    tag_column="name that column “Tag” in the sheet and send it again.",
    day_order="For the whole sheet, send it again and choose in the box “In dates like 3/4/2026”.",
)
