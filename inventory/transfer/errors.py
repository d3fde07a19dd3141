"""What is said of a sheet that cannot be used, and of what to do about it: by the options of the command, or by the
steps of the page."""

from msgspec import Struct

from inventory.measures.lengths import shorten


class SheetError(ValueError):
    """The file, or what was said about it, cannot be used; the message is one sentence for who sent it."""

    def __init__(self, message: str, *, field: str = "file", read: str = "", suggest: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.read = read
        self.suggest = suggest

    def as_json(self) -> dict[str, str | None]:
        return {"field": self.field, "read": self.read, "message": self.message, "suggest": self.suggest}


def refusal(name: str, what: str) -> SheetError:
    """The error that says of the file of this name `what` is wrong with it."""
    return SheetError(f"“{shorten(name)}” {what}", read=shorten(name))


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
