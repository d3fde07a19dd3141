import os

import pytest
from django.core.management import call_command
from django.db import connection

from inventory.models import Tool
from tests import factories


def exit_of(*arguments):
    try:
        call_command(*arguments)
    except SystemExit as ended:
        return ended.code
    return 0


@pytest.fixture
def crib(db):
    factories.collet(tag="C-0011")


def test_a_backup_is_written_and_put_back(crib, tmp_path, capsys):
    file = str(tmp_path / "crib.zip")

    assert exit_of("backup", file) == 0
    Tool.objects.update(notes="Scribbled over.")
    assert exit_of("restore", file, "--replace") == 0

    assert Tool.objects.get().notes == ""
    said = capsys.readouterr().out
    assert "1 pieces" in said
    assert "password hashes" in said
    assert "is kept in" in said


def test_a_book_that_holds_pieces_is_not_replaced(crib, tmp_path, capsys):
    file = str(tmp_path / "crib.zip")
    exit_of("backup", file)

    assert exit_of("restore", file) == 2
    assert "already holds 1 piece: nothing was touched" in capsys.readouterr().err


FOREIGN = {"empty": b"", "a sheet": b"tag,kind\nC-1,collet\n", "another zip": b"PK\x05\x06" + b"\0" * 18}


@pytest.mark.parametrize("content", FOREIGN.values(), ids=FOREIGN)
def test_a_foreign_file_is_refused_with_one_sentence(content, crib, tmp_path, capsys):
    file = tmp_path / "file"
    file.write_bytes(content)

    assert exit_of("restore", str(file), "--replace") == 2

    assert capsys.readouterr().err == "“file” is no backup of Gripbook, or its end is missing.\n"
    assert Tool.objects.get().tag == "C-0011"


@pytest.mark.parametrize("command", ["backup", "restore"])
def test_a_file_that_cannot_be_opened_is_named(command, crib, tmp_path, capsys):
    assert exit_of(command, str(tmp_path / "no" / "such")) == 2

    assert "no such file or directory" in capsys.readouterr().err


def test_a_folder_is_no_place_for_a_backup(crib, tmp_path, capsys):
    assert exit_of("backup", str(tmp_path)) == 2

    assert "cannot be written" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("file", ["", ".", "/"])
def test_a_backup_without_a_name_is_refused(crib, file, capsys):
    assert exit_of("backup", file) == 2

    assert "cannot be written: is a directory" in capsys.readouterr().err


@pytest.mark.parametrize(("command", "done"), [(["backup"], "written"), (["restore", "--replace"], "read")])
def test_what_is_no_file_is_no_place_for_a_backup_and_none(crib, tmp_path, command, done, capsys):
    """Like a device: of one that has no end nobody reads, and nobody puts a file in its place."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)

    assert exit_of(*command, str(pipe)) == 2

    assert capsys.readouterr().err == f"“{pipe}” cannot be {done}: it is no file.\n"
    assert pipe.is_fifo()


def test_a_backup_goes_where_a_link_leads(crib, tmp_path):
    (tmp_path / "latest.zip").symlink_to(tmp_path / "stick.zip")

    assert exit_of("backup", str(tmp_path / "latest.zip")) == 0

    assert (tmp_path / "latest.zip").is_symlink()
    assert (tmp_path / "stick.zip").stat().st_size


def test_an_older_backup_of_that_name_stays_when_a_new_one_fails(crib, tmp_path, capsys):
    file = tmp_path / "crib.zip"
    file.write_bytes(b"the older one")
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations")

    assert exit_of("backup", str(file)) == 2

    assert "There is no book yet" in capsys.readouterr().err
    assert [path.read_bytes() for path in tmp_path.iterdir()] == [b"the older one"]
