"""What is wrong when the book, its disk or its database fails: told truly, in a sentence, with what to do."""

from __future__ import annotations

import errno

from django.db import DatabaseError, InterfaceError, OperationalError
from msgspec import Struct

BUSY_AGAIN_AFTER, MENDED_AGAIN_AFTER = 5, 30
"""Seconds after which a program should ask again."""


class Failure(Struct, frozen=True):
    """`what` is a sentence, `advice` one or two; `status` is what a page answers."""

    what: str
    advice: str
    status: int = 503
    again_after: int = MENDED_AGAIN_AFTER

    @property
    def sentence(self) -> str:
        return f"{self.what} {self.advice}"


BUSY = Failure(
    "The book is busy.",
    "Somebody else is writing much at once, like a large sheet: wait a few seconds and try again.",
    again_after=BUSY_AGAIN_AFTER,
)
FULL = Failure(
    "The disk of the book is full.",
    "Whoever keeps Gripbook running makes room on it; then it goes on by itself.",
    status=507,
)
READ_ONLY = Failure(
    "The book can only be read.",
    "Whoever keeps Gripbook running gives its file, and the folder that it is in, back to the user that Gripbook runs "
    "as, or takes the write protection from the database.",
)
DAMAGED = Failure(
    "The file of the book is damaged.",
    "Whoever keeps Gripbook running stops it, keeps a copy of that file and puts the newest backup in its place with "
    "manage.py restore.",
)
DISK_FAILS = Failure(
    "The disk of the book cannot be read or written.",
    "Whoever keeps Gripbook running looks after that disk: is it still there, and is it healthy?",
)
NO_RIGHTS = Failure(
    "The file of the book cannot be opened.",
    "Whoever keeps Gripbook running looks whether its folder is there, and whether the user that Gripbook runs as may "
    "read and write in it.",
)
NOT_ALLOWED = Failure(
    "The database does not let Gripbook do that.",
    "Whoever keeps Gripbook running gives the user named in DATABASE_URL its rights back.",
)
UNREACHABLE = Failure(
    "The database cannot be reached.",
    "Whoever keeps Gripbook running looks after it: is it started, and is the network between them up?",
)
NOT_MADE = Failure(
    "The database has not been made, or is from an older version.",
    "Run manage.py migrate, then try again.",
)

# By the result codes of SQLite (sqlite.org/rescode.html); what comes behind the second underscore is left out.
_OF_SQLITE = {
    "SQLITE_BUSY": BUSY, "SQLITE_LOCKED": BUSY, "SQLITE_FULL": FULL, "SQLITE_READONLY": READ_ONLY,
    "SQLITE_CORRUPT": DAMAGED, "SQLITE_NOTADB": DAMAGED, "SQLITE_IOERR": DISK_FAILS, "SQLITE_CANTOPEN": NO_RIGHTS,
    "SQLITE_PERM": NO_RIGHTS, "SQLITE_AUTH": NO_RIGHTS,
}  # fmt: skip
# By the SQLSTATE of PostgreSQL (its manual, appendix A), the whole code or its class.
_OF_POSTGRESQL = {
    "40P01": BUSY, "40001": BUSY, "55P03": BUSY, "57014": BUSY, "53300": BUSY, "53100": FULL, "25006": READ_ONLY,
    "XX001": DAMAGED, "XX002": DAMAGED, "58030": DISK_FAILS, "42501": NOT_ALLOWED, "42P01": NOT_MADE, "42703": NOT_MADE,
    "08": UNREACHABLE, "28": UNREACHABLE, "3D": UNREACHABLE, "57": UNREACHABLE,
}  # fmt: skip
# Where only the words are left.
_WORDS = {
    "database is locked": BUSY, "table is locked": BUSY, "deadlock detected": BUSY, "lock timeout": BUSY,
    "disk is full": FULL, "No space left": FULL, "readonly database": READ_ONLY, "read-only": READ_ONLY,
    "is malformed": DAMAGED, "not a database": DAMAGED, "disk I/O error": DISK_FAILS,
    "unable to open database file": NO_RIGHTS, "permission denied": NOT_ALLOWED,
    "no such table": NOT_MADE, "no such column": NOT_MADE,
}  # fmt: skip
_OF_SYSTEM = {
    errno.ENOSPC: FULL, errno.EDQUOT: FULL, errno.EFBIG: FULL, errno.EROFS: READ_ONLY, errno.EACCES: NO_RIGHTS,
    errno.EPERM: NO_RIGHTS, errno.EIO: DISK_FAILS,
}  # fmt: skip


def failure_of(error: BaseException | None) -> Failure | None:
    """What this error means for the book; None where it is a fault of Gripbook's own."""
    if isinstance(error, InterfaceError):
        return UNREACHABLE
    if isinstance(error, OSError):
        return _OF_SYSTEM.get(error.errno or 0)
    return _of_database(error) if isinstance(error, DatabaseError) else None


def sentence_of(error: DatabaseError) -> str:
    """For a command: what is known of the failure, else what the database says itself."""
    failure = failure_of(error)
    if failure and failure is not UNREACHABLE:
        return failure.sentence
    # PostgreSQL shows a row from the second line on, with what is nobody's business.
    first_line = (str(error).splitlines() or [type(error).__name__])[0].rstrip(".")
    is_away = failure is UNREACHABLE or isinstance(error, OperationalError)
    return f"The database cannot be {'reached' if is_away else 'used'}: {first_line}."


def _of_database(error: DatabaseError) -> Failure | None:
    cause = error.__cause__
    if name := getattr(cause, "sqlite_errorname", ""):
        known = _OF_SQLITE.get("_".join(name.split("_")[:2]))
    else:
        state = getattr(cause, "sqlstate", None) or ""
        known = _OF_POSTGRESQL.get(state) or _OF_POSTGRESQL.get(state[:2])
    return known or next((failure for words, failure in _WORDS.items() if words in str(error)), None)
