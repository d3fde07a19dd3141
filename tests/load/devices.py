"""One bad or busy device, and how long another person waits meanwhile, over a socket from the site as it is served.

Run by hand on Linux: `python tests/load/devices.py [--only NAME] [--seconds 8] [--pieces 2000]`. DATABASE_URL chooses
SQLite (a file in a temporary folder where it is not set) or PostgreSQL; a database is made beside the one that is named
and taken away. Of each load are printed: the p99 of an answer and its ratio to that of the quiet server in the same
run, the slowest Issue, what went wrong for that person, and the most memory that the server has taken so far.
"""

from __future__ import annotations

import argparse
import io
import multiprocessing
import os
import random
import resource
import signal
import socket
import sys
import time
import uuid
import zipfile
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
MB = 1024 * 1024


def main() -> None:
    wanted = _arguments()
    os.environ.update(DJANGO_SETTINGS_MODULE="shop.settings", SECRET_KEY="only-for-a-run-of-the-load-figures-" * 2)
    os.environ.setdefault("PYTHONWARNINGS", "ignore")
    os.environ["ALLOWED_HOSTS"] = "127.0.0.1"
    sys.path[:0] = [str(ROOT), str(Path(__file__).resolve().parent)]
    import cribs
    import django
    from django.db import connection, connections
    from served import serving

    django.setup()
    signal.signal(signal.SIGTERM, lambda *_: sys.exit("stopped"))  # so that the database is taken away
    try:
        with cribs.made([wanted.pieces]) as made:
            made.open(wanted.pieces)
            url = made.urls[wanted.pieces]
            connections.databases["default"] = dict(connection.settings_dict)
            for workers in wanted.workers:
                with serving(url, workers=workers) as served:
                    print(
                        f"{connection.vendor}, {workers} workers: {_pages_a_second(served.port):.0f} answers a second"
                    )
            with serving(url, workers=1) as served:
                _tell(served, wanted)
    except cribs.InUse as error:
        sys.exit(str(error))


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--only", choices=[*LOADS, *READY_FIRST], action="append")
    parser.add_argument("--seconds", type=float, default=8)
    parser.add_argument("--pieces", type=int, default=2000)
    parser.add_argument("--rows", type=int, default=20_000, help="of the sheet that is read and taken")
    parser.add_argument("--workers", type=int, nargs="*", default=[1, 2])
    return parser.parse_args()


def _pages_a_second(port: int, *, seconds: float = 6, askers: int = 8) -> float:
    """Answer pages, asked by so many at once; each is a process, or asking would be what is measured."""
    fork = multiprocessing.get_context("fork")
    found = fork.Queue()
    user = _users()[0]
    _let_go_of_the_book()

    def ask() -> None:
        from served import Browser

        browser, count, ends = Browser(port, user), 0, time.monotonic() + seconds
        while time.monotonic() < ends:
            status, _ = browser.get(_question())
            count += status == 200
        found.put(count)

    processes = [fork.Process(target=ask) for _ in range(askers)]
    for process in processes:
        process.start()
    total = sum(found.get() for _ in processes)
    for process in processes:
        process.join()
    return total / seconds


def _let_go_of_the_book() -> None:
    """Before a fork: of a connection that two processes have, whoever closes it first ends it for both."""
    from django.db import connection

    connection.close()


def _question() -> str:
    return f"/?size={random.randrange(100, 1000) / 1000:.3f}&unit=in"


def _users():
    from inventory.models import User

    return [User.objects.get(username="asker"), User.objects.get(username="machinist0")]


@dataclass
class Meanwhile:
    """What another person met: seconds of each answer and Issue, and what was no answer."""

    answers: list[float] = field(default_factory=list)
    issues: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    @property
    def p99(self) -> float:
        return sorted(self.answers)[int(len(self.answers) * 0.99)] if self.answers else float("inf")

    @property
    def slowest_issue(self) -> float:
        return max(self.issues, default=float("inf"))


class Person:
    """Asks all the time, and takes a piece out every half second."""

    def __init__(self, port: int) -> None:
        from served import Browser

        from inventory.models import Tool

        self.browser = Browser(port, _users()[1], address="127.0.0.2", timeout=90)
        self.tags = list(Tool.objects.in_service().is_here().order_by("-pk").values_list("tag", flat=True))

    def go_on(self, *, until: Callable[[], bool]) -> Meanwhile:
        met, next_issue = Meanwhile(), time.monotonic()
        while not until():
            is_issue = time.monotonic() >= next_issue and self.tags
            begun = time.perf_counter()
            try:
                status = self._issue() if is_issue else self.browser.get(_question())[0]
            except OSError as error:
                status = repr(error)
            took = time.perf_counter() - begun
            (met.issues if is_issue else met.answers).append(took)
            if status not in (200, 302):
                met.wrong.append(f"{'Issue' if is_issue else 'answer'} {status}")
            if is_issue:
                next_issue = time.monotonic() + 0.5
        return met

    def _issue(self) -> int:
        return self.browser.post(f"/t/{self.tags.pop()}/issue/", {"token": uuid.uuid4()})[0]


def _tell(served, wanted) -> None:
    person = Person(served.port)
    person.go_on(until=_after(3))  # what is read once is read
    quiet = person.go_on(until=_after(wanted.seconds))
    print(f"{'quiet':24} p99 {quiet.p99 * 1000:6.1f} ms            Issue {quiet.slowest_issue:6.3f} s", flush=True)
    fork = multiprocessing.get_context("fork")
    for name in wanted.only or [*LOADS, *READY_FIRST]:
        doing = _load(name, served.port, wanted)
        _let_go_of_the_book()
        load = fork.Process(target=_run, args=(doing,))
        load.start()
        ends = time.monotonic() + wanted.seconds

        def is_over(load=load, ends=ends, name=name) -> bool:
            return not load.is_alive() if name in TO_THE_END else time.monotonic() > ends

        begun = time.monotonic()
        met = person.go_on(until=is_over)
        took = time.monotonic() - begun
        with suppress(ProcessLookupError):
            os.killpg(load.pid, signal.SIGKILL)  # with those that it forked
        load.join()
        print(
            f"{name:24} p99 {met.p99 * 1000:6.1f} ms, {met.p99 / quiet.p99:5.1f} x, Issue {met.slowest_issue:6.3f} s, "
            f"wrong {len(met.wrong)} {sorted(set(met.wrong))[:3]}, {took:.0f} s, {served.megabytes():.0f} MB",
            flush=True,
        )
        time.sleep(1)


def _after(seconds: float) -> Callable[[], bool]:
    ends = time.monotonic() + seconds
    return lambda: time.monotonic() > ends


def _load(name: str, port: int, wanted) -> Callable[[], None]:
    """What the device does, which may be made ready first while nobody else asks."""
    return READY_FIRST[name](port, wanted) if name in READY_FIRST else partial(LOADS[name], port, wanted)


def _run(load: Callable[[], None]) -> None:
    os.setsid()
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    load()


def half_sent(port: int, wanted) -> None:
    lines = [socket.create_connection(("127.0.0.1", port)) for _ in range(130)]
    while True:
        for number, line in enumerate(lines):
            try:
                line.sendall(b"GET / HTTP/1.1\r\nHost: 127")
            except OSError:
                lines[number] = socket.create_connection(("127.0.0.1", port))
        time.sleep(5)


def crowd(port: int, wanted) -> None:
    """A thousand half-sent lines and a thousand that were answered and stay open; what is ended is opened anew."""
    _allow_open_files(3000)
    kinds = [b"GET / HTTP/1.1\r\nHost: 127", b"GET /health HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"] * 1000
    lines: list[socket.socket | None] = [None] * len(kinds)
    while True:
        for number, (line, sends) in enumerate(zip(lines, kinds, strict=True)):
            if line is None or _is_ended(line):
                lines[number] = line = socket.create_connection(("127.0.0.1", port), timeout=60)
                line.sendall(sends)
        time.sleep(0.5)


def _is_ended(line: socket.socket) -> bool:
    """Also after what it was answered."""
    line.setblocking(False)
    try:
        while line.recv(65536):
            pass
        return True
    except BlockingIOError:
        return False
    except OSError:
        return True


def _allow_open_files(count: int) -> None:
    _, most = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (count, max(count, most)))


def slow_bodies(port: int, wanted) -> None:
    head = b"POST /sign-in/ HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 60000\r\n\r\n"
    lines = [socket.create_connection(("127.0.0.1", port)) for _ in range(130)]
    for line in lines:
        line.sendall(head)
    while True:
        for number, line in enumerate(lines):
            try:
                line.sendall(b"x")
            except OSError:
                lines[number] = line = socket.create_connection(("127.0.0.1", port))
                line.sendall(head)
        time.sleep(0.5)


def large_bodies(port: int, wanted) -> None:
    _pour(port, b"Content-Length: 314572800\r\n", b"x" * MB)


def chunked_bodies(port: int, wanted) -> None:
    _pour(port, b"Transfer-Encoding: chunked\r\n", b"100000\r\n" + b"x" * MB + b"\r\n")


def _pour(port: int, header: bytes, piece: bytes) -> None:
    """Four devices that send 300 MB each, again and again."""
    os.fork()
    os.fork()
    while True:
        line = socket.create_connection(("127.0.0.1", port))
        with suppress(OSError):
            line.sendall(b"POST /desk/import/ HTTP/1.1\r\nHost: 127.0.0.1\r\n" + header + b"\r\n")
            for _ in range(300):
                line.sendall(piece)
        line.close()


def guessing(port: int, wanted) -> None:
    """Sixteen devices, each with an address of its own."""
    from threading import Thread

    from served import CSRF, Browser

    def guess(number: int) -> None:
        browser = Browser(port, cookie=f"gripbook_csrf={CSRF}", address=f"127.0.1.{number}", timeout=120)
        while True:
            with suppress(OSError):
                browser.post("/sign-in/", {"username": "asker", "password": str(random.random())})

    threads = [Thread(target=guess, args=(number,)) for number in range(1, 17)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def sheet_read_and_taken(port: int, wanted) -> None:
    _take(port, *_read(port, _send_sheet(port, _sheet("Z", wanted.rows), "sheet.csv")))


def sheet_taken(port: int, wanted) -> Callable[[], None]:
    """The same sheet once more, of which the reading is done."""
    form = _read(port, _send_sheet(port, _sheet("Y", wanted.rows), "sheet.csv"))
    return lambda: _take(port, *form)


def _sheet(prefix: str, count: int) -> bytes:
    rows = "".join(f"{prefix}-{number},lathe dog,Yard {number % 40},{number % 9}/16\n" for number in range(count))
    return f"tag,kind,location,notes\n{rows}".encode()


def far_cell(port: int, wanted) -> None:
    rows = "".join(f'<row r="{n}"><c r="A{n}" t="inlineStr"><is><t>Z</t></is></c></row>' for n in range(1, 60_001))
    far = '<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>far</t></is></c></row>'
    _send_sheet(port, _workbook(rows + far), "far.xlsx")


def empty_lines(port: int, wanted) -> None:
    _send_sheet(port, b"tag,kind\n" + b"\n" * (5 * MB - 100) + b"Z,collet\n", "lines.csv")


def huge_picture(port: int, wanted) -> None:
    from PIL import Image

    from inventory.models import Tool

    written = io.BytesIO()
    Image.effect_noise((2000, 2000), 40).resize((8000, 8000)).save(written, "PNG", compress_level=6)
    tag = Tool.objects.order_by("pk").values_list("tag", flat=True)[0]
    for _ in range(3):
        _send(
            port, f"/t/{tag}/inspect/", {"verdict": "good", "token": uuid.uuid4()}, "photo", written.getvalue(), "p.png"
        )


LOADS: dict[str, Callable[[int, argparse.Namespace], None]] = {
    "half-sent": half_sent, "crowd": crowd, "slow-bodies": slow_bodies, "300-MB-bodies": large_bodies,
    "chunked": chunked_bodies, "guessing": guessing, "sheet": sheet_read_and_taken, "far-cell": far_cell,
    "empty-lines": empty_lines, "huge-picture": huge_picture,
}  # fmt: skip
READY_FIRST: dict[str, Callable[[int, argparse.Namespace], Callable[[], None]]] = {"sheet-taken": sheet_taken}
TO_THE_END = {"sheet", "sheet-taken", "far-cell", "empty-lines", "huge-picture"}


def _send(port: int, address: str, sends: dict, name: str, content: bytes, file: str) -> tuple[int, str]:
    from served import CSRF, Browser

    browser = Browser(port, _users()[0], timeout=600)
    fields = {**sends, "csrfmiddlewaretoken": CSRF}
    mark = "----of-a-form"
    body = b"".join(
        f'--{mark}\r\nContent-Disposition: form-data; name="{key}"\r\n\r\n{value}\r\n'.encode()
        for key, value in fields.items()
    )
    body += f'--{mark}\r\nContent-Disposition: form-data; name="{name}"; filename="{file}"\r\n\r\n'.encode()
    body += content + f"\r\n--{mark}--\r\n".encode()
    return browser._ask("POST", address, body, {"Content-Type": f"multipart/form-data; boundary={mark}"})


def _send_sheet(port: int, content: bytes, name: str) -> str:
    """The address of its next step; empty where it is refused."""
    status, words = _send(port, "/desk/import/", {}, "sheet", content, name)
    address = words if status == 302 else ""
    print(f"    {name}, {len(content) / MB:.1f} MB: {status} {address[:60]}", flush=True)
    return address


def _read(port: int, address: str) -> tuple[str, dict[str, list[str]]]:
    """Go through the steps of a sheet that was sent, and return the form that takes it."""
    from served import Browser

    from tests.reading import Page

    browser, begun = Browser(port, _users()[0], timeout=600), time.monotonic()
    for _ in range(400):
        status, words = browser.get(address)
        if status == 302:
            address = words
            continue
        forms = [form for form in Page(words, address).forms() if form.method == "post" and "/import/" in form.action]
        step = next((form for form in forms if form.action.endswith(("/match/", "/ask/"))), None)
        if step:
            _, address = browser.post(step.action, step.sent())
        elif take := next((form for form in forms if "shown" in form.sent()), None):
            print(f"    read after {time.monotonic() - begun:.1f} s", flush=True)
            return take.action, take.sent()
    sys.exit("the sheet was not read to its end")


def _take(port: int, action: str, sent: dict[str, list[str]]) -> None:
    from served import Browser

    begun = time.monotonic()
    status, _ = Browser(port, _users()[0], timeout=600).post(action, sent)
    print(f"    taken: {status} after {time.monotonic() - begun:.1f} s", flush=True)


def _workbook(rows: str) -> bytes:
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    parts = {
        "[Content_Types].xml": '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.'
        'spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.'
        'openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>',
        "_rels/.rels": '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        '<Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument"'
        ' Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{main}" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/'
        'relationships"><sheets><sheet name="a" sheetId="1" r:id="r1"/></sheets></workbook>',
        "xl/_rels/workbook.xml.rels": '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        '<Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"'
        ' Target="worksheets/sheet1.xml"/></Relationships>',
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{main}"><sheetData>{rows}</sheetData></worksheet>',
    }
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as book:
        for name, text in parts.items():
            book.writestr(name, text)
    return written.getvalue()


if __name__ == "__main__":
    main()
