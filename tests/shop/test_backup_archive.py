"""The file of a backup by itself, without a database: what is written is read, and nothing else is."""

import io
import json
import zipfile
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.backup.archive import FORM, FREE_BYTES, MANIFEST, UNSEALED, Archive, ArchiveWriter, BackupError, seal

AT = datetime(2026, 3, 18, 6, 30, tzinfo=UTC)
LINES = [b'[1,"3/4"]\n', b'[2,"7/16"]\n']
MEMBER = "tables/inventory.tool.jsonl"


def written(lines=LINES):
    file = io.BytesIO()
    writer = ArchiveWriter(file, at=AT)
    writer.add("inventory.tool", ["id", "tag"], lines)
    writer.finish(database="sqlite", migrations={"inventory": ["0001_the_book"]})
    return file.getvalue()


def read(content):
    return Archive(io.BytesIO(content), name="crib.zip")


def forged(change=lambda manifest: None, *, more=None, without=None):
    """A backup that somebody made by hand, with a right digest."""
    with zipfile.ZipFile(io.BytesIO(written())) as good:
        members = {name: good.read(name) for name in good.namelist()}
    manifest = json.loads(members[MANIFEST])
    change(manifest)
    members[MANIFEST] = json.dumps(manifest)
    members.update(more or {})
    members.pop(without, None)
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as bad:
        for name, text in members.items():
            bad.writestr(name, text)
        bad.comment = UNSEALED
    seal(file)
    return file.getvalue()


BACKUP = written()
POSITIONS = st.integers(0, len(BACKUP) - 1)


def test_what_was_written_is_read():
    archive = read(BACKUP)

    (table,) = archive.manifest.tables
    assert (table.name, table.columns, table.rows) == ("inventory.tool", ["id", "tag"], 2)
    assert list(archive.lines(table)) == LINES
    assert archive.manifest.made_at == AT


def test_any_zip_program_opens_it():
    with zipfile.ZipFile(io.BytesIO(BACKUP)) as opened:
        assert opened.testzip() is None
        assert opened.read(MEMBER) == b"".join(LINES)


def test_a_backup_made_by_hand_with_nothing_changed_is_read():
    assert read(forged()).manifest.rows == 2


def test_a_backup_of_the_first_form_which_had_a_digest_of_each_table_is_read_as_well():
    def as_it_was(manifest):
        manifest.update(gripbook_backup=1, form=1)
        manifest["tables"][0].update(bytes=21, sha256="0" * 64)

    assert read(forged(as_it_was)).manifest.rows == 2


@given(POSITIONS, st.integers(1, 255))
def test_a_backup_with_a_changed_byte_is_refused(position, change):
    changed = bytearray(BACKUP)
    changed[position] ^= change

    with pytest.raises(BackupError):
        read(bytes(changed))


def test_a_backup_with_one_bit_turned_over_anywhere_is_refused():
    for position in range(len(BACKUP)):
        changed = bytearray(BACKUP)
        changed[position] ^= 1 << position % 8
        with pytest.raises(BackupError):
            read(bytes(changed))


@given(POSITIONS)
def test_a_backup_that_was_cut_off_is_refused(length):
    with pytest.raises(BackupError, match="its end is missing"):
        read(BACKUP[:length])


@given(st.binary(min_size=1, max_size=200))
def test_a_backup_with_more_behind_it_is_refused(more):
    with pytest.raises(BackupError):
        read(BACKUP + more)


@given(st.binary(max_size=500))
def test_what_is_no_backup_is_refused(content):
    with pytest.raises(BackupError):
        read(content)


def of_table(**changes):
    return lambda manifest: manifest["tables"][0].update(changes)


FORGED = {
    "a file that leads out of the folder": forged(more={"../../etc/passwd": "x"}),
    "a file that the manifest does not know": forged(more={"more.txt": "x"}),
    "a table is missing": forged(without=MEMBER),
    "no manifest": forged(without=MANIFEST),
    "fewer rows": forged(more={MEMBER: LINES[0]}),
    "another count": forged(of_table(rows=3)),
    "a count that is none": forged(of_table(rows="2")),
    "a name that leads out of the folder": forged(of_table(name="../tool")),
    "columns that are none": forged(of_table(columns=[1, 2])),
    "no columns": forged(lambda manifest: manifest["tables"][0].pop("columns")),
    "no tables": forged(lambda manifest: manifest.pop("tables")),
    "tables that are none": forged(lambda manifest: manifest.update(tables=7)),
    "migrations that are none": forged(lambda manifest: manifest.update(migrations={"inventory": [3]})),
    "no form": forged(lambda manifest: manifest.pop("gripbook_backup")),
    "a day that is none": forged(lambda manifest: manifest.update(made_at="yesterday")),
    "a manifest that is none": forged(more={MANIFEST: "[" * 100_000}),
}


@pytest.mark.parametrize("content", FORGED.values(), ids=FORGED)
def test_a_backup_that_is_sealed_and_yet_wrong_is_refused(content):
    with pytest.raises(BackupError, match="“crib.zip” is broken"):
        read(content)


def test_a_backup_of_a_newer_form_is_refused_with_what_to_do():
    newer = forged(lambda manifest: manifest.update(gripbook_backup=FORM + 1))

    with pytest.raises(BackupError, match="newer Gripbook .* update this one first"):
        read(newer)


def test_a_file_that_swells_is_refused_before_it_is_unpacked():
    line = b'["' + b"0" * 1000 + b'"]\n'

    with pytest.raises(BackupError, match="times its size"):
        read(written([line] * (FREE_BYTES // len(line) + 1)))
