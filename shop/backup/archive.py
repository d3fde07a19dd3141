"""The file: a zip with a manifest and the rows of each table as lines of JSON, sealed with a digest at its end.

The zip's own comment ends the file and holds the SHA-256 of every byte before it. So any zip program opens a backup,
and a byte that was changed anywhere, in the zip's own bookkeeping too, is seen before anything is read.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import BinaryIO

import msgspec

FORM = 2
"""Counts up when an older Gripbook could no longer read the file. The first had a digest of each table as well."""
MANIFEST = "manifest.json"
MOST_MANIFEST_BYTES = 4 * 1024 * 1024
MOST_LINE_BYTES = 256 * 1024 * 1024
"""Of one row; a photo stands in it as text."""
MOST_RATIO = 250
"""How much larger than its packed bytes a table may be. Rows of a book pack to a tenth or twentieth, never this far."""
FREE_BYTES = 16 * 1024 * 1024
"""Below this the ratio is not asked."""

_SEAL = b"Gripbook backup; SHA-256 of all before: "
_HEX = 64
_CHUNK = 1024 * 1024
UNSEALED = _SEAL + b"0" * _HEX
"""The zip's comment, until its digest is known."""


class BackupError(Exception):
    """The file or the book cannot be used; the message is one sentence."""


class HeldTable(msgspec.Struct, frozen=True):
    """What the manifest says of one table; `columns` in the order of the values in its lines."""

    name: str
    columns: list[str]
    rows: int

    @property
    def member(self) -> str:
        return f"tables/{self.name}.jsonl"


class Manifest(msgspec.Struct, frozen=True, kw_only=True):
    """What a backup says of itself. `migrations` has the newest ones of each app."""

    form: int = msgspec.field(default=FORM, name="gripbook_backup")
    made_at: datetime
    database: str
    migrations: dict[str, list[str]]
    tables: list[HeldTable]

    def rows_of(self, name: str) -> int:
        return sum(table.rows for table in self.tables if table.name == name)

    @property
    def rows(self) -> int:
        return sum(table.rows for table in self.tables)


class _Form(msgspec.Struct):
    """All that must be read of a manifest to know whether the rest can be."""

    number: int = msgspec.field(name="gripbook_backup")


class ArchiveWriter:
    """Fills an empty binary file that can be read back."""

    def __init__(self, file: BinaryIO, *, at: datetime) -> None:
        self._file, self._at = file, at
        self._tables: list[HeldTable] = []
        self._zip = zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED)

    def add(self, name: str, columns: list[str], lines: Iterable[bytes]) -> HeldTable:
        rows = 0
        with self._zip.open(self._info(f"tables/{name}.jsonl"), "w", force_zip64=True) as member:
            for line in lines:
                member.write(line)
                rows += 1
        self._tables.append(HeldTable(name, columns, rows))
        return self._tables[-1]

    def finish(self, *, database: str, migrations: dict[str, list[str]]) -> Manifest:
        manifest = Manifest(made_at=self._at, database=database, migrations=migrations, tables=self._tables)
        self._zip.writestr(self._info(MANIFEST), msgspec.json.format(msgspec.json.encode(manifest), indent=1))
        self._zip.comment = UNSEALED
        self._zip.close()
        seal(self._file)
        return manifest

    def _info(self, name: str) -> zipfile.ZipInfo:
        info = zipfile.ZipInfo(name, date_time=self._at.timetuple()[:6])
        info.compress_type = zipfile.ZIP_DEFLATED
        info.external_attr = 0o600 << 16
        return info


class Archive:
    """A backup that has been checked in all its parts. `name` is what its sentences call it."""

    def __init__(self, file: BinaryIO, *, name: str) -> None:
        self._name = name
        _check_seal(file, name)
        try:
            self._zip = zipfile.ZipFile(file)
            self.manifest = self._read_manifest()
            self._check_members()
            for table in self.manifest.tables:
                self._check_rows(table)
        except _UNREADABLE:
            raise self._broken() from None

    def lines(self, table: HeldTable) -> Iterator[bytes]:
        # Around the zip's own reader, which is slow where a line has a limit.
        with io.BufferedReader(self._zip.open(table.member), _CHUNK) as member:  # type: ignore[type-var]
            while line := member.readline(MOST_LINE_BYTES):
                yield line

    def _read_manifest(self) -> Manifest:
        with self._zip.open(MANIFEST) as member:
            text = member.read(MOST_MANIFEST_BYTES + 1)
        if len(text) > MOST_MANIFEST_BYTES:
            raise self._broken()
        form = msgspec.json.decode(text, type=_Form).number
        if form > FORM:
            raise BackupError(
                f"“{self._name}” was made by a newer Gripbook (form {form}; this one reads up to {FORM}): "
                "update this one first."
            )
        return msgspec.json.decode(text, type=Manifest)

    def _check_members(self) -> None:
        expected = [MANIFEST, *(table.member for table in self.manifest.tables)]
        members = self._zip.infolist()
        if sorted(member.filename for member in members) != sorted(expected):
            raise self._broken()
        for member in members:
            if member.flag_bits & 1 or member.compress_type not in {zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED}:
                raise self._broken()
            if member.file_size > FREE_BYTES and member.file_size > MOST_RATIO * member.compress_size:
                raise BackupError(
                    f"“{self._name}” would unpack to more than {MOST_RATIO} times its size: that is no book."
                )

    def _check_rows(self, table: HeldTable) -> None:
        # Read to its end, which has the zip compare its own sum of what was packed.
        with self._zip.open(table.member) as member:
            rows = sum(chunk.count(b"\n") for chunk in iter(lambda: member.read(_CHUNK), b""))
        if rows != table.rows:
            raise self._broken()

    def _broken(self) -> BackupError:
        return BackupError(f"“{self._name}” is broken: what it holds is not what it says that it holds.")


# What the libraries raise at a file that is sealed and yet wrong.
_UNREADABLE = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, msgspec.MsgspecError, OSError, EOFError, RuntimeError,
    NotImplementedError, LookupError, ValueError,
)  # fmt: skip


def _check_seal(file: BinaryIO, name: str) -> None:
    size = file.seek(0, io.SEEK_END)
    file.seek(max(size - len(_SEAL) - _HEX, 0))
    seal = file.read()
    if not seal.startswith(_SEAL):
        raise BackupError(f"“{name}” is no backup of Gripbook, or its end is missing.")
    if _digest_before_seal(file) != seal.removeprefix(_SEAL):
        raise BackupError(f"“{name}” is broken: it is not as it was written.")


def seal(file: BinaryIO) -> None:
    """Put its digest into a finished zip whose comment is UNSEALED."""
    digest = _digest_before_seal(file)
    file.seek(-_HEX, io.SEEK_END)
    file.write(digest)
    file.flush()


def _digest_before_seal(file: BinaryIO) -> bytes:
    left = file.seek(0, io.SEEK_END) - _HEX
    digest = hashlib.sha256()
    file.seek(0)
    while left > 0 and (chunk := file.read(min(_CHUNK, left))):
        digest.update(chunk)
        left -= len(chunk)
    return digest.hexdigest().encode()
