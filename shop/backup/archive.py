"""The file: a zip with a manifest and the rows of each table as lines of JSON, sealed with a digest at its end.

The zip's own comment ends the file and holds the SHA-256 of every byte before it. So any zip program opens a backup,
and a byte that was changed anywhere, in the zip's own bookkeeping too, is seen before anything is read.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import BinaryIO

FORM = 1
"""Counts up when an older Gripbook could no longer read the file."""
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


@dataclass(frozen=True)
class Contents:
    """What the manifest says of one table."""

    name: str
    columns: list[str]
    rows: int
    bytes: int
    sha256: str

    @property
    def member(self) -> str:
        return f"tables/{self.name}.jsonl"


@dataclass(frozen=True)
class Manifest:
    """What a backup says of itself. `migrations` has the newest ones of each app."""

    made_at: str
    database: str
    migrations: dict[str, list[str]]
    tables: list[Contents]
    form: int = FORM

    def rows_of(self, name: str) -> int:
        return sum(table.rows for table in self.tables if table.name == name)

    @property
    def rows(self) -> int:
        return sum(table.rows for table in self.tables)


class Writer:
    """Fills an empty binary file that can be read back."""

    def __init__(self, file: BinaryIO, *, at: datetime) -> None:
        self._file, self._at, self._tables = file, at, []
        self._zip = zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED)

    def add(self, name: str, columns: list[str], lines: Iterable[bytes]) -> Contents:
        digest, rows, size = hashlib.sha256(), 0, 0
        with self._zip.open(self._info(f"tables/{name}.jsonl"), "w", force_zip64=True) as member:
            for line in lines:
                member.write(line)
                digest.update(line)
                rows, size = rows + 1, size + len(line)
        self._tables.append(Contents(name, columns, rows, size, digest.hexdigest()))
        return self._tables[-1]

    def finish(self, *, database: str, migrations: dict[str, list[str]]) -> Manifest:
        manifest = Manifest(self._at.isoformat(), database, migrations, self._tables)
        text = json.dumps({"gripbook_backup": FORM, **asdict(manifest)}, indent=1, sort_keys=True)
        self._zip.writestr(self._info(MANIFEST), text)
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
    """A backup that has been checked whole. `name` is what its sentences call it."""

    def __init__(self, file: BinaryIO, *, name: str) -> None:
        self._name = name
        _check_seal(file, name)
        try:
            self._zip = zipfile.ZipFile(file)
            self.manifest = self._read_manifest()
            self._check_members()
            for table in self.manifest.tables:
                self._check_table(table)
        except _UNREADABLE:
            raise self._broken() from None

    def lines(self, table: Contents) -> Iterator[bytes]:
        with io.BufferedReader(self._zip.open(table.member), _CHUNK) as member:
            while line := member.readline(MOST_LINE_BYTES):
                yield line

    def _read_manifest(self) -> Manifest:
        with self._zip.open(MANIFEST) as member:
            text = member.read(MOST_MANIFEST_BYTES + 1)
        if len(text) > MOST_MANIFEST_BYTES:
            raise self._broken()
        read = json.loads(text)
        form = read.pop("gripbook_backup")
        if not isinstance(form, int) or form > FORM:
            raise BackupError(
                f"“{self._name}” was made by a newer Gripbook (form {form}; this one reads up to {FORM}): "
                "update this one first."
            )
        return _manifest(read)

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

    def _check_table(self, table: Contents) -> None:
        digest, rows, size = hashlib.sha256(), 0, 0
        if self._zip.getinfo(table.member).file_size != table.bytes:
            raise self._broken()
        with self._zip.open(table.member) as member:
            while chunk := member.read(_CHUNK):
                digest.update(chunk)
                rows, size = rows + chunk.count(b"\n"), size + len(chunk)
        if (digest.hexdigest(), rows, size) != (table.sha256, table.rows, table.bytes):
            raise self._broken()

    def _broken(self) -> BackupError:
        return BackupError(f"“{self._name}” is broken: what it holds is not what it says that it holds.")


# What the libraries raise at a file that is sealed and yet wrong.
_UNREADABLE = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, OSError, EOFError, RuntimeError, NotImplementedError,
    LookupError, ValueError, TypeError, AttributeError,
)  # fmt: skip


def _manifest(read: dict) -> Manifest:
    """Raises what `_UNREADABLE` has where a part is missing or is none of its kind."""
    tables = [Contents(**table) for table in read.pop("tables")]
    manifest = Manifest(tables=tables, **read)
    datetime.fromisoformat(manifest.made_at)
    texts = [
        manifest.database,
        *manifest.migrations,
        *(name for t in tables for name in (t.name, t.sha256, *t.columns)),
    ]
    texts += [name for names in manifest.migrations.values() for name in names]
    numbers = [number for table in tables for number in (table.rows, table.bytes)]
    if not all(isinstance(text, str) for text in texts) or not all(type(number) is int for number in numbers):
        raise ValueError("a part of the manifest is none of its kind")
    return manifest


def _check_seal(file: BinaryIO, name: str) -> None:
    size = file.seek(0, io.SEEK_END)
    file.seek(max(size - len(_SEAL) - _HEX, 0))
    seal = file.read()
    if not seal.startswith(_SEAL):
        raise BackupError(f"“{name}” is no backup of Gripbook, or its end is missing.")
    if _digest_before_seal(file) != seal.removeprefix(_SEAL):
        raise BackupError(f"“{name}” is broken: it is not as it was written.")


def seal(file: BinaryIO) -> None:
    """Put its digest into a whole zip whose comment is UNSEALED."""
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
