"""Requests that nobody means: texts, forms, headers and files as chance mutates them, the same for the same seed."""

from __future__ import annotations

import io
import random
import struct
import zlib
from dataclasses import dataclass, field
from functools import cached_property
from urllib.parse import quote_from_bytes, urlsplit

TEXTS = (
    b"", b" ", b"\0", b"a\0b", b"\x01\x07\x1b[2J", b"\x7f", b"\xc2\x85", b"\xef\xbf\xbe", b"\xed\xa0\x80", b"\xff\xfe",
    b"\xc3", b"\xf4\x90\x80\x80", "Łódź №1 \U0001f529".encode(), "\u202e3/4\u2066".encode(), "٣/٤".encode(),
    "１２".encode(), "½".encode(), "\u00a03/4\u2028".encode(), b"a" * 41, b"a" * 81, b"a" * 201, b"a" * 300,
    b"a" * 1001, b"a" * 9000, b"1" * 400, b"<script>alert(1)</script>", b"{{7*7}}{%x%}%s%n{0}", b"'; DROP TABLE x; --",
    b"\"'\\%_*?",
    b"-1", b"0", b"1", b"-0", b"2", b"7", b"9223372036854775807", b"9223372036854775808", b"-9223372036854775809",
    b"99999999999999999999999999", b"1e999", b"1e-400", b"nan", b"-inf", b"0x10", b"1_000", b"1/0", b"0/0", b"3/4",
    b".7485", b"3/4-1/2", b".5-.7", b"20h9", b"#7", b"letter F", b"99999 mm", b"0.0000001 mm", b"1 furlong", b"3/4 hex",
    b"2026-02-30", b"9999-12-31", b"0001-01-01", b"10000-01-01", b"2026-11-29", b"25:61", b"../../etc/passwd",
    b"//evil.example", b"http://[bad", b"C-0011", b"c-0011", b"K-0081", b"5C", b"ER32", b"on", b"yes", b"none", b"null",
    b"true", b"[]", b"{}", b"00000000-0000-0000-0000-000000000000", b"machinist", b"administrator", b"in", b"mm",
    b"a\r\nSet-Cookie: x=y", b"line\nline\ttab", b"=1+1", b"@x", b"\xef\xbb\xbf", b"\xf0\x9f\x94\xa9" * 60,
)  # fmt: skip
METHODS = ("GET", "GET", "GET", "POST", "POST", "POST", "HEAD", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "FOO")
HEADERS = (
    "Referer", "User-Agent", "Accept", "Accept-Language", "Accept-Encoding", "X-Forwarded-For", "X-Forwarded-Proto",
    "Authorization", "If-None-Match", "If-Modified-Since", "Range", "Origin", "Host", "Cookie", "Content-Type",
    "X-Requested-With", "Forwarded", "X-CSRFToken", "Expect",
)  # fmt: skip
HEADER_TEXTS = (
    b"", b"junk", b"http://[bad", b"http://a:99999/", b"\x01", b"\xc5\x81\xc3\xb3d\xc5\xba", b"*/*;q=nan",
    b"text/html;q=", b"application/json", b"bytes=5-1,-,999999999999999999999-", b"Bearer", b"Bearer \xff\xfe",
    b"Basic Og==", b"1.2.3.4, junk", b"999.999.999.999", b"fe80::1%eth0", b"[::1]:80", b"Sat, 99 Foo 9999 99:99:99 GMT",
    b"a" * 9000, b"evil.example", b"127.0.0.1:99999999", b"[", b"text/plain; charset=rot13",
    b"text/plain; charset*=x''y", b"multipart/form-data",
    b"multipart/form-data; boundary=" + b"b" * 500, b'gripbook_session="\\000"; gripbook_lathe="\\000\\377"',
    b"gripbook_lathe=%00%FF; label_sheet=paper%3D%00%26columns=9999999", b"gripbook_csrf=" + b"c" * 32, b"100-continue",
    b"gzip;q=1e999, *;q=-1", b"messages=junk; gripbook_session=" + b"s" * 300,
)  # fmt: skip


@dataclass(frozen=True)
class Form:
    """A form as a page had it: what a browser would send when nothing is touched."""

    method: str
    action: str
    sent: dict[str, list[str]]
    files: tuple[str, ...] = ()


@dataclass(frozen=True)
class Request:
    method: str
    target: bytes
    headers: tuple[tuple[str, bytes], ...] = ()
    body: bytes = b""
    is_raw: bool = False
    """Whether it is no HTTP any more: then the line may be closed without an answer."""

    def on_the_line(self) -> bytes:
        lines = [self.method.encode() + b" " + self.target + b" HTTP/1.1"]
        lines += [name.encode() + b": " + text for name, text in self.headers]
        return b"\r\n".join(lines) + b"\r\n\r\n" + self.body

    def in_short(self) -> str:
        kept = [(name, text[:80]) for name, text in self.headers if name not in {"Connection", "Content-Length"}]
        return f"{self.method} {self.target[:300]!r} {kept} {self.body[:600]!r}"


@dataclass(frozen=True)
class Site:
    """What the pages of the site lead to."""

    addresses: list[str]
    forms: list[Form]


@dataclass
class Chance:
    seed: int
    site: Site
    csrf: str
    chance: random.Random = field(init=False)

    def __post_init__(self) -> None:
        self.chance = random.Random(self.seed)

    def request(self, *, host: str, cookie: str) -> Request:
        form = self.chance.choice(self.site.forms) if self.chance.random() < 0.55 else None
        method = self.chance.choice(METHODS) if form is None or self.chance.random() < 0.05 else form.method.upper()
        target = (form.action if form else self.chance.choice(self.site.addresses)).encode()
        pairs = self._pairs(form)
        kind, body = b"", b""
        if method == "GET" or (method not in {"POST", "PUT", "PATCH"} and self.chance.random() < 0.5):
            target = self._address(target, pairs)
        else:
            kind, body = self._body(pairs, form)
            target = self._address(target, [])
        headers = {"Host": host.encode(), "Cookie": cookie.encode(), "Connection": b"close"}
        if body or method == "POST":
            headers |= {"Content-Type": kind, "Content-Length": b"%d" % len(body)}
        if self.chance.random() < 0.2:
            headers[self.chance.choice(HEADERS)] = self.chance.choice(HEADER_TEXTS)
        # A server may close the line at a header that is none before it has read what comes behind it.
        request = Request(method, target, tuple(headers.items()), body, is_raw=b"\x01" in headers.values())
        return self._broken(request) if self.chance.random() < 0.02 else request

    def text(self) -> bytes:
        text = self.chance.choice(TEXTS)
        if self.chance.random() < 0.15:
            text += self.chance.choice(TEXTS)
        if text and self.chance.random() < 0.1:
            place = self.chance.randrange(len(text))
            text = text[:place] + bytes([self.chance.randrange(256)]) + text[place + 1 :]
        return text

    def _pairs(self, form: Form | None) -> list[tuple[bytes, bytes]]:
        """The fields of the form, or of any form, some of them mutated, left out, doubled or made up."""
        of = form or self.chance.choice(self.site.forms)
        pairs = []
        share = self.chance.choice((0, 0.15, 0.4, 1))
        for name, texts in of.sent.items():
            if name == "csrfmiddlewaretoken":
                continue
            for text in texts:
                turn = self.chance.random()
                if turn < 0.05:
                    continue
                is_mutated = self.chance.random() < share
                pairs.append((name.encode(), self.text() if is_mutated else text.encode()))
                if turn > 0.97:
                    pairs.append((name.encode(), self.text()))
        if self.chance.random() < 0.1:
            pairs.append((self.text(), self.text()))
        if self.chance.random() < 0.95:
            pairs.append((b"csrfmiddlewaretoken", self.csrf.encode()))
        return pairs

    def _address(self, target: bytes, pairs: list[tuple[bytes, bytes]]) -> bytes:
        path, mark, query = target.partition(b"?")
        if self.chance.random() < 0.12:
            parts = path.split(b"/")
            parts[self.chance.randrange(len(parts))] = quote_from_bytes(self.text()[:2000]).encode()
            path = b"/" + b"/".join(parts).lstrip(b"/")
        if pairs:
            kept = [pair for pair in pairs if pair[0] != b"csrfmiddlewaretoken"]
            query = b"&".join(_quoted(name) + b"=" + _quoted(text) for name, text in kept)
            mark = b"?"
        elif query and self.chance.random() < 0.5:
            names = [part.partition(b"=")[0] for part in query.split(b"&")]
            query = b"&".join(name + b"=" + _quoted(self.text()) for name in names)
        return path + mark + query

    def _body(self, pairs: list[tuple[bytes, bytes]], form: Form | None) -> tuple[bytes, bytes]:
        turn = self.chance.random()
        if turn < 0.04:
            return b"application/json", b'{"size": "\\u0000", "x": [1e999, null]}'
        if turn < 0.08:
            return b"application/octet-stream", self.text() * 3
        if turn < 0.3 or (form and form.files):
            return self._multipart(pairs, form)
        return b"application/x-www-form-urlencoded", b"&".join(_quoted(a) + b"=" + _quoted(b) for a, b in pairs)

    def _multipart(self, pairs: list[tuple[bytes, bytes]], form: Form | None) -> tuple[bytes, bytes]:
        line, parts = b"bOuNd", []
        for name, text in pairs:
            parts.append(b'Content-Disposition: form-data; name="' + _bare(name) + b'"\r\n\r\n' + text)
        for name in form.files if form else ():
            file_name, content = self._file()
            head = (
                b'Content-Disposition: form-data; name="' + name.encode() + b'"; filename="' + _bare(file_name) + b'"'
            )
            parts.append(head + b"\r\nContent-Type: application/octet-stream\r\n\r\n" + content)
        body = b"".join(b"--" + line + b"\r\n" + part + b"\r\n" for part in parts) + b"--" + line + b"--\r\n"
        if self.chance.random() < 0.08:
            body = body[: self.chance.randrange(len(body) + 1)]
        if self.chance.random() < 0.05:
            body = body.replace(b"form-data", b"form-data; x*=no-such''y", 1)
        return b"multipart/form-data; boundary=" + line, body

    def _file(self) -> tuple[bytes, bytes]:
        name, content = self.chance.choice(
            (
                (b"crib.csv", self._csv()),
                (b"crib.xlsx", self._workbook),
                (b"photo.png", _picture()),
                (b"a.csv", self.text()),
            )
        )
        if self.chance.random() < 0.4 and content:
            mutated = bytearray(content)
            for _ in range(self.chance.choice((1, 3, 30))):
                mutated[self.chance.randrange(len(mutated))] = self.chance.randrange(256)
            content = bytes(mutated)
        if self.chance.random() < 0.1:
            content = content[: self.chance.randrange(len(content) + 1)]
        return (name if self.chance.random() < 0.8 else self.text() + name), content

    def _csv(self) -> bytes:
        headings = (
            b"Tag Kind Series Size Shape Condition TIR Inspected Cost Notes Location Mount Takes Weight Jaws".split()
        )
        kinds = (b"collet", b"chuck universal", b"center live", b"sleeve", b"drawbar", b"lathe dog")
        rows = [b",".join(headings)]
        for _ in range(self.chance.randrange(12)):
            cells = [b"Z-%d" % self.chance.randrange(400), self.chance.choice(kinds), b"5C", b"3/4"]
            cells += [self.text().replace(b",", b" ").replace(b"\n", b" ")[:500] for _ in headings[4:]]
            rows.append(
                b",".join(cell if self.chance.random() < 0.9 else b'"' + self.text()[:300] + b'"' for cell in cells)
            )
        return b"\n".join(rows)

    @cached_property
    def _workbook(self) -> bytes:
        import openpyxl

        book = openpyxl.Workbook()
        book.active.append(["Tag", "Kind", "Series", "Size", "Notes"])
        for number in range(5):
            book.active.append([f"Y-{number}", "collet", "5C", number / 8, "=1+1"])
        file = io.BytesIO()
        book.save(file)
        return file.getvalue()

    def _broken(self, request: Request) -> Request:
        """What is no HTTP any more, or says another length than it has."""
        turn, headers = self.chance.randrange(5), dict(request.headers)
        method, target, body = request.method, request.target, request.body
        if turn == 0:
            headers["Content-Length"] = self.chance.choice((b"-1", b"99999999999999", b"x", b"1", b"33554433000"))
        elif turn == 1:
            headers["Transfer-Encoding"], body = b"chunked", b"5\r\nabc\r\nzz\r\n\r\n"
        elif turn == 2:
            target = target + b" \x00 " + self.text()
        elif turn == 3:
            method = self.chance.choice(("", "G ET", "\x01", "g" * 3000))
        else:
            target = b"//" + self.text()[:100].replace(b"\r", b"").replace(b"\n", b"") + target
        return Request(method, target, tuple(headers.items()), body, is_raw=True)


def form_of(action: str, method: str, sent: dict[str, list[str]], files: tuple[str, ...]) -> Form:
    split = urlsplit(action)
    return Form(method, split.path + (f"?{split.query}" if split.query and method == "post" else ""), sent, files)


def _quoted(text: bytes) -> bytes:
    return quote_from_bytes(text).encode()


def _bare(text: bytes) -> bytes:
    return text.replace(b'"', b"%22").replace(b"\r", b"").replace(b"\n", b"")


def _picture() -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", 8, 8, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 25 * 8))
        + chunk(b"IEND", b"")
    )
