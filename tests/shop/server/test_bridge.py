"""What of a request comes to the site, and what of an answer to the server."""

import io

import pytest

from shop.server import bridge, lanes
from shop.server.bridge import Bridge
from tests.shop.server.asking import ask, receiving, scope


class Site:
    """A WSGI application that answers what it is told, and keeps what it was asked."""

    def __init__(self, answer=(b"ok",), headers=()):
        self.answer, self.headers = answer, list(headers)

    def __call__(self, environ, start_response):
        self.environ, self.read = environ, environ["wsgi.input"].read()
        start_response("200 OK", self.headers)
        return self.answer


class Streamed(io.BytesIO):
    streaming = True

    def __iter__(self):
        return iter(lambda: self.read(4096), b"")


def test_what_was_asked_reaches_the_site_as_it_was_sent():
    site = Site()
    headers = [("host", "crib:8000"), ("cookie", "a=1"), ("cookie", "b=2"), ("accept", "a"), ("accept", "b")]

    ask(Bridge(site), scope("/t/%C5%81%2F/?q=%20", "HEAD", headers))

    wanted = {
        "REQUEST_METHOD": "HEAD", "PATH_INFO": "/t/Ł//".encode().decode("latin-1"), "QUERY_STRING": "q=%20",
        "REMOTE_ADDR": "10.0.0.7", "HTTP_HOST": "crib:8000", "HTTP_COOKIE": "a=1; b=2", "HTTP_ACCEPT": "a,b",
        "SERVER_PROTOCOL": "HTTP/1.1", "CONTENT_LENGTH": "0",
    }  # fmt: skip
    assert {name: site.environ[name] for name in wanted} == wanted


def test_a_header_written_with_an_underscore_passes_for_no_other():
    site = Site()

    ask(Bridge(site), scope(headers=[("x_forwarded_for", "1.2.3.4")]))

    assert "HTTP_X_FORWARDED_FOR" not in site.environ


def test_a_body_in_chunks_has_its_length_when_the_site_reads_it():
    site = Site()

    told = ask(
        Bridge(site), scope("/password/", "POST", [("transfer-encoding", "chunked")]), receiving(b"a" * 70_000, b"b")
    )

    assert told.status == 200
    assert site.environ["CONTENT_LENGTH"] == "70001"
    assert site.read == b"a" * 70_000 + b"b"


@pytest.mark.parametrize(
    ("path", "most"),
    [
        ("/sign-in/", lanes.MOST_BEFORE_THE_DOOR),
        ("/nothing/here", lanes.MOST_BEFORE_THE_DOOR),
        ("/desk/import/", lanes.MOST),
    ],
)
@pytest.mark.parametrize("announces", [True, False])
def test_what_is_larger_than_an_address_takes_is_not_handed_on(path, most, announces):
    for size, is_read in ((most - 1, True), (most, True), (most + 1, False)):
        site = Site()
        header = ("content-length", str(size)) if announces else ("transfer-encoding", "chunked")

        ask(Bridge(site), scope(path, "POST", [header]), receiving(b"x" * (size - 1), b"y"))

        assert len(site.read) == (size if is_read else 0)
        assert int(site.environ["CONTENT_LENGTH"]) == size  # by which the site says that it is too much


def test_a_long_answer_comes_in_pieces_and_is_closed():
    answer = Streamed(b"x" * (2 * bridge.PIECE + 10))

    told = ask(Bridge(Site(answer)), scope())

    assert [len(piece) for piece in told.pieces] == [bridge.PIECE, bridge.PIECE, 10]
    assert told.is_ended
    assert answer.closed


def test_a_site_that_fails_is_answered_for():
    def fails(environ, start_response):
        raise ZeroDivisionError

    told = ask(Bridge(fails), scope())

    assert (told.status, told.body) == (500, b"Something went wrong here.\n")
