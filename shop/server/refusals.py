"""What the server itself says before a page is asked: short, and without the book."""

from __future__ import annotations


class Refused(Exception):
    """The request is not taken on; `words` say why and what to do."""

    def __init__(self, status: int, words: str, *, again_after: int | None = None) -> None:
        super().__init__(words)
        self.status, self.words, self.again_after = status, words, again_after


TOO_BUSY = "More is asked of Gripbook at once than it can answer. Nothing was changed; try again in a few seconds."
TOO_MUCH_FROM_ONE = "This device asks more at once than is answered. Nothing was changed; try again in a few seconds."
TOO_SLOW = "What was sent came too slowly, so it was not read to its end. Nothing was changed; send it again."
NO_ROOM = "There is no room just now for what was sent. Nothing was changed; send it again in a minute."
CUT_OFF = "What was sent ended early. Nothing was changed; send it again."
