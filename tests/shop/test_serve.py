import io
import os
import re
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from shop.server import network, serving
from tests.schemas import sqlite_schema

MANAGE = Path(__file__).resolve().parents[2] / "manage.py"


def environment_with(folder):
    return {
        **os.environ,
        "DATABASE_URL": f"sqlite:///{folder}/book.sqlite3",
        "PYTHONUNBUFFERED": "",
        "PUBLIC_URL": "",
    }


def free_port():
    with closing(socket.create_server(("127.0.0.1", 0))) as taken:
        return taken.getsockname()[1]


@contextmanager
def started(folder, *arguments, **variables):
    """manage.py at work, until the test has seen enough."""
    process = subprocess.Popen(
        [sys.executable, MANAGE, *arguments],
        env={**environment_with(folder), **variables},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        yield process
    finally:
        process.terminate()
        process.wait()
        process.stdout.close()


def fetched(port, path, **headers):
    """The answer, once there is somebody to give one."""
    request = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers=headers)
    for _ in range(1000):  # a busy machine takes its time to begin
        try:
            with urllib.request.urlopen(request, timeout=10) as answer:
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as refused:
            with refused:
                return refused.code, refused.headers.get("Location", "")
        except OSError:
            time.sleep(0.1)
    raise AssertionError("nobody answered")


@pytest.mark.parametrize("port", ["0", "65536", "-1", "http", "80.5", ""])
def test_a_port_that_is_none_is_refused_with_what_was_read(port):
    with pytest.raises(CommandError, match="--port is .* accepts a whole number from 1 to 65535") as told:
        call_command("serve", port=port)

    assert told.value.returncode == 2


def test_a_port_in_use_is_told_in_a_sentence():
    with closing(socket.create_server(("127.0.0.1", 0))) as taken:
        port = taken.getsockname()[1]

        with pytest.raises(CommandError, match=f"Port {port} is in use") as told:
            serving.place_of("127.0.0.1", port)

    assert told.value.returncode == 1


@pytest.mark.parametrize("host", ["no such host", "192.0.2.200"])
def test_an_address_that_is_not_this_machine_s_is_told_in_a_sentence(host):
    with pytest.raises(CommandError, match=f"--host is “{host}”") as told:
        serving.place_of(host, 8000)

    assert told.value.returncode == 2


def test_the_address_is_this_machine_s_on_the_shop_s_network(settings):
    settings.PUBLIC_URL = None

    assert serving.address_of("0.0.0.0", 8000) == f"http://{network.local_address()}:8000"
    assert serving.address_of("crib.local", 8001) == "http://crib.local:8001"
    assert serving.address_of("fd00::7", 8000) == "http://[fd00::7]:8000"


def test_a_fixed_address_is_told_as_it_is(settings):
    settings.PUBLIC_URL = "https://crib.example"

    assert serving.address_of("0.0.0.0", 8000) == "https://crib.example"


def test_a_terminal_that_cannot_draw_the_code_is_spared_it():
    plain = io.TextIOWrapper(io.BytesIO(), encoding="ascii")

    serving.draw("http://crib.local:8000", plain)
    plain.flush()

    assert plain.buffer.getvalue() == b""


def test_a_terminal_that_can_is_given_a_code_of_equal_lines():
    wide = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")

    serving.draw("http://crib.local:8000", wide)
    wide.flush()

    lines = wide.buffer.getvalue().decode().splitlines()
    # A version 2 code has 25 modules (ISO/IEC 18004, table 1), and two of quiet zone on each side.
    assert {len(line) for line in lines} == {25 + 4}
    assert len(lines) == 15


def test_a_book_that_is_not_up_to_date_is_not_served(tmp_path):
    run = subprocess.run(
        [sys.executable, MANAGE, "serve"], env=environment_with(tmp_path), capture_output=True, text=True
    )

    assert run.returncode == 1
    assert "run manage.py migrate" in run.stderr
    assert "Traceback" not in run.stderr


@pytest.mark.one_database("the demo begins a book in a SQLite file, wherever the others are")
def test_the_demo_serves_its_sign_ins_address_and_pages_from_nothing(db, tmp_path):
    port = free_port()
    with started(tmp_path, "demo", "--port", str(port), "--host", "127.0.0.1") as demo:
        status, page = fetched(port, "/sign-in/")
        health = fetched(port, "/health")
        demo.terminate()
        printed = demo.stdout.read()

    assert (status, health) == (200, (200, "ok"))
    assert "<form" in page
    assert f"http://127.0.0.1:{port}" in printed
    assert re.search(r"machinist +\w+-\d{4}-\w+-\d{4}", printed)
    assert "█" in printed
    assert "Warning" not in printed
    # The migrations took the book from nothing to what the models describe, of which the tests' own tables are made.
    with closing(sqlite3.connect(tmp_path / "book.sqlite3")) as migrated:
        assert sqlite_schema(migrated) == sqlite_schema(connection.connection)


def test_behind_a_proxy_that_speaks_tls_nothing_is_redirected_in_circles(book_file):
    port = free_port()
    with started(book_file.parent, "serve", "--port", str(port), "--host", "127.0.0.1", HTTPS="on"):
        by_proxy = fetched(port, "/health", **{"X-Forwarded-Proto": "https"})
        style = fetched(port, "/static/admin/css/base.css", **{"X-Forwarded-Proto": "https"})
        from_this_machine = fetched(port, "/health")

    assert by_proxy == from_this_machine == (200, "ok")
    assert style[0] == 200


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_database_that_cannot_be_reached_is_told_in_a_sentence(tmp_path, command):
    nobody = {"DATABASE_URL": f"postgres://a:b@127.0.0.1:{free_port()}/book", "SECRET_KEY": "x" * 50}
    call = [sys.executable, MANAGE, command, "--port", str(free_port()), "--host", "127.0.0.1"]

    run = subprocess.run(call, env={**environment_with(tmp_path), **nobody}, capture_output=True, text=True)

    assert run.returncode == 1
    assert "The database cannot be reached" in run.stderr
    assert "Traceback" not in run.stderr


@pytest.mark.parametrize(
    ("workers", "accepted"), [("0", False), ("65", False), ("two", False), ("", False), ("2", True)]
)
def test_how_many_processes_answer_is_a_whole_number(workers, accepted):
    if accepted:
        assert serving.workers_of(workers) == 2
        return
    with pytest.raises(CommandError, match=f"--workers is “{workers}”; it accepts a whole number") as told:
        call_command("serve", workers=workers)

    assert told.value.returncode == 2


def children_of(process) -> set[int]:
    found = subprocess.run(["pgrep", "-P", str(process.pid)], capture_output=True, text=True)
    return {int(line) for line in found.stdout.split()}


def is_there(pid) -> bool:
    # A process that has ended stays as a zombie until somebody asks for it.
    stat = Path(f"/proc/{pid}/stat")
    return stat.exists() and stat.read_text().rpartition(")")[2].split()[0] != "Z"


def until(condition, seconds=20):
    for _ in range(seconds * 10):
        if condition():
            return True
        time.sleep(0.1)
    return False


@pytest.mark.skipif(sys.platform != "linux", reason="looks at the processes of Linux")
def test_a_process_that_dies_is_replaced_and_whoever_kills_the_first_leaves_none(book_file):
    port = free_port()
    with started(book_file.parent, "serve", "--port", str(port), "--host", "127.0.0.1", "--workers", "2") as served:
        assert fetched(port, "/health") == (200, "ok")
        assert until(lambda: len(children_of(served)) == 2)
        before = children_of(served)
        os.kill(min(before), 9)
        assert until(lambda: len(children_of(served) - before) == 1)
        assert fetched(port, "/health") == (200, "ok")
        left = children_of(served)
        served.kill()
        assert until(lambda: not any(is_there(pid) for pid in left))


def test_130_half_sent_requests_and_another_person_is_answered(book_file):
    port = free_port()
    with started(book_file.parent, "serve", "--port", str(port), "--host", "127.0.0.1"):
        fetched(port, "/health")
        sent_at = time.monotonic()
        held = [socket.create_connection(("127.0.0.1", port)) for _ in range(130)]
        for number, line in enumerate(held):
            head = b"GET /hea" if number % 2 else b"POST /sign-in/ HTTP/1.1\r\nHost: a\r\nContent-Length: 9\r\n\r\nna"
            line.sendall(head)
        answers = [fetched(port, "/health") for _ in range(20)]
        took = time.monotonic() - sent_at
        for line in held:
            line.close()

    assert answers == [(200, "ok")] * 20
    assert took < 10  # the first of them is given up only then
