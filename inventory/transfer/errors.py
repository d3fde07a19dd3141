"""What is said of a sheet that cannot be used."""

from inventory.measures.lengths import shorten


class SheetError(ValueError):
    """The file, or what was said about it, cannot be used; the message is one sentence for who sent it."""

    def __init__(self, message: str, *, field: str = "file", read: str = "", suggest: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.read = read
        self.suggest = suggest


def refusal(name: str, what: str) -> SheetError:
    """The error that says of the file of this name `what` is wrong with it."""
    return SheetError(f"“{shorten(name)}” {what}", read=shorten(name))
