"""What the server writes for whoever keeps it running: a line for what was refused, a trace only for our own faults."""

from __future__ import annotations

import logging

from inventory.measures.signs import shown
from shop.trouble.failures import failure_of

_LONGEST = 300


class OneLine(logging.Formatter):
    """A refusal, a foreign Host, a full disk: one line each, however long what was sent. A fault of ours: its trace."""

    default_msec_format = "%s.%03d"

    def __init__(self) -> None:
        super().__init__("%(asctime)s %(levelname)s %(message)s")

    def format(self, record: logging.LogRecord) -> str:
        if is_fault(record):
            return super().format(record)
        record = logging.makeLogRecord(record.__dict__ | {"exc_info": None, "exc_text": None, "stack_info": None})
        record.msg, record.args = message_line(record), None
        return super().format(record)


def is_fault(record: logging.LogRecord) -> bool:
    """Whether it is an error of Gripbook's own, which its trace helps to find."""
    if record.levelno < logging.ERROR or record.name.startswith("django.security") or not record.exc_info:
        return False
    return failure_of(record.exc_info[1]) is None


def message_line(record: logging.LogRecord) -> str:
    """The message in one line, and where the book's disk or database failed, how."""
    failure = failure_of(record.exc_info[1]) if record.exc_info else None
    words = f"{record.getMessage()}: {failure.sentence}" if failure else record.getMessage()
    line = shown(" ".join(words.split()))
    return line if len(line) <= _LONGEST else f"{line[: _LONGEST - 1]}…"
