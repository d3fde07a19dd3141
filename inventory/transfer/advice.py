"""What to do about a sheet, in the words of who sent it: the options of the command, or the steps of the page."""

from msgspec import Struct


class Advice(Struct, frozen=True):
    """`tag_column` ends the sentence on a sheet without tags; `day_order` follows the one on a date of two readings."""

    tag_column: str
    day_order: str


COMMAND = Advice(
    tag_column="name that column “Tag”, or say which it is with --map HEADING=tag.",
    day_order="For the whole sheet, say --dates mdy or --dates dmy.",
)
PAGE = Advice(
    tag_column="say under “Match headings” which column it is.",
    day_order="For the whole sheet, say it under “Units and dates”.",
)
